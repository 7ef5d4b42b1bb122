package doc

import "footwork/reports"

// The blocks below are drawn; on a terminal the tables beside them say the same.

// Lead is the answer of a section, where it differs by state.
type Lead Text

// Choice shows one of its parts: that of the state and the table that are chosen.
type Choice []part

// part is what is seen in some states, with the table on the bed or off it.
type part struct {
	States []reports.State
	Table  string // "on", "off" or "" for both
	Blocks []Block
}

// Pair stands beside one another where there is room.
type Pair struct {
	Picture []Block
	Beside  []Block
}

// Tiles are small pictures beside one another.
type Tiles []Block

// Plan is the bed from above: its ways, its feet and what is done at them.
type Plan struct {
	Title   Text
	Length  float64 // m
	Small   bool    // one of several
	Ways    []mark
	Feet    []PlanFoot
	Weights []mark
	Table   *reports.Stroke // m, from its left to its right end; nil: off the bed
}

// mark is something at an offset, and at a place along the bed where it has one.
type mark struct {
	Name              string
	At, Offset, Width float64 // m
}

// PlanFoot is a foot seen from above.
type PlanFoot struct {
	Name       string
	At, Offset float64 // m
	State      string  // "", "light" or "hangs"
	Up         int     // +1 or −1: which way it is turned; 0: it stays
	Label      Text    // what is done at it, or what it carries
}

// Bars are the loads of the feet, each over its place: a bar to what it carries, or
// from the least to the most.
type Bars struct {
	Title  Text
	Length float64
	Kind   Kind
	Least  float64 // under which a foot is called light
	Rows   []barRow
}

// barRow is the feet of one side of the bed.
type barRow struct{ Bars []Bar }

// Bar is the load of one foot, N.
type Bar struct {
	Name      string
	At        float64
	Load      float64
	Low, High float64  // equal: not known
	Before    *float64 // as it was
	Journey   bool     // from Low to High as the table travels
	State     string
}

// Ranges are values with their intervals, one a row.
type Ranges struct {
	Title Text
	Rows  []Range
	Limit float64 // the tolerance; 0: none
}

// Range is one value with its interval (95 %).
type Range struct {
	Name             Text
	Value, Low, High float64
	Note, More       Text // More where there is room
	Chosen           bool
}

// Strips are what is done to each way, or seen on it, over its place on the bed.
type Strips struct {
	Title, Key Text // Key says what the marks mean
	Length     float64
	Rows       []strip
	Feet       []FootMark
}

// strip is one face from above, in lanes over one another: a pass each, or places of a
// master that do not overlap.
type strip struct {
	Name  string
	Says  Text // the same in words
	Lanes [][]StripMark
}

// StripMark is a stretch of one lane, m along the bed.
type StripMark struct {
	From, To float64
	Kind     stripKind
	Across   string  // "inner" or "outer" edge; else the full width
	Strength float64 // of a print, 1 for even bearing
}

// stripKind says what a mark of a strip is.
type stripKind string

const (
	cuts    stripKind = "cuts"    // a pass runs there
	Unclear stripKind = "unclear" // nobody can tell whether metal stands high
	LeftOut stripKind = "out"     // neither cut nor bearing
	lies    stripKind = "lies"    // a master lies there
	may     stripKind = "may"     // it prints on some bed that this may be
	Prints  stripKind = "prints"  // it prints on every one
)

// Trial lets the reader move the feet; the page answers by itself.
type Trial struct {
	*reports.Try
	Bed     *Curves // without curves: they are drawn by what is tried
	Plan    []PlanMove
	State   reports.State // of the bed that is tried
	Force   Kind          // of its loads
	Figures [2]Figure     // what the program says of the plan, shown while it is loaded, the table off and on
	Now     [2]Figure     // and of no foot turned
}

// Figure is what the program says of how the bed stands.
type Figure struct {
	Words Text      `json:"-"`
	Loads []float64 `json:"loads"` // N, of each foot; none: not worked out
	Gaps  []float64 `json:"gaps"`  // m
}

// PlanMove is one step of the plan, m.
type PlanMove struct {
	Foot  string  `json:"foot"`
	Touch bool    `json:"touch,omitempty"` // first brought to touch
	Raise float64 `json:"raise"`
}

// Sheet is one page to take to the bed.
type Sheet struct {
	Title    Text
	Plan     *Plan
	Steps    []SheetStep
	After    []Readings // after the last step
	Cautions []string
}

// Readings is what one instrument reads at its stations, in its own unit.
type Readings struct {
	Title    Text
	X, Value []float64
	Unit     string
}

// SheetStep is one visit to one foot.
type SheetStep struct {
	Foot   string
	Up     int
	Do     Text // which way and how far
	Hand   Text // the angle and the spanner's end, as a guide
	Stands Text // where the instrument stands and what it reads before
	Until  Text // what it must read, and how close is close enough
	Feel   Text
	Log    SheetLog
}

// SheetLog is what the page checks of a step and writes as lines of the log.
type SheetLog struct {
	Foot   string     `json:"foot"`
	Turned string     `json:"turned"`          // value of the turn
	Act    string     `json:"act,omitempty"`   // of the reading: "read" or "indicator"
	Where  [2]string  `json:"where"`           // of the reading, metric and inch
	Less   *[2]string `json:"less,omitempty"`  // of a second one, which is taken off the first
	Unit   string     `json:"unit,omitempty"`  // "": a height, m
	Before float64    `json:"before"`          // what is read before the turn while the instrument's zero is that of the survey; of an indicator 0
	Until  *float64   `json:"until,omitempty"` // what is read then; nil: nothing is read
	Within float64    `json:"within,omitempty"`
}
