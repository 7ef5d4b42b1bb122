package reports

import "footwork/beam/shape"

// CutWay is what is left for the scraper on one way.
type CutWay struct {
	Name                  string
	Flank                 int `json:",omitempty"` // 1 and 2 of a vee, towards negative and positive offset
	X                     []float64
	Depth                 []float64 // square to the face
	Skim                  float64   `json:",omitempty"` // of a flank: the depth that lets the table down by one, of both flanks alike
	Volume, Passes, Hours float64
	Range                 *CutRange    `json:",omitempty"`
	Map                   []CutRun     `json:",omitempty"`
	Shows                 []CutShow    `json:",omitempty"` // after each pass
	SurveyAfter           []int        `json:",omitempty"` // so many passes the way is surveyed in full
	CannotTell            []shape.Span `json:",omitempty"` // what stands high there is within what is not known
	PrintAgain            []shape.Span `json:",omitempty"` // a print of the log contradicts what is foretold: nothing is cut there yet
	LeftOut               []NamedSpan  `json:",omitempty"` // neither cut nor bearing
}

// NamedSpan is a stretch along the bed with a name.
type NamedSpan struct {
	Name string
	shape.Span
}

// CutRun is one stretch of one pass, scraped across the marks of the pass before where Against.
type CutRun struct {
	Pass     int
	From, To float64
	Against  bool
}

// CutShow is what a face shows after a pass: how far out of straight it then is, and what a
// master prints, stepped along all of it.
type CutShow struct {
	Zone   float64
	Master string       `json:",omitempty"` // "": none fits
	Prints []shape.Span `json:",omitempty"`
}

// CutRange holds low and high of a cut within the profile's uncertainty.
type CutRange struct {
	Volume, Passes, Hours [2]float64
}

// CutAfter is the same after the recommended moves.
type CutAfter struct {
	Ways []CutWay
	Sink Sink
}

// Sink is how far the table comes down: by the cut of the bed's ways on the mean, by that of
// its own less its liners, and what is then left of what rack, nut and keeps still reach.
type Sink struct {
	Bed, Table float64
	Left       *float64 `json:",omitempty"` // absent: nobody said how far it may come down
}

// CutPair is what ways do to what rides on them when one is cut and not the other.
type CutPair struct {
	Ways  []string
	Tied  bool    // a cross level ties them: they are cut to one plane
	Lean  float64 // rad across the bed, by a pass over one of them alone
	Gauge float64 // m, on which it is told as a height
	Twist float64 `json:",omitempty"` // rad, by which the slope across may change; 0: not asked for
}

// Astride is what a pass does to an instrument whose feet stand on both sides of its mark:
// down at a left mark, up at a right one.
type Astride struct {
	Survey string
	Base   float64
	Change float64 // in its own unit
	Unit   string
}

// Stations is how far apart the survey's stations stand, where the map wants them closer.
type Stations struct {
	Apart, Wants float64
}

// Chalk is how stations are marked on the casting.
type Chalk struct {
	FromRight bool    `json:",omitempty"`
	Every     float64 `json:",omitempty"` // pitch of numbered marks; 0: lengths
}

// Cut answers `cut`.
type Cut struct {
	State        State
	First        []Advice `json:",omitempty"` // what settles feet or metal, while that is open
	Ways         []CutWay
	Sink         Sink
	Datum        bool      // cut along where metal is unworn; else to the lowest line that removal reaches
	Pair         *CutPair  `json:",omitempty"`
	DepthPerPass float64   // as given, and as pads have shown it
	Until        float64   `json:",omitempty"` // what may be left standing; less than a pass: a pass
	PrintsFit    float64   `json:",omitempty"` // the share of the beds it may be that would have printed as the log says; 0: none was printed
	Stations     *Stations `json:",omitempty"`
	Astride      *Astride  `json:",omitempty"`
	Chalk        Chalk
	AfterMoves   *CutAfter `json:",omitempty"`
	Routes       []Route   `json:",omitempty"`
	Warnings     []Warning
}

// Route is one way to go on: how far out of straight it leaves the bed, and the
// hours at the scraper.
type Route struct {
	Name        string // "leave", "move feet", "scrape", "both"
	Zone, Hours float64
}
