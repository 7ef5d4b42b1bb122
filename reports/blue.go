package reports

import "footwork/beam"

// BluePrint is a stretch that takes colour.
type BluePrint struct {
	From   float64 `json:"from"` // along the bed
	To     float64 `json:"to"`
	Across string  `json:"across"` // "inner", "outer" or "full"
	Bears  float64 `json:"bears"`  // the share of the master that it bears
}

// BlueStep is a master at one place on a way.
type BlueStep struct {
	At       float64     `json:"at"`     // of its left end
	Prints   []BluePrint `json:"prints"` // on the most likely bed
	Sure     []beam.Span `json:"sure"`   // where it prints whatever the bed may be
	May      []beam.Span `json:"may"`    // where it prints on some bed that it may be
	X        []float64   `json:"x"`
	Gap      []float64   `json:"gap"`
	Pressure []float64   `json:"pressure"`
	Seated   float64     `json:"seated"` // how far out of straight the master's own face is as it lies
	Hinge    [2]float64  `json:"hinge"`  // nudged at the left and at the right end: share of its length from the other end
}

// BlueWay is what one master prints on one way, or on one flank of it (1 and 2, towards
// negative and positive offset).
type BlueWay struct {
	Name        string      `json:"name"`
	Flank       int         `json:"flank,omitempty"`
	Master      string      `json:"master"`
	Length      float64     `json:"length"` // of the master
	Film        float64     `json:"film"`
	Steps       []BlueStep  `json:"steps"`
	Overlap     float64     `json:"overlap"`
	Free        float64     `json:"free"`       // how far out of straight the master's own face is, free
	Hides       float64     `json:"hides"`      // the hollow that its weight closes
	HidesHump   float64     `json:"hides_hump"` // the hump that its ends droop over
	Degree      float64     `json:"degree"`     // its own bow for one kelvin; 0: not known
	SteppingBow float64     `json:"stepping_bow"`
	WayZone     float64     `json:"way_zone"` // how far out of straight the way is
	LeftOut     []NamedSpan `json:"left_out,omitempty"`
}

// Blue answers `blue`.
type Blue struct {
	Standing string    `json:"standing"`
	State    State     `json:"state"`
	Ways     []BlueWay `json:"ways"`
	Warnings []Warning `json:"warnings"`
}

// NoMasterFits is a way that no master of the job can be laid on.
type NoMasterFits struct {
	Way    string
	Flanks *[2]float64 // rad, of a vee
}

// PrintDoubted is where a print and what was foretold of it differ.
type PrintDoubted struct {
	Line        int // of the log
	Way, Master string
	From, To    float64 // m along the bed
	Air         float64 // m foretold where it printed; 0: nothing printed where it should
}

// PrintUnlike is a print that hardly any bed makes that the surveys leave possible, of a
// master over a stretch along the bed.
type PrintUnlike struct {
	Line        int // of the log
	Way, Master string
	From, To    float64 // m
}

// OtherHands are prints that different people took, with the first line of the log of each.
type OtherHands struct {
	By    []string // "": nobody was named
	Lines []int
}

// HingeUnlike is a master that swings elsewhere than foretold: the shares of its length from
// the other end when nudged at its left and at its right end.
type HingeUnlike struct {
	Line        int // of the log
	Way, Master string
	Seen        [2]float64
	Foretold    [2]float64
}
