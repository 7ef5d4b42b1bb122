// Package test holds every printer to the same answers, of an invented shop and at random, and
// the page to what it does in a browser.
package test

import (
	"fmt"
	"math"

	"footwork/beam/shape"
	"footwork/reports"
	"footwork/supports/plan"
	"footwork/survey"
)

// The answers below are invented: a surface grinder bed of 3.9 m on four pairs
// of feet, with shapes drawn by hand. Only their look is tested with them.

var x = func() (x []float64) {
	for i := range 79 {
		x = append(x, float64(i)*0.05)
	}
	return x
}()

// wave returns a shape that is lower between the feet and bends as a whole.
func wave(x []float64, ripple, bow float64) []float64 {
	y := make([]float64, len(x))
	for i, x := range x {
		u := x / 3.9
		y[i] = ripple*math.Cos(6*math.Pi*(u-0.06)/0.88) + bow*4*u*(1-u) - 12e-6
	}
	return y
}

func feet() []reports.FootLoad {
	var feet []reports.FootLoad
	for i, at := range []float64{0.25, 1.383, 2.517, 3.65} {
		feet = append(feet,
			reports.FootLoad{Name: "F" + string(rune('1'+i)), At: at, Offset: -0.24, Load: []float64{3410, 4620, 5230, 2890}[i]},
			reports.FootLoad{Name: "B" + string(rune('1'+i)), At: at, Offset: 0.24, Load: []float64{3120, 5020, 0, 290}[i]})
	}
	feet[5].Lifted, feet[5].Gap = true, 4e-6
	return feet
}

func ways() []reports.WayShape {
	return []reports.WayShape{
		{Name: "front", Offset: -0.25, Height: wave(x, 1.8e-6, -3e-6), Straightness: reports.Straightness{Ends: 5.9e-6, LeastSquares: 5.4e-6, MinimumZone: 5.1e-6, Sigma: nil}},
		{Name: "back", Offset: 0.25, Height: wave(x, 2.4e-6, 5e-6), Straightness: reports.Straightness{Ends: 7.8e-6, LeastSquares: 7.1e-6, MinimumZone: 6.6e-6, Sigma: nil}},
	}
}

func sag() reports.Sag {
	return reports.Sag{Standings: []reports.SagStanding{
		{Name: "shop floor", X: x, Ways: ways(), Twist: make([]float64, len(x)), Weight: 24600, Feet: feet()},
		{Name: "on the grinding table", X: x, Ways: ways()[:1], Twist: make([]float64, len(x)), Weight: 24600,
			Bearings: []reports.BearingLoad{{Load: 12300, X: []float64{0, 1}, Force: []float64{1, 1}}, {Load: 12300}}},
	}}
}

func travel() reports.Travel {
	v := reports.Travel{Standing: "shop floor", AtToolStraightness: 3.2e-6, Feet: []string{"F1", "B1", "F2", "B2"}}
	for i := range 22 {
		u := float64(i) / 21
		v.TableAt = append(v.TableAt, -0.3+2.1*u)
		v.Path = append(v.Path, reports.PathPoint{Height: -14e-6 - 2e-6*u, Pitch: 4e-6 * (u - 0.4), Roll: 2e-6 * (0.5 - u), AtTool: -15e-6 - 3.2e-6*math.Sin(math.Pi*u), Under: i > 0})
		v.FootLoads = append(v.FootLoads, []float64{5200 - 3000*u, 4900 - 2800*u, 4000 + 2500*u, 3800 + 2600*u})
	}
	return v
}

func change() reports.Change {
	return reports.Change{From: "on the grinding table", To: "shop floor", X: x, Ways: ways()}
}

func surveys() reports.Survey {
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
	of := func(way string) survey.Subject { return survey.Subject{Standing: "shop floor", Way: way} }
	return reports.Survey{Surveys: []reports.SurveyProfile{
		{Name: "front way, first set-up", Subject: of("front"), X: x, Height: height, Sigma: give,
			Straightness: reports.Straightness{Ends: 10.9e-6, LeastSquares: 10.4e-6, MinimumZone: 9.8e-6, Sigma: &sigma}},
		{Name: "back way, first set-up", Subject: of("back"), X: x, Height: give, Sigma: give, Straightness: reports.Straightness{Ends: 0.5e-6, LeastSquares: 0.5e-6, MinimumZone: 0.5e-6, Sigma: nil}},
		{Name: "twist, first set-up", Subject: of(""), X: x[:9], Height: slope[:9], Sigma: give[:9], Instrument: "cross level"},
	}}
}

