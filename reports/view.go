// Package reports turns results into what people and programs read: JSON, CSV,
// plain text and one page. The views are the JSON contract: SI units, radians, fixed
// keys, which are the fields' names in small letters where no tag says otherwise: a field
// that is named anew breaks programs that read it.
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
	Ends, LeastSquares, MinimumZone float64
	Low                             float64 // with High: the minimum zone in 95 % of the beds that it may be
	High                            float64
	Sigma                           *float64 `json:",omitempty"` // standard uncertainty of the minimum zone
}

// WayShape is the shape of one way at the x of its parent, with its 95 % band about
// the line through the ends. The
// straightness is the median of those of the beds that it may be, not of the curve.
type WayShape struct {
	Name              string
	Offset            float64
	Height, Low, High []float64
	Straightness      Straightness
}
