package reports

// Check is what a job says that the bed is.
type Check struct {
	Stretches []CheckStretch `json:"stretches"`
	Plates    float64        `json:"plates"`              // N, of all sections by the metal's density
	Ribs      float64        `json:"ribs"`                // N
	Weighed   float64        `json:"weighed,omitzero"`    // N
	WeighedSD float64        `json:"weighed_sd,omitzero"` // N, standard uncertainty, where it is said
	TwistSD   float64        `json:"twist_sd"`            // of the logarithm of the stiffness against twist
	Feet      []CheckFoot    `json:"feet"`
	Doubts    []CheckDoubt   `json:"doubts"`
}

// CheckStretch is one stretch of the bed, its ribs included.
type CheckStretch struct {
	From        float64 `json:"from"`
	To          float64 `json:"to"`
	Area        float64 `json:"area"`
	Inertia     float64 `json:"inertia"`
	ShearArea   float64 `json:"shear_area"`
	Torsion     float64 `json:"torsion"`
	TorsionLow  float64 `json:"torsion_low"`
	TorsionHigh float64 `json:"torsion_high"`
	Warping     float64 `json:"warping"`
	Reach       float64 `json:"reach"` // m, over which twist is felt
	Cells       int     `json:"cells"`
}

// CheckFoot is how much a foot gives way, m/N.
type CheckFoot struct {
	Standing string  `json:"standing"`
	Foot     string  `json:"foot"`
	Give     float64 `json:"give"`    // of all
	Casting  float64 `json:"casting"` // of that the iron over it
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
	Kind     DoubtKind `json:"kind"`
	From     float64   `json:"from,omitzero"`
	To       float64   `json:"to,omitzero"`
	Walls    int       `json:"walls,omitzero"`
	Long     float64   `json:"long,omitzero"`
	Share    float64   `json:"share,omitzero"`
	Standing string    `json:"standing,omitempty"`
}
