package supports

import "footwork/beam"

// Influence is the change of both ways' shape and of every foot load for a unit
// raise of each foot, while the contact stays as it is.
type Influence struct {
	Feet  []string
	Ways  []WayInfluence
	Load  [][]float64 // [foot raised][foot], N/m
	Loads []float64   // N, present load of each foot
	Up    []float64   // m, how far each foot alone may rise before the contact changes; may be +Inf
	Down  []float64   // m, how far each foot alone may be lowered; ≥ 0
}

// WayInfluence is one way's part of an Influence.
type WayInfluence struct {
	Name   string
	Offset float64     // m across the bed
	X      []float64   // m, stations
	Height [][]float64 // [foot][station], m/m
}

// InfluenceOf returns the influence of every foot on each way at the stations
// that ways bring in X; their Height is filled in. It is beam.ErrUnsettled when
// the state's contact does not hold the bed.
func InfluenceOf(v *beam.Solver, st *beam.State, ways []WayInfluence) (Influence, error) {
	responses, err := st.Respond()
	if err != nil {
		return Influence{}, err
	}
	in := Influence{Ways: ways}
	for i, f := range st.Feet() {
		in.Feet = append(in.Feet, f.Name)
		in.Loads = append(in.Loads, f.Load)
		in.Load = append(in.Load, responses[i].Loads)
		in.Up = append(in.Up, responses[i].Up)
		in.Down = append(in.Down, responses[i].Down)
	}
	for w := range in.Ways {
		probe := v.Probe(ways[w].X, ways[w].Offset)
		in.Ways[w].Height = nil
		for _, r := range responses {
			in.Ways[w].Height = append(in.Ways[w].Height, st.ReadResponse(probe, r))
		}
	}
	return in, nil
}
