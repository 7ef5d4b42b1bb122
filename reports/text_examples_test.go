package reports

import (
	"fmt"
	"math"
)

// The answers below are invented: a surface grinder bed of 3.9 m on four pairs
// of feet, with shapes drawn by hand. Only their look is tested with them.

var textX = func() (x []float64) {
	for i := range 79 {
		x = append(x, float64(i)*0.05)
	}
	return x
}()

// textWave returns a shape that is lower between the feet and bends as a whole.
func textWave(x []float64, ripple, bow float64) []float64 {
	y := make([]float64, len(x))
	for i, x := range x {
		u := x / 3.9
		y[i] = ripple*math.Cos(6*math.Pi*(u-0.06)/0.88) + bow*4*u*(1-u) - 12e-6
	}
	return y
}

func textFeet() []FootLoad {
	var feet []FootLoad
	for i, at := range []float64{0.25, 1.383, 2.517, 3.65} {
		feet = append(feet,
			FootLoad{Name: "F" + string(rune('1'+i)), At: at, Offset: -0.24, Load: []float64{3410, 4620, 5230, 2890}[i]},
			FootLoad{Name: "B" + string(rune('1'+i)), At: at, Offset: 0.24, Load: []float64{3120, 5020, 0, 290}[i]})
	}
	feet[5].Lifted, feet[5].Gap = true, 4e-6
	return feet
}

func textWays() []WayShape {
	return []WayShape{
		{"front", -0.25, textWave(textX, 1.8e-6, -3e-6), Straightness{5.9e-6, 5.4e-6, 5.1e-6, nil}},
		{"back", 0.25, textWave(textX, 2.4e-6, 5e-6), Straightness{7.8e-6, 7.1e-6, 6.6e-6, nil}},
	}
}

func textSag() Sag {
	return Sag{Standings: []SagStanding{
		{Name: "shop floor", X: textX, Ways: textWays(), Twist: make([]float64, len(textX)), Weight: 24600, Feet: textFeet()},
		{Name: "on the grinding table", X: textX, Ways: textWays()[:1], Twist: make([]float64, len(textX)), Weight: 24600,
			Bearings: []BearingLoad{{Load: 12300, X: []float64{0, 1}, Force: []float64{1, 1}}, {Load: 12300}}},
	}}
}

func textTravel() Travel {
	v := Travel{Standing: "shop floor", AtToolStraightness: 3.2e-6, Feet: []string{"F1", "B1", "F2", "B2"}}
	for i := range 22 {
		u := float64(i) / 21
		v.TableAt = append(v.TableAt, -0.3+2.1*u)
		v.Path = append(v.Path, PathPoint{-14e-6 - 2e-6*u, 4e-6 * (u - 0.4), 2e-6 * (0.5 - u), -15e-6 - 3.2e-6*math.Sin(math.Pi*u), i > 0})
		v.FootLoads = append(v.FootLoads, []float64{5200 - 3000*u, 4900 - 2800*u, 4000 + 2500*u, 3800 + 2600*u})
	}
	return v
}

func textChange() Change {
	return Change{From: "on the grinding table", To: "shop floor", X: textX, Ways: textWays()}
}

func textSurvey() Survey {
	sigma, x := 0.4e-6, []float64{}
	for i := range 25 {
		x = append(x, 0.075+0.15*float64(i))
	}
	height, give, slope := make([]float64, 25), make([]float64, 25), make([]float64, 25)
	for i := range x {
		u := float64(i) / 24
		height[i] = -11e-6*math.Sin(math.Pi*u) + 2e-6*math.Sin(5*math.Pi*u)
		give[i] = 0.9e-6 * math.Sqrt(u*(1-u))
		slope[i] = 20e-6 * u * u
	}
	return Survey{Surveys: []SurveyProfile{
		{Name: "front way, first set-up", Standing: "shop floor", Way: "front", X: x, Height: height, Sigma: give,
			Straightness: Straightness{10.9e-6, 10.4e-6, 9.8e-6, &sigma}},
		{Name: "back way, first set-up", Standing: "shop floor", Way: "back", X: x, Height: give, Sigma: give, Straightness: Straightness{0.5e-6, 0.5e-6, 0.5e-6, nil}},
		{Name: "twist, first set-up", Standing: "shop floor", X: x[:9], Height: slope[:9], Sigma: give[:9], Instrument: "cross level"},
	}}
}

