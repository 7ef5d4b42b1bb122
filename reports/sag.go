package reports

// FootLoad is how one foot stands. All feet together are between Low and High with
// 95 % probability.
type FootLoad struct {
	Name    string  `json:"name"`
	At      float64 `json:"at"`
	Offset  float64 `json:"offset"`
	Load    float64 `json:"load"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Lifted  bool    `json:"lifted"`
	Gap     float64 `json:"gap"`
	Carries float64 `json:"carries"` // probability
}

// BearingLoad is how one bearing carries.
type BearingLoad struct {
	Load  float64   `json:"load"`
	X     []float64 `json:"x"`
	Force []float64 `json:"force"` // N at each x
}

// SagStanding is one standing's answer to `sag`.
type SagStanding struct {
	Name     string        `json:"name"`
	State    State         `json:"state"`
	TableAt  *float64      `json:"table_at,omitempty"` // left end of the table; nil: no table on the bed
	X        []float64     `json:"x"`
	Ways     []WayShape    `json:"ways"`
	Twist    []float64     `json:"twist"`
	Weight   float64       `json:"weight"`
	Feet     []FootLoad    `json:"feet"`
	Bearings []BearingLoad `json:"bearings"`
	Warnings []Warning     `json:"warnings"`
}

// Sag answers `sag`.
type Sag struct {
	Standings []SagStanding `json:"standings"`
}

// Change answers `change`.
type Change struct {
	From     string     `json:"from"`
	To       string     `json:"to"`
	State    State      `json:"state"` // of To
	X        []float64  `json:"x"`
	Ways     []WayShape `json:"ways"`
	Warnings []Warning  `json:"warnings"`
}
