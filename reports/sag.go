package reports

// FootLoad is how one foot stands. All feet together are between Low and High with
// 95 % probability.
type FootLoad struct {
	Name                        string
	At, Offset, Load, Low, High float64
	Lifted                      bool
	Gap                         float64
	Carries                     float64 // probability
}

// BearingLoad is how one bearing carries.
type BearingLoad struct {
	Load  float64
	X     []float64
	Force []float64 // N at each x
}

// SagStanding is one standing's answer to `sag`.
type SagStanding struct {
	Name     string
	State    State
	TableAt  *float64 `json:",omitempty"` // left end of the table; nil: no table on the bed
	X        []float64
	Ways     []WayShape
	Twist    []float64
	Weight   float64
	Feet     []FootLoad
	Bearings []BearingLoad
	Warnings []Warning
}

// Sag answers `sag`.
type Sag struct {
	Standings []SagStanding
}

// Change answers `change`.
type Change struct {
	From, To string
	State    State // of To
	X        []float64
	Ways     []WayShape
	Warnings []Warning
}
