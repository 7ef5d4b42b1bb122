// Package reports turns results into what people and programs read: JSON, CSV,
// plain text and one page. The views are the JSON contract: SI units, radians, fixed
// keys.
package reports

// View is an answer that people and programs read.
type View interface {
	curves() csvTable
	Beside() []Warning // what is told beside it
}

// State is which bed an answer means: as drawn, as found, or after turning.
type State string

const (
	Given   State = "given"   // as the job says
	Found   State = "found"   // as surveys, log and hand tell it
	Planned State = "planned" // as the recommended plan leaves it
)

// Straightness is peak-to-valley about three reference lines (ISO 12780-1
// names the last two LSLI and MZLI), m.
type Straightness struct {
	Ends         float64  `json:"ends"`
	LeastSquares float64  `json:"least_squares"`
	MinimumZone  float64  `json:"minimum_zone"`
	Low          float64  `json:"low"` // with High: the minimum zone in 95 % of the beds that it may be
	High         float64  `json:"high"`
	Sigma        *float64 `json:"sigma,omitempty"` // standard uncertainty of the minimum zone
}

// WayShape is the shape of one way at the x of its parent, with its 95 % band about
// the line through the ends. The
// straightness is the median of those of the beds that it may be, not of the curve.
type WayShape struct {
	Name         string       `json:"name"`
	Offset       float64      `json:"offset"`
	Height       []float64    `json:"height"`
	Low          []float64    `json:"low"`
	High         []float64    `json:"high"`
	Straightness Straightness `json:"straightness"`
}
