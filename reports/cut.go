package reports

import "footwork/beam"

// CutWay is what is left for the scraper on one way.
type CutWay struct {
	Name        string      `json:"name"`
	Flank       int         `json:"flank,omitempty"` // 1 and 2 of a vee, towards negative and positive offset
	X           []float64   `json:"x"`
	Depth       []float64   `json:"depth"`          // square to the face
	Skim        float64     `json:"skim,omitempty"` // of a flank: the depth that lets the table down by one, of both flanks alike
	Volume      float64     `json:"volume"`
	Passes      float64     `json:"passes"`
	Hours       float64     `json:"hours"`
	Range       *CutRange   `json:"range,omitempty"`
	Map         []CutRun    `json:"map,omitempty"`
	Shows       []CutShow   `json:"shows,omitempty"`        // after each pass
	SurveyAfter []int       `json:"survey_after,omitempty"` // so many passes the way is surveyed in full
	CannotTell  []beam.Span `json:"cannot_tell,omitempty"`  // what stands high there is within what is not known
	PrintAgain  []beam.Span `json:"print_again,omitempty"`  // a print of the log contradicts what is foretold: nothing is cut there yet
	LeftOut     []NamedSpan `json:"left_out,omitempty"`     // neither cut nor bearing
}

// NamedSpan is a stretch along the bed with a name.
type NamedSpan struct {
	Name string
	beam.Span
}

// CutRun is one stretch of one pass, scraped across the marks of the pass before where Against.
type CutRun struct {
	Pass    int     `json:"pass"`
	From    float64 `json:"from"`
	To      float64 `json:"to"`
	Against bool    `json:"against"`
}

// CutShow is what a face shows after a pass: how far out of straight it then is, and what a
// master prints, stepped along all of it.
type CutShow struct {
	Zone   float64     `json:"zone"`
	Master string      `json:"master,omitempty"` // "": none fits
	Prints []beam.Span `json:"prints,omitempty"`
}

// CutRange holds low and high of a cut within the profile's uncertainty.
type CutRange struct {
	Volume [2]float64 `json:"volume"`
	Passes [2]float64 `json:"passes"`
	Hours  [2]float64 `json:"hours"`
}

// CutAfter is the same after the recommended moves.
type CutAfter struct {
	Ways []CutWay `json:"ways"`
	Sink Sink     `json:"sink"`
}

// Sink is how far the table comes down: by the cut of the bed's ways on the mean, by that of
// its own less its liners, and what is then left of what rack, nut and keeps still reach.
type Sink struct {
	Bed   float64  `json:"bed"`
	Table float64  `json:"table"`
	Left  *float64 `json:"left,omitempty"` // absent: nobody said how far it may come down
}

// CutPair is what ways do to what rides on them when one is cut and not the other.
type CutPair struct {
	Ways  []string `json:"ways"`
	Tied  bool     `json:"tied"`            // a cross level ties them: they are cut to one plane
	Lean  float64  `json:"lean"`            // rad across the bed, by a pass over one of them alone
	Gauge float64  `json:"gauge"`           // m, on which it is told as a height
	Twist float64  `json:"twist,omitempty"` // rad, by which the slope across may change; 0: not asked for
}

// NotCut is a way that nobody surveyed: nothing is known of what is to come off it.
type NotCut struct{ Way string }

// Astride is what a pass does to an instrument whose feet stand on both sides of its mark:
// down at a left mark, up at a right one.
type Astride struct {
	Survey string  `json:"survey"`
	Base   float64 `json:"base"`
	Change float64 `json:"change"` // in its own unit
	Unit   string  `json:"unit"`
}

// Stations is how far apart the survey's stations stand, where the map wants them closer.
type Stations struct {
	Apart float64 `json:"apart"`
	Wants float64 `json:"wants"`
}

// Chalk is how stations are marked on the casting.
type Chalk struct {
	FromRight bool    `json:"from_right,omitempty"`
	Every     float64 `json:"every,omitempty"` // pitch of numbered marks; 0: lengths
}

// Cut answers `cut`.
type Cut struct {
	State        State     `json:"state"`
	First        []Advice  `json:"first,omitempty"` // what settles feet or metal, while that is open
	Ways         []CutWay  `json:"ways"`
	Sink         Sink      `json:"sink"`
	Datum        bool      `json:"datum"` // cut along where metal is unworn; else to the lowest line that removal reaches
	Pair         *CutPair  `json:"pair,omitempty"`
	DepthPerPass float64   `json:"depth_per_pass"`       // as given, and as pads have shown it
	Until        float64   `json:"until,omitempty"`      // what may be left standing; less than a pass: a pass
	PrintsFit    float64   `json:"prints_fit,omitempty"` // the share of the beds it may be that would have printed as the log says; 0: none was printed
	Stations     *Stations `json:"stations,omitempty"`
	Astride      *Astride  `json:"astride,omitempty"`
	Chalk        Chalk     `json:"chalk"`
	AfterMoves   *CutAfter `json:"after_moves,omitempty"`
	Routes       []Route   `json:"routes,omitempty"`
	Warnings     []Warning `json:"warnings"`
}

// Route is one way to go on: how far out of straight it leaves the bed, and the
// hours at the scraper.
type Route struct {
	Name  string  `json:"name"` // "leave", "move feet", "scrape", "both"
	Zone  float64 `json:"zone"`
	Hours float64 `json:"hours"`
}
