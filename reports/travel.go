package reports

import "strconv"

// PathPoint is where the table is when its left end stands at a place.
type PathPoint struct {
	Height, Pitch, Roll, AtTool float64
	Under                       bool `json:"under_tool"` // the tool stands over the table
}

// Travel answers `travel`.
type Travel struct {
	Standing                                  string
	State                                     State
	Stroke                                    Stroke
	TableAt                                   []float64
	Path                                      []PathPoint
	AtToolStraightness, AtToolLow, AtToolHigh float64
	FootLoads                                 [][]float64 // [place][foot]
	FootLow, FootHigh                         [][]float64
	Feet                                      []string    `json:",omitempty"`
	X                                         []float64   `json:",omitempty"`
	Ways                                      []TravelWay `json:",omitempty"`
	PressureX                                 []float64   `json:",omitempty"` // from the table's left end
	Pressure                                  [][]float64 `json:",omitempty"` // [place][pressure_x], N/m of both ways
	Warnings                                  []Warning
}

// Stroke is between which places the table's left end moves.
type Stroke struct {
	From, To float64
	Assumed  bool // the job says nothing: as far as the table cannot tip
}

// Work returns the heights under the tool by the place of the table's left end,
// where the tool stands over the table; everywhere when it never does.
func (v Travel) Work() (at, height []float64) {
	for all := range 2 {
		for i, p := range v.Path {
			if p.Under || all == 1 {
				at, height = append(at, v.TableAt[i]), append(height, p.AtTool)
			}
		}
		if len(at) > 0 {
			break
		}
	}
	return at, height
}

// TravelWay is the shape of one way with the table at each place.
type TravelWay struct {
	Name   string
	Height [][]float64 // [place][x]
}

// FootCount returns the number of feet whose loads are given.
func (v Travel) FootCount() int {
	if len(v.FootLoads) == 0 {
		return 0
	}
	return len(v.FootLoads[0])
}

// FootName returns the name of a foot, or its number.
func (v Travel) FootName(i int) string {
	if i < len(v.Feet) {
		return v.Feet[i]
	}
	return strconv.Itoa(i + 1)
}
