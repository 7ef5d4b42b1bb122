package reports

import "footwork/beam/shape"

// BluePrint is a stretch that takes colour.
type BluePrint struct {
	From   float64 // along the bed
	To     float64
	Across string  // "inner", "outer" or "full"
	Bears  float64 // the share of the master that it bears
}

// BlueStep is a master at one place on a way.
type BlueStep struct {
	At               float64      // of its left end
	Prints           []BluePrint  // on the most likely bed
	Sure             []shape.Span // where it prints whatever the bed may be
	May              []shape.Span // where it prints on some bed that it may be
	X, Gap, Pressure []float64
	Seated           float64    // how far out of straight the master's own face is as it lies
	WaySeated        float64    // and the way under it
	Hinge            [2]float64 // nudged at the left and at the right end: share of its length from the other end
}

// BlueWay is what one master prints on one way, or on one flank of it (1 and 2, towards
// negative and positive offset).
type BlueWay struct {
	Name        string
	Flank       int `json:",omitempty"`
	Master      string
	Length      float64 // of the master
	Film        float64
	Steps       []BlueStep
	Overlap     float64
	Free        float64 // how far out of straight the master's own face is, free
	Hides       float64 // the hollow that its weight closes
	HidesHump   float64 // the hump that its ends droop over
	Degree      float64 // its own bow for one kelvin; 0: not known
	SteppingBow float64
	WayZone     float64     // how far out of straight the way is
	LeftOut     []NamedSpan `json:",omitempty"`
}

// Blue answers `blue`.
type Blue struct {
	Standing string
	State    State
	Ways     []BlueWay
	Warnings []Warning
}
