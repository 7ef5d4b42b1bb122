package beam

import "footwork/beam/casting"

// Foot is a place where the bed is held up.
type Foot struct {
	Name      string
	At        float64 // m along the bed
	Offset    float64 // m across the bed
	Height    float64 // m, of its unloaded top, relative to the other feet
	Stiffness float64 // k, N/m; +Inf: rigid
	Length    float64 // m, bearing length along the bed; 0: a point
	Held      bool    // bolted down: pulls as well as pushes
}

// Bearing is a continuous line of support at height 0.
type Bearing struct {
	From, To  float64 // m along the bed
	Offset    float64 // m across the bed
	Stiffness float64 // N/m per m of length; +Inf: rigid
	Held      bool    // a magnet or clamps: pulls as well as pushes
}

// Standing is one way in which the bed is supported, loaded and warmed.
type Standing struct {
	Name     string
	After    string  // the standing in which the bed was made straight; "" for none
	Gradient float64 // K, top minus bottom of the casting
	Feet     []Foot
	Bearings []Bearing
	Weights  []casting.Weight // what this standing carries besides the bed's own
}