func match() reports.Match {
	v := reports.Match{Standing: "shop floor", Stiffness: reports.Estimate{Factor: 0.94, Low: 0.86, High: 1.03, Told: true}, TwistStiffness: reports.Estimate{Factor: 1.2, Low: 0.9, High: 1.6, Told: true}, FootStiffness: reports.Estimate{Factor: 1.1, Low: 0.5, High: 2.3, Told: false}, Gradient: reports.Estimate{Factor: 0.3, Low: -0.2, High: 0.8, Told: false},
		Zone: 11.2e-6, ZoneWay: "back", Shares: []reports.Share{{Part: "feet", Value: 8.1e-6, Low: 6.9e-06, High: 9.3e-06, Wide: 1.2e-6, Told: true}, {Part: "sag", Value: 2.2e-6, Low: 1.9e-06, High: 2.5e-06, Wide: 0.3e-6, Told: true}, {Part: "heat", Value: 0.2e-6, Low: -7e-07, High: 1.1e-06, Wide: 0.9e-6, Told: false}, {Part: "metal", Value: 0.7e-6, Low: -7e-07, High: 2.1e-06, Wide: 1.4e-6, Told: true}},
		Sets:   []reports.ContactSet{{Hanging: []string{"B3"}, Probability: 0.97}, {Hanging: nil, Probability: 0.03}},
		Advice: []reports.Advice{{Do: "load", Foot: "B3", Minutes: 6, People: 1, Before: 0.6, After: 0.4}}}
	for i, f := range feet() {
		h := float64(i*i-9*i) * 1.3e-6
		v.Feet = append(v.Feet, reports.FootEstimate{Name: f.Name, Height: h, Low: h - 3e-6, High: h + 3e-6, Told: i != 5,
			Carries: map[bool]float64{true: 0.03, false: 0.99}[i == 5], Load: [3]float64{f.Load, 0.8 * f.Load, 1.2 * f.Load}})
	}
	for i, w := range ways() {
		p := reports.WayParts{Name: w.Name, X: x, Sag: w.Height, Feet: wave(x, 0, -9e-6), Heat: wave(x, 0, 1.1e-6),
			Form: wave(x, float64(i+1)*0.5e-6, 3e-6), FormSigma: wave(x, 0, 0), Rest: wave(x, 0.2e-6, 0)}
		for k := range x {
			p.FormSigma[k] = 0.7e-6
			p.Measured = append(p.Measured, p.Sag[k]+p.Feet[k]+p.Heat[k]+p.Form[k])
		}
		for k, part := range []string{"feet", "sag", "heat", "metal", "rest"} {
			zone := shape.Zone(x, [][]float64{p.Feet, p.Sag, p.Heat, p.Form, p.Rest}[k])
			p.Zones[k] = reports.Share{Part: part, Value: zone, Low: 0.8 * zone, High: 1.2 * zone, Wide: 0.2 * zone, Told: true}
		}
		v.Ways = append(v.Ways, p)
	}
	return v
}

func adjust() reports.Adjust {
	v := reports.Adjust{Standing: "shop floor", Before: reports.Before{Zone: 12.4e-6}, Recommended: 2}
	moves := []reports.Move{{Foot: "F2", Raise: 20e-6, Text: "up 5°"}, {Foot: "B3", Raise: 12.5e-6, Text: "up 3°"}, {Foot: "F4", Raise: -4e-6, Text: "down 1°"}}
	for n := range 4 {
		p := reports.Plan{FeetMoved: n, Moves: moves[:n], Zone: []float64{12.4e-6, 7.1e-6, 4.3e-6, 4.0e-6}[n], ZoneSigma: 0.45e-6}
		p.Low, p.High = p.Zone-0.9e-6, p.Zone+0.9e-6
		for i, w := range ways() {
			p.Ways = append(p.Ways, reports.PlanWay{Name: w.Name, Curve: plan.Curve{X: x, Height: wave(x, 0.8e-6*float64(i+1), 2e-6), Sigma: make([]float64, len(x))}})
		}
		for _, f := range feet() {
			p.Loads = append(p.Loads, reports.NamedLoad{Foot: f.Name, Load: f.Load + 400*float64(n)})
		}
		for i, m := range p.Moves {
			s := reports.Step{Foot: m.Foot, Raise: m.Raise, Text: m.Text, Loads: p.Loads}
			r := reports.Reading{Survey: "front way, first set-up", Unit: "arcsec"}
			for k := range 24 {
				r.X, r.Value = append(r.X, 0.075+0.15*float64(k)), append(r.Value, math.Sin(float64(k+i)/4)*2)
			}
			s.Readings = []reports.Reading{r, {Survey: "twist, first set-up", X: []float64{0.3, 1.9, 3.6}, Value: []float64{0.1, -0.25, 0.3}, Unit: "div"}}
			s.Watch = &reports.Watch{Survey: r.Survey, At: r.X[5+i], Before: r.Value[5+i] + 1.4, Until: r.Value[5+i], Change: -1.4, Within: 0.3, Unit: "arcsec"}
			p.Steps = append(p.Steps, s)
		}
		v.Plans = append(v.Plans, p)
	}
	return v
}

