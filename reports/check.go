package reports

// Check is what a job says that the bed is.
type Check struct {
	Stretches []CheckStretch
	Plates    float64 // N, of all sections by the metal's density
	Ribs      float64 // N
	Weighed   float64 // N
	WeighedSD float64 // N, standard uncertainty, where it is said
	TwistSD   float64 // of the logarithm of the stiffness against twist
	Feet      []CheckFoot
	Doubts    []CheckDoubt
}

// CheckStretch is one stretch of the bed, its ribs included.
type CheckStretch struct {
	From, To, Area, Inertia, ShearArea, Torsion float64
	TorsionLow, TorsionHigh, Warping            float64
	Reach                                       float64 // m, over which twist is felt
	Cells                                       int
}

// CheckFoot is how much a foot gives way, m/N.
type CheckFoot struct {
	Standing, Foot string
	Give           float64 // of all
	Casting        float64 // of that the iron over it
}

// DoubtKind says what a job leaves in doubt.
type DoubtKind string

const (
	OpenUnribbed DoubtKind = "open section without ribs" // over From to To, of Walls
	BoxUnribbed  DoubtKind = "box without ribs"          // over From to To
	BoxBare      DoubtKind = "box without ribs between"  // over Long of From to To
	Lopsided     DoubtKind = "lopsided section"          // over From to To, softer by Share
	RigidFeet    DoubtKind = "rigid feet"                // all of Standing
)

// CheckDoubt is one doubt.
type CheckDoubt struct {
	Kind     DoubtKind
	From, To float64
	Walls    int
	Long     float64
	Share    float64
	Standing string
}
