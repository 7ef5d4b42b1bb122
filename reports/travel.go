package reports

import "strconv"

// PathPoint is where the table is when its left end stands at a place.
type PathPoint struct {
	Height float64 `json:"height"`
	Pitch  float64 `json:"pitch"`
	Roll   float64 `json:"roll"`
	AtTool float64 `json:"at_tool"`
	Under  bool    `json:"under_tool"` // the tool stands over the table
}

// Travel answers `travel`.
type Travel struct {
	Standing           string      `json:"standing"`
	State              State       `json:"state"`
	Stroke             Stroke      `json:"stroke"`
	TableAt            []float64   `json:"table_at"`
	Path               []PathPoint `json:"path"`
	AtToolStraightness float64     `json:"at_tool_straightness"`
	AtToolLow          float64     `json:"at_tool_low"`
	AtToolHigh         float64     `json:"at_tool_high"`
	FootLoads          [][]float64 `json:"foot_loads"` // [place][foot]
	FootLow            [][]float64 `json:"foot_low"`
	FootHigh           [][]float64 `json:"foot_high"`
	Feet               []string    `json:"feet,omitempty"`
	X                  []float64   `json:"x,omitempty"`
	Ways               []TravelWay `json:"ways,omitempty"`
	PressureX          []float64   `json:"pressure_x,omitempty"` // from the table's left end
	Pressure           [][]float64 `json:"pressure,omitempty"`   // [place][pressure_x], N/m of both ways
	Warnings           []Warning   `json:"warnings"`
}

// Stroke is between which places the table's left end moves.
type Stroke struct {
	From    float64 `json:"from"`
	To      float64 `json:"to"`
	Assumed bool    `json:"assumed"` // the job says nothing: as far as the table cannot tip
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
	Name   string      `json:"name"`
	Height [][]float64 `json:"height"` // [place][x]
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
