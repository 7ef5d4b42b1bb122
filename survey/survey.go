// Package survey turns readings into profiles that can be trusted, and parts a
// measured profile into what is standing and what is metal.
//
// Everything is SI: slopes in radians, heights in metres.
package survey

// Instrument is what took the readings.
type Instrument string

const (
	Autocollimator Instrument = "autocollimator" // slope of a mirror carriage along the way
	Level          Instrument = "level"          // slope of a level along the way
	Heights        Instrument = "heights"        // heights at given stations
	CrossLevel     Instrument = "cross level"    // slope across the bed
)

// Run is one pass over the stations.
type Run struct {
	Name   string    // as in the CSV's header
	Values []float64 // in the CSV's own unit, one a station
}

// Readings is a survey's CSV as it stands.
type Readings struct {
	X     []float64 // station column as written in the file; nil without one
	Runs  []Run
	Lines []int // line of the file of each station; nil when there is no file

	Remarks []string // beside each row; nil without
}

// Survey is the readings taken on one way, or across the ways, in one standing.
type Survey struct {
	Name        string
	SetUp       string // whose readings these are, of a survey that the log names; "" for its own
	Standing    string
	Way         string // "" for a cross level
	Instrument  Instrument
	Base        float64  // m, distance between the carriage's feet = step
	Start       float64  // m, x of the trailing foot at the first reading
	Unit        string   // of the readings, for people: "arcsec", "div", "µm"
	Scale       float64  // rad (slopes) or m (heights) for one unit of reading
	XScale      float64  // m for one unit of the X column (heights, cross level)
	Doubled     bool     // readings are the beam's angle, twice the mirror's tilt
	Sideways    bool     // yaw of the carriage and not its pitch
	Against     string   // the way from which the distance to this one was read, sideways; "" for a line of its own
	Pulled      int      // −1, 1: the gauge of a cross level was pulled to negative or positive offset; 0: it sat on all flanks
	OfTable     bool     // the table's own ways, not the bed's
	OnBed       bool     // the autocollimator stands on the bed, not on the floor
	Gradient    *float64 // K, measured during this survey; nil: the standing's
	GradientSD  float64  // K, its standard uncertainty; 0 when not given
	TableAt     *float64 // m, left end of the table; nil: no table on the bed
	Uncertainty float64  // standard uncertainty of one reading, rad or m; 0: from repeats
	Date        string   // ISO 8601 day, with a time of day behind a blank where one is known, or ""
	Pass        int      // scraping passes done before this survey
	Readings    Readings
}

// Record is a survey, reduced, with how the bed stood when it was taken.
type Record struct {
	Survey
	Profile
	Epoch  int // how often the bed's feet had been touched
	Cut    int // how often metal had been cut from its way; across the ways: from any
	AnyCut int // how often metal had been cut from any way
}

// Subject is what a survey looks at: surveys of one subject may be compared.
type Subject struct {
	Standing, Way     string // Way "" across the ways
	Sideways, OfTable bool
	Against           string
	Pulled            int
}

// Subject returns what a survey looks at.
func (s Survey) Subject() Subject {
	return Subject{s.Standing, s.Way, s.Sideways, s.OfTable, s.Against, s.Pulled}
}

// UpAndDown tells whether a survey looks at the bed's own ways, or their twist, up
// and down: what feet, heat and weight change.
func (s Survey) UpAndDown() bool { return !s.Sideways && !s.OfTable && s.Pulled == 0 }

// Undisturbed tells whether no foot was touched between two surveys of one standing,
// and the table stood alike.
func (r Record) Undisturbed(o Record) bool {
	return r.Survey.Standing == o.Survey.Standing && r.Epoch == o.Epoch && samePlace(r.Survey.TableAt, o.Survey.TableAt)
}

// parked is how far apart the table may stand and count as at one place, m.
const parked = 0.01

func samePlace(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a-*b < parked && *b-*a < parked
}