func place() reports.Place {
	place := func(pattern string, at []float64, zone, cost float64, loads ...float64) reports.Placement {
		p := reports.Placement{Pairs: len(at), Pattern: pattern, At: at, Zone: zone, Sensitivity: cost, SensitivityRMS: cost / 2, Loads: loads, Lightest: "N1",
			Floors: &reports.FloorShares{AsFound: 0.21, Adjusted: 0.93}}
		for i, x := range at {
			p.Feet = append(p.Feet, reports.PlacedFoot{Name: fmt.Sprintf("N%d", i+1), At: x, Offset: -0.24, Least: loads[i] / 3, Most: 2 * loads[i]})
		}
		return p
	}
	return reports.Place{Recommended: 1, Reason: "worth", Stroke: &reports.Stroke{From: -0.3, To: 1.8, Assumed: true}, Present: &reports.FloorShares{AsFound: 0.18, Adjusted: 0.88},
		Placements: []reports.Placement{
			place("one foot at the left end", []float64{0.35, 3.55}, 9.2e-6, 2.1e-6, 6100, 12200),
			place("pairs", []float64{0.3, 1.4, 2.5, 3.6}, 4.6e-6, 5.4e-6, 4100, 8000, 8100, 4400),
			place("pairs", []float64{0.25, 1.1, 1.95, 2.8, 3.65}, 3.1e-6, 9.9e-6, 2900, 6300, 6200, 6300, 2900),
		}}
}

func cutView() reports.Cut {
	depth := func(most float64) []float64 {
		y := make([]float64, len(x))
		for i, x := range x {
			y[i] = most * math.Pow(math.Sin(math.Pi*x/3.9), 2)
		}
		return y
	}
	run := func(pass int, from, to float64) reports.CutRun {
		return reports.CutRun{Pass: pass, From: from, To: to, Against: pass%2 == 0}
	}
	return reports.Cut{State: reports.Found,
		Sink: reports.Sink{Bed: 8e-6}, DepthPerPass: 3e-6,
		Ways: []reports.CutWay{
			{Name: "front", X: x, Depth: depth(9.8e-6), Volume: 2.1e-6, Passes: 4, Hours: 3.3, Range: &reports.CutRange{Volume: [2]float64{1.8e-6, 2.5e-6}, Passes: [2]float64{3, 5}, Hours: [2]float64{2.5, 4.2}}},
			{Name: "back", X: x, Depth: depth(12.4e-6), Volume: 2.9e-6, Passes: 5, Hours: 4.2, Range: nil}},
		AfterMoves: &reports.CutAfter{Sink: reports.Sink{Bed: 2e-6}, Ways: []reports.CutWay{{Name: "front", Map: []reports.CutRun{run(1, 1.4, 2.5), run(2, 0.9, 1.7), run(2, 1.9, 3.0)}, SurveyAfter: []int{1}, CannotTell: []shape.Span{{From: 0, To: 0.2}}, X: x, Depth: depth(3e-6), Volume: 0.7e-6, Passes: 1, Hours: 0.8, Range: nil}, {Name: "back", X: x, Depth: depth(4.3e-6), Volume: 0.9e-6, Passes: 2, Hours: 1.7, Range: nil}}},
	}
}

func blue() reports.Blue {
	way := func(name string, steps ...reports.BlueStep) reports.BlueWay {
		return reports.BlueWay{Name: name, Master: "two-metre edge", Length: 2, Film: 2.5e-6, Steps: steps, Overlap: 0.1, Hides: 23e-6, HidesHump: 14e-6, Degree: 25e-6, SteppingBow: 5e-6, WayZone: 12e-6}
	}
	step := func(at float64, hinge float64, prints ...shape.Span) reports.BlueStep {
		s := reports.BlueStep{At: at, X: []float64{at + 0.5, at + 1.5}, Gap: []float64{0, 4e-6}, Pressure: []float64{250, 0}, Hinge: [2]float64{hinge, hinge}}
		for i := range prints {
			s.Prints = append(s.Prints, reports.BluePrint{From: prints[i].From, To: prints[i].To, Across: []string{"full", "inner"}[i%2], Bears: 1 - 0.5*float64(len(prints)-1)})
			s.May = append(s.May, prints[i])
			if i == 0 {
				s.Sure = append(s.Sure, prints[i])
			}
		}
		return s
	}
	return reports.Blue{Standing: "shop floor", State: reports.Found, Ways: []reports.BlueWay{
		way("front", step(0, 0.03, shape.Span{From: 0, To: 0.31}, shape.Span{From: 1.62, To: 2}), step(1.9, 0.46, shape.Span{From: 2.6, To: 3.2})),
		way("back", step(0, 0.29, shape.Span{From: 0, To: 2}), step(1.9, 0.3, shape.Span{From: 1.9, To: 3.9}))}}
}

// answer is an answer with the name of the command that gives it.
type answer struct {
	Name string
	View reports.View
}

// answers returns one answer of every kind, made anew.
func answers() []answer {
	return []answer{
		{"sag", sag()}, {"travel", travel()}, {"change", change()}, {"survey", surveys()},
		{"match", match()}, {"adjust", adjust()}, {"place", place()}, {"cut", cutView()}, {"blue", blue()},
	}
}