func textMatch() Match {
	v := Match{Standing: "shop floor", Stiffness: Estimate{0.94, 0.86, 1.03, true}, FootStiffness: Estimate{1.1, 0.5, 2.3, false}, Gradient: Estimate{0.3, -0.2, 0.8, false},
		Zone: 11.2e-6, ZoneWay: "back", Explained: []Share{{"feet", 8.1e-6, 1.2e-6, true}, {"sag", 2.2e-6, 0.3e-6, true}, {"heat", 0.2e-6, 0.9e-6, false}, {"metal", 0.7e-6, 1.4e-6, true}},
		Sets:      []ContactSet{{[]string{"B3"}, 0.97}, {nil, 0.03}},
		Responses: []FootResponse{{"F2", "front way, second", "front way, first", 20e-6, 14.1e-6, 1.2e-6, 13.2e-6}},
		Advice:    []Advice{{Foot: "B3", Feel: true, Bits: 0.9}}}
	for i, f := range textFeet() {
		h := float64(i*i-9*i) * 1.3e-6
		v.Feet = append(v.Feet, FootEstimate{Name: f.Name, Height: h, Low: h - 3e-6, High: h + 3e-6, Told: i != 5,
			Carries: map[bool]float64{true: 0.03, false: 0.99}[i == 5], Load: [3]float64{f.Load, 0.8 * f.Load, 1.2 * f.Load}})
	}
	for i, w := range textWays() {
		p := WayParts{Name: w.Name, X: textX, Sag: w.Height, Feet: textWave(textX, 0, -9e-6), Heat: textWave(textX, 0, 1.1e-6),
			Form: textWave(textX, float64(i+1)*0.5e-6, 3e-6), FormSigma: textWave(textX, 0, 0), Rest: textWave(textX, 0.2e-6, 0)}
		for k := range textX {
			p.FormSigma[k] = 0.7e-6
			p.Measured = append(p.Measured, p.Sag[k]+p.Feet[k]+p.Heat[k]+p.Form[k])
		}
		v.Ways = append(v.Ways, p)
	}
	return v
}

func textAdjust() Adjust {
	v := Adjust{Standing: "shop floor", Before: Before{12.4e-6}, Recommended: 2}
	moves := []Move{{Foot: "F2", Raise: 20e-6, Text: "turn 4.8° (handle swing 25 mm)"}, {Foot: "B3", Raise: 12.5e-6, Text: "turn 3.0° (handle swing 16 mm)"}, {Foot: "F4", Raise: -4e-6, Text: "turn back 1.0° (handle swing 5 mm)"}}
	for n := range 4 {
		p := Plan{FeetMoved: n, Moves: moves[:n], Zone: []float64{12.4e-6, 7.1e-6, 4.3e-6, 4.0e-6}[n], ZoneSigma: 0.45e-6}
		for i, w := range textWays() {
			p.Ways = append(p.Ways, PlanWay{w.Name, textX, textWave(textX, 0.8e-6*float64(i+1), 2e-6), make([]float64, len(textX))})
		}
		for _, f := range textFeet() {
			p.Loads = append(p.Loads, NamedLoad{Foot: f.Name, Load: f.Load + 400*float64(n)})
		}
		for i, m := range p.Moves {
			s := Step{Foot: m.Foot, Raise: m.Raise, Text: m.Text, Loads: p.Loads}
			r := Reading{Survey: "front way, first set-up", Unit: "arcsec"}
			for k := range 24 {
				r.X, r.Value = append(r.X, 0.075+0.15*float64(k)), append(r.Value, math.Sin(float64(k+i)/4)*2)
			}
			s.Readings = []Reading{r, {"twist, first set-up", []float64{0.3, 1.9, 3.6}, []float64{0.1, -0.25, 0.3}, "div"}}
			p.Steps = append(p.Steps, s)
		}
		v.Plans = append(v.Plans, p)
	}
	return v
}

func textPlace() Place {
	place := func(pattern string, at []float64, zone, cost float64, loads ...float64) Placement {
		p := Placement{Pairs: len(at), Pattern: pattern, At: at, Zone: zone, Sensitivity: cost, SensitivityRMS: cost / 2, Loads: loads, Lightest: "N1",
			Floors: &FloorShares{0.21, 0.93}}
		for i, x := range at {
			p.Feet = append(p.Feet, PlacedFoot{fmt.Sprintf("N%d", i+1), x, -0.24, loads[i] / 3, 2 * loads[i]})
		}
		return p
	}
	return Place{Recommended: 1, Table: true, Why: "8 feet are worth it: 4.6 µm over the whole travel, 10 µm with one foot 10 µm wrong.", Present: &FloorShares{0.18, 0.88},
		Placements: []Placement{
			place("one foot at the left end", []float64{0.35, 3.55}, 9.2e-6, 2.1e-6, 6100, 12200),
			place("pairs", []float64{0.3, 1.4, 2.5, 3.6}, 4.6e-6, 5.4e-6, 4100, 8000, 8100, 4400),
			place("pairs", []float64{0.25, 1.1, 1.95, 2.8, 3.65}, 3.1e-6, 9.9e-6, 2900, 6300, 6200, 6300, 2900),
		}}
}

func textCutView() Cut {
	depth := func(most float64) []float64 {
		y := make([]float64, len(textX))
		for i, x := range textX {
			y[i] = most * math.Pow(math.Sin(math.Pi*x/3.9), 2)
		}
		return y
	}
	return Cut{
		Ways: []CutWay{
			{"front", textX, depth(9.8e-6), 2.1e-6, 4, 3.3, &CutRange{[2]float64{1.8e-6, 2.5e-6}, [2]float64{3, 5}, [2]float64{2.5, 4.2}}},
			{"back", textX, depth(12.4e-6), 2.9e-6, 5, 4.2, nil}},
		AfterMoves: &CutAfter{Ways: []CutWay{{"front", textX, depth(3e-6), 0.7e-6, 1, 0.8, nil}, {"back", textX, depth(4.3e-6), 0.9e-6, 2, 1.7, nil}}},
	}
}

// textViews is one answer of every kind.
var textViews = []struct {
	name string
	view View
}{
	{"sag", textSag()}, {"travel", textTravel()}, {"change", textChange()}, {"survey", textSurvey()},
	{"match", textMatch()}, {"adjust", textAdjust()}, {"place", textPlace()}, {"cut", textCutView()},
}
