package reports

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/internal/convex"
	"footwork/internal/unit"
	"footwork/supports"
)

// benchBed is an invented bed whose every answer is a closed form: a uniform
// cantilever built in at its left end (Timoshenko and Gere, Mechanics of
// Materials, beam tables: end load, and distributed load), plus shear and
// torsion, floating on springs.
type benchBed struct {
	length, ei, kga, gj float64 // m, N·m², N, N·m²
	line                float64 // N/m of its own weight
	feet                []beam.Foot
	ways                []beam.Way
	x                   []float64 // stations
}

func newBenchBed(pairs int) *benchBed {
	b := &benchBed{length: 3.9, ei: 9.2e7, kga: 1.9e9, gj: 1.6e7, line: 5300,
		ways: []beam.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
	for i := range 27 {
		b.x = append(b.x, min(0.15*float64(i), b.length))
	}
	for i := range pairs {
		at := 0.25 + 3.4*float64(i)/float64(pairs-1)
		b.feet = append(b.feet,
			beam.Foot{Name: fmt.Sprintf("F%d", i+1), At: at, Offset: -0.24, Stiffness: 0.9e9},
			beam.Foot{Name: fmt.Sprintf("B%d", i+1), At: at, Offset: 0.24, Stiffness: 0.9e9})
	}
	return b
}

// flex returns the height at (x, y) for a unit force up at (s, v).
func (b *benchBed) flex(x, y, s, v float64) float64 {
	lo, hi := min(x, s), max(x, s)
	return lo*lo*(3*hi-lo)/(6*b.ei) + lo/b.kga + y*v*lo/b.gj
}

// sagging returns the height at x under the bed's own weight.
func (b *benchBed) sagging(x float64) float64 {
	l := b.length
	return -b.line*x*x*(6*l*l-4*l*x+x*x)/(24*b.ei) - b.line*(l*x-x*x/2)/b.kga
}

// weights that the bed carries besides its own.
func (b *benchBed) carried(table float64) []beam.Weight {
	w := []beam.Weight{{Name: "drive gearbox", At: 3.5, Force: 1570}}
	if math.IsNaN(table) {
		return w
	}
	for k := range 12 {
		at := table + 2.4*(float64(k)+0.5)/12
		w = append(w, beam.Weight{At: at, Offset: -0.25, Force: 530}, beam.Weight{At: at, Offset: 0.25, Force: 530})
	}
	return w
}

// trial returns the page's contact problem with wrong foot heights (m) and the
// table's left end at table (NaN: none).
func (b *benchBed) trial(heights []float64, table float64) *Try {
	t := &Try{Standing: "shop floor", Eq: make([][]float64, 3), B: []float64{b.line * b.length, b.line * b.length * b.length / 2, 0}}
	carried := b.carried(table)
	free := func(x, y float64) float64 {
		h := b.sagging(x)
		for _, w := range carried {
			h -= w.Force * b.flex(x, y, w.At, w.Offset)
		}
		return h
	}
	for _, w := range carried {
		t.B[0], t.B[1], t.B[2] = t.B[0]+w.Force, t.B[1]+w.Force*w.At, t.B[2]+w.Force*w.Offset
	}
	for i, f := range b.feet {
		row := make([]float64, len(b.feet))
		for j, g := range b.feet {
			row[j] = b.flex(f.At, f.Offset, g.At, g.Offset)
		}
		row[i] += 1 / f.Stiffness
		t.H, t.C = append(t.H, row), append(t.C, free(f.At, f.Offset)-heights[i])
		t.Eq[0], t.Eq[1], t.Eq[2] = append(t.Eq[0], 1), append(t.Eq[1], f.At), append(t.Eq[2], f.Offset)
		t.Foot, t.Held = append(t.Foot, i), append(t.Held, f.Held)
		t.Feet = append(t.Feet, TryFoot{Name: f.Name, At: f.At, Offset: f.Offset, Kind: "screw", Rise: 1.5e-3, Wrench: 0.3})
	}
	for _, w := range b.ways {
		tw := TryWay{Name: w.Name, Offset: w.Offset, X: b.x}
		for _, x := range b.x {
			g := make([]float64, len(b.feet))
			for j, f := range b.feet {
				g[j] = b.flex(x, w.Offset, f.At, f.Offset)
			}
			tw.Base, tw.G = append(tw.Base, free(x, w.Offset)), append(tw.G, g)
		}
		t.Ways = append(t.Ways, tw)
	}
	t.LeastLoad, t.MostMove = 0.15*t.B[0]/float64(len(b.feet)), 0.25e-3
	return t
}

// stood is how a trial stands: by internal/convex, not by the page's script.
type stood struct {
	Loads, Gaps []float64
	Ways        [][]float64
}

func standGo(tb testing.TB, t *Try, raises []float64) stood {
	tb.Helper()
	n := len(t.C)
	p := convex.Program{H: mat.NewSymDense(n, nil), C: slices.Clone(t.C), Eq: mat.NewDense(3, n, nil), E: t.B}
	var free []int
	for i := range n {
		for j := i; j < n; j++ {
			p.H.SetSym(i, j, t.H[i][j])
		}
		for k := range 3 {
			p.Eq.Set(k, i, t.Eq[k][i])
		}
		if f := t.Foot[i]; f >= 0 {
			p.C[i] -= raises[f]
		}
		if !t.Held[i] {
			free = append(free, i)
		}
	}
	p.In, p.B = mat.NewDense(len(free), n, nil), make([]float64, len(free))
	for k, i := range free {
		p.In.Set(k, i, 1)
	}
	sol, err := convex.Quadratic(p)
	if err != nil {
		tb.Fatal(err)
	}
	return unpack(t, sol, p.C)
}

func unpack(t *Try, sol convex.Solution, c []float64) stood {
	s := stood{Loads: make([]float64, len(t.Feet)), Gaps: make([]float64, len(t.Feet))}
	for i, f := range t.Foot {
		gap := c[i]
		for j, r := range sol.X {
			gap += t.H[i][j] * r
		}
		for k := range 3 {
			gap -= t.Eq[k][i] * sol.EqMult[k]
		}
		s.Loads[f] += sol.X[i]
		if sol.X[i] <= 1e-6 {
			s.Gaps[f] = max(gap, 0)
		}
	}
	for _, w := range t.Ways {
		h := make([]float64, len(w.X))
		for i, x := range w.X {
			h[i] = w.Base[i] - sol.EqMult[0] - sol.EqMult[1]*x - sol.EqMult[2]*w.Offset
			for j, r := range sol.X {
				h[i] += w.G[i][j] * r
			}
		}
		s.Ways = append(s.Ways, h)
	}
	return s
}

// straightOf returns the straightness of heights by brute force: the minimum
// zone tries every pair of points as the line's direction.
func straightOf(x, y []float64) Straightness {
	n := len(x)
	about := func(slope float64) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for i := range x {
			d := y[i] - slope*x[i]
			low, high = min(low, d), max(high, d)
		}
		return high - low
	}
	var sx, sy, sxx, sxy float64
	zone := math.Inf(1)
	for i := range x {
		sx, sy, sxx, sxy = sx+x[i], sy+y[i], sxx+x[i]*x[i], sxy+x[i]*y[i]
		for j := range i {
			zone = min(zone, about((y[i]-y[j])/(x[i]-x[j])))
		}
	}
	m := float64(n)
	return Straightness{Ends: about((y[n-1] - y[0]) / (x[n-1] - x[0])), LeastSquares: about((m*sxy - sx*sy) / (m*sxx - sx*sx)), MinimumZone: zone}
}

// fixture is a whole invented job: a surface grinder bed on ten screws.
func fixture(tb testing.TB) Page {
	b := newBenchBed(5)
	none := math.NaN()
	level := make([]float64, len(b.feet))
	wrong := []float64{0, 3e-6, -7e-6, 5e-6, 6e-6, -4e-6, -9e-6, 3e-6, 2e-6, 0}
	actual := b.trial(wrong, none)
	flat, now := standGo(tb, b.trial(level, none), level), standGo(tb, actual, level)
	p := Page{Title: "Surface grinder bed, bay 2", Made: "2026-03-04", Standing: "shop floor", Table: &beam.Table{Length: 2.4, Weight: 12720, Tool: 1.95},
		Bed: beam.Bed{Length: b.length, Ways: b.ways, Weights: b.carried(none), Material: beam.Material{Name: "grey iron 30"}},
		Standings: []beam.Standing{{Name: "on the grinding table"}, {Name: "shop floor", After: "on the grinding table", Feet: b.feet,
			Weights: []beam.Weight{{Name: "wheel column", At: 1.95, Offset: 0.38, Force: 8830}}}},
		Goal: &supports.Goal{LeastLoad: 0.15, MostMove: 0.25e-3, Tolerance: 8e-6}, Adjusters: map[string]supports.Adjuster{}}
	for _, f := range b.feet {
		p.Adjusters[f.Name] = supports.Adjuster{Kind: supports.Screw, Name: "screw M20x1.5", Rise: 1.5e-3, Wrench: 0.3}
	}
	p.Sag = &Sag{Standings: []SagStanding{b.bearingView(), b.sagView(actual, now)}}
	p.Change = &Change{From: "on the grinding table", To: "shop floor", X: b.x, Ways: b.shapes(now.Ways)}
	p.Heat = b.heatView()
	p.Travel = b.travelView(tb, wrong)
	measured := b.measuredWays(now, flat)
	for k := range actual.Ways {
		actual.Ways[k].Measured = measured[k]
	}
	p.Try = actual
	p.Survey = b.surveyView(measured)
	p.Match = b.matchView(measured, now, flat)
	p.Adjust = b.adjustView(tb, actual)
	p.Place = placeView()
	p.Cut = b.cutView(measured, p.Adjust.Plans[p.Adjust.Recommended])
	p.Inputs = []Fact{{Name: "weight of the casting", Value: b.line * b.length, Kind: Force, Note: "density times volume"},
		{Name: "section, second moment", Value: 9.2e-4, Kind: Inertia, Note: "from plates"}, {Name: "foot stiffness", Value: 0.9e9, Kind: Stiffness, Low: 0.45e9, High: 1.8e9, Note: "job file"}}
	p.Materials = []Fact{{Name: "grey iron 30, modulus", Value: 100e9, Kind: Modulus, Low: 90e9, High: 113e9, Note: "handbook table"},
		{Name: "expansion", Value: 11e-6, Kind: Expansion, Low: 10.5e-6, High: 11.7e-6, Note: "handbook table"}, {Name: "grade", Text: "as written in the job"}}
	p.Model = []string{"The bed bends, shears and twists as a beam; feet are springs that push only."}
	p.Limits = []string{"Local dents under a foot and the bending of the ways across are left out."}
	return p
}

func (b *benchBed) shapes(ways [][]float64) []WayShape {
	var out []WayShape
	for k, h := range ways {
		out = append(out, WayShape{Name: b.ways[k].Name, Offset: b.ways[k].Offset, Height: h, Straightness: straightOf(b.x, h)})
	}
	return out
}

func (b *benchBed) sagView(t *Try, s stood) SagStanding {
	v := SagStanding{Name: "shop floor", X: b.x, Ways: b.shapes(s.Ways), Weight: t.B[0]}
	for i, f := range b.feet {
		v.Feet = append(v.Feet, FootLoad{Name: f.Name, At: f.At, Offset: f.Offset, Load: s.Loads[i], Lifted: s.Gaps[i] > 0, Gap: s.Gaps[i]})
	}
	for _, f := range v.Feet {
		if f.Lifted {
			v.Warnings = append(v.Warnings, fmt.Sprintf("foot %s lifts %.0f µm: raise it %.0f µm or hold it down", f.Name, f.Gap*1e6, f.Gap*1e6))
		}
	}
	return v
}

func (b *benchBed) bearingView() SagStanding {
	v := SagStanding{Name: "on the grinding table", X: b.x, Weight: b.line * b.length}
	zero := make([]float64, len(b.x))
	v.Ways = b.shapes([][]float64{zero, zero})
	for range 2 {
		l := BearingLoad{Load: v.Weight / 2}
		for i := range 25 {
			l.X, l.Force = append(l.X, 0.15+0.15*float64(i)), append(l.Force, v.Weight/50)
		}
		v.Bearings = append(v.Bearings, l)
	}
	return v
}

// heatView is the free bow αΔT/(2d)·x(L−x) of one kelvin over 0.48 m.
func (b *benchBed) heatView() *Heat {
	h := make([]float64, len(b.x))
	for i, x := range b.x {
		h[i] = 11e-6 / (2 * 0.48) * x * (b.length - x)
	}
	return &Heat{X: b.x, Ways: b.shapes([][]float64{h, h})}
}

func (b *benchBed) travelView(tb testing.TB, wrong []float64) *Travel {
	t := &Travel{Standing: "shop floor", X: b.x, Ways: []TravelWay{{Name: "front"}, {Name: "back"}}}
	for _, f := range b.feet {
		t.Feet = append(t.Feet, f.Name)
	}
	for i := range 9 {
		t.PressureX = append(t.PressureX, 0.3*float64(i))
	}
	var atTool []float64
	for k := range 16 {
		at := 0.1 * float64(k)
		s := standGo(tb, b.trial(wrong, at), make([]float64, len(b.feet)))
		t.TableAt, t.FootLoads = append(t.TableAt, at), append(t.FootLoads, s.Loads)
		var pressure []float64
		for range t.PressureX {
			pressure = append(pressure, 12720/2.4)
		}
		t.Pressure = append(t.Pressure, pressure)
		for w := range t.Ways {
			t.Ways[w].Height = append(t.Ways[w].Height, s.Ways[w])
		}
		mid := beam.Shape{X: b.x, Y: s.Ways[0]}.At(at + 1.2)
		atTool = append(atTool, mid)
		t.Path = append(t.Path, PathPoint{Height: mid, AtTool: mid})
	}
	t.AtToolStraightness = straightOf(t.TableAt, atTool).MinimumZone
	return t
}

// form is the invented shape in the metal.
func (b *benchBed) form(k int, x float64) float64 {
	return 3e-6*math.Sin(2*math.Pi*x/2.6+float64(k)) - 1.2e-6*math.Cos(5*x)
}

func (b *benchBed) measuredWays(now, flat stood) [][]float64 {
	out := make([][]float64, len(b.ways))
	for k := range out {
		for i, x := range b.x {
			out[k] = append(out[k], now.Ways[k][i]+b.form(k, x))
		}
	}
	_ = flat
	return out
}

func (b *benchBed) sigma() []float64 {
	n := len(b.x) - 1
	out := make([]float64, n+1)
	for i := range out {
		out[i] = 0.15 * 0.2 * unit.ArcSec * math.Sqrt(float64(i*(n-i))/float64(n))
	}
	return out
}

func (b *benchBed) surveyView(measured [][]float64) *Survey {
	v := &Survey{}
	sd := 0.35e-6
	for n, large := range []float64{2.2, 1.5, 0.8, 0.78, 1} { // four passes, and once more after four weeks
		pass := min(n, 3)
		date := []string{"2026-02-02", "2026-02-03", "2026-02-04", "2026-02-05", "2026-03-04"}[n]
		for k, w := range b.ways {
			h := slices.Clone(measured[k])
			for i := range h {
				h[i] *= large
			}
			s := SurveyProfile{Name: fmt.Sprintf("%s way, set-up %d", w.Name, n+1), Standing: "shop floor", Way: w.Name, X: b.x, Height: h,
				Sigma: b.sigma(), Straightness: straightOf(b.x, h), Instrument: "autocollimator", Date: date, Pass: pass}
			s.Straightness.Sigma = &sd
			for r := range 2 {
				run := RunSpread{Name: fmt.Sprintf("run %d", r+1), Unit: "arcsec", X: b.x[:len(b.x)-1]}
				for i := range run.X {
					run.Value = append(run.Value, (1-2*float64(r))*0.12*math.Sin(float64(3*i+k)))
				}
				s.Runs = append(s.Runs, run)
			}
			v.Surveys = append(v.Surveys, s)
		}
	}
	for k, w := range b.ways {
		h := WayHistory{Standing: "shop floor", Way: w.Name}
		for n := k; n < len(v.Surveys); n += len(b.ways) {
			s := v.Surveys[n]
			m := Landmark{Survey: s.Name, Date: s.Date, Pass: s.Pass, Zone: s.Straightness.MinimumZone, Sigma: sd}
			if i := len(h.Marks); i > 0 {
				m.Change, m.Unsure, m.Kind = m.Zone-h.Marks[i-1].Zone, sd*math.Sqrt2, "pass"
				if m.Pass == h.Marks[i-1].Pass {
					m.Kind = "drift"
				}
			}
			h.Marks = append(h.Marks, m)
		}
		v.History = append(v.History, h)
	}
	v.Surveys[0].Warnings = []string{"run 1 and run 2 differ by 0.3 arcsec from station 1650 mm on: look for a knock there"}
	cross := SurveyProfile{Name: "twist, first set-up", Standing: "shop floor", X: b.x, Sigma: make([]float64, len(b.x)), Instrument: "cross level"}
	for i := range b.x {
		cross.Height = append(cross.Height, (measured[1][i]-measured[0][i])/0.5)
		cross.Sigma[i] = 2e-6
	}
	v.Surveys = append(v.Surveys, cross)
	return v
}

func (b *benchBed) matchView(measured [][]float64, now, flat stood) *Match {
	m := &Match{Standing: "shop floor", Stiffness: Estimate{Factor: 0.93, Low: 0.81, High: 1.07, Told: true}, FootStiffness: Estimate{Factor: 1.2, Low: 0.5, High: 2.9}, Gradient: Estimate{Factor: 0.2, Low: -0.6, High: 1}}
	for i, f := range b.feet {
		m.Feet = append(m.Feet, FootEstimate{Name: f.Name, Height: float64(i-4) * 4e-6, Low: float64(i-4)*4e-6 - 6e-6, High: float64(i-4)*4e-6 + 6e-6, Told: i != 3, Carries: 0.9, Load: [3]float64{2e3, 1.5e3, 2.6e3}})
	}
	m.Zone, m.ZoneWay = straightOf(b.x, measured[1]).MinimumZone, "back"
	m.Explained = []Share{{"feet", 0.6 * m.Zone, 1.1e-6, true}, {"metal", 0.4 * m.Zone, 0.9e-6, true}}
	m.Sets = []ContactSet{{[]string{"F4"}, 0.8}, {nil, 0.2}}
	m.Tied = []Tied{{"stiffness of the bed", "height of F4", -0.93}}
	m.Responses = []FootResponse{{Foot: "F2", Survey: "front way, set-up 2", Raise: 12e-6, Predicted: 6e-6, Sigma: 0.5e-6, Observed: 6.4e-6}}
	m.Advice = []Advice{{Foot: "F4", Feel: true, Bits: 1.2}, {Foot: "B2", Raise: -10e-6, Bits: 0.7}, {Other: "on the grinding table", Bits: 0.3}}
	for k, w := range b.ways {
		parts := WayParts{Name: w.Name, X: b.x, Measured: measured[k], Sag: flat.Ways[k], FormSigma: b.sigma()}
		for i, x := range b.x {
			parts.Feet = append(parts.Feet, now.Ways[k][i]-flat.Ways[k][i])
			parts.Heat = append(parts.Heat, 0.2*11e-6/(2*0.48)*x*(b.length-x))
			parts.Rest = append(parts.Rest, 0.2e-6*math.Sin(9*x))
			parts.Form = append(parts.Form, b.form(k, x)-parts.Heat[i]-parts.Rest[i])
		}
		m.Ways = append(m.Ways, parts)
	}
	return m
}

// adjustView adds one foot at a time, each by the whole screw degrees that
// leave the least zone: not the best plan, but a sensible one.
func (b *benchBed) adjustView(tb testing.TB, t *Try) *Adjust {
	a := &Adjust{Standing: "shop floor", Recommended: 3}
	zero := standGo(tb, t, make([]float64, len(b.feet)))
	raises := make([]float64, len(b.feet))
	plan := Plan{ZoneSigma: 0.4e-6, Ways: b.planWays(t, zero, zero)}
	plan.Zone = zoneOf(plan.Ways)
	a.Before.Zone = plan.Zone
	a.Plans = append(a.Plans, plan)
	for k := 1; k < 6; k++ {
		f, raise := b.bestFoot(tb, t, zero, raises)
		raises[f] = raise
		ways := b.planWays(t, zero, standGo(tb, t, raises))
		plan = Plan{FeetMoved: k, ZoneSigma: 0.4e-6, Ways: ways, Zone: zoneOf(ways), Moves: slices.Clone(plan.Moves), Steps: slices.Clone(plan.Steps)}
		plan.Moves = append(plan.Moves, Move{Foot: b.feet[f].Name, Raise: raise})
		plan.Steps = append(plan.Steps, b.stepView(tb, t, zero, raises, f))
		for _, l := range plan.Steps[k-1].Loads {
			plan.Loads = append(plan.Loads, NamedLoad{l.Foot, l.Load, l.Load - 200, l.Load + 200})
		}
		a.Plans = append(a.Plans, plan)
	}
	a.Plans[0].Loads = a.Plans[1].Steps[0].Loads
	a.Levelling = []string{"Stand the bed on F1, B1 and F5 alone.", "Bring the others up until each just takes load.", "Share the load in small turns."}
	return a
}

func zoneOf(ways []PlanWay) (zone float64) {
	for _, w := range ways {
		zone = max(zone, straightOf(w.X, w.Height).MinimumZone)
	}
	return zone
}

// bestFoot returns the foot not yet moved, and its raise, that leave the least zone.
func (b *benchBed) bestFoot(tb testing.TB, t *Try, zero stood, raises []float64) (foot int, raise float64) {
	least := math.Inf(1)
	for f := range b.feet {
		if raises[f] != 0 {
			continue
		}
		for degrees := -4.0; degrees <= 4; degrees += 0.5 {
			try := slices.Clone(raises)
			try[f] = degrees / 360 * 1.5e-3
			if zone := zoneOf(b.planWays(t, zero, standGo(tb, t, try))); degrees != 0 && zone < least {
				foot, raise, least = f, try[f], zone
			}
		}
	}
	return foot, raise
}

func (b *benchBed) planWays(t *Try, zero, s stood) []PlanWay {
	var out []PlanWay
	for w, name := range b.ways {
		pw := PlanWay{Name: name.Name, X: b.x, Sigma: b.sigma()}
		for i := range b.x {
			pw.Height = append(pw.Height, t.Ways[w].Measured[i]+s.Ways[w][i]-zero.Ways[w][i])
		}
		out = append(out, pw)
	}
	return out
}

func (b *benchBed) stepView(tb testing.TB, t *Try, zero stood, raises []float64, f int) Step {
	s := standGo(tb, t, raises)
	step := Step{Foot: b.feet[f].Name, Raise: raises[f]}
	for i, l := range s.Loads {
		step.Loads = append(step.Loads, NamedLoad{Foot: b.feet[i].Name, Load: l})
	}
	for _, w := range b.planWays(t, zero, s) {
		r := Reading{Survey: w.Name + " way, set-up 2", Unit: "arcsec"}
		for i := range len(w.X) - 1 {
			r.X = append(r.X, w.X[i])
			r.Value = append(r.Value, (w.Height[i+1]-w.Height[i])/0.15/unit.ArcSec)
		}
		step.Readings = append(step.Readings, r)
	}
	return step
}

func placeView() *Place {
	place := func(zone, cost float64, at ...float64) Placement {
		p := Placement{Pairs: len(at), Pattern: "pairs", At: at, Zone: zone, Sensitivity: cost, Lightest: "1−", Floors: &FloorShares{0.12, 0.86}}
		for i, x := range at {
			for side, y := range []float64{-0.24, 0.24} {
				p.Feet = append(p.Feet, PlacedFoot{fmt.Sprintf("%d%s", i+1, []string{"−", "+"}[side]), x, y, 1.4e3, 4.2e3})
				p.Loads = append(p.Loads, 2.8e3)
			}
		}
		return p
	}
	return &Place{Recommended: 1, Why: "8 feet are worth it: 5.2 µm over the whole travel, 12 µm with one foot 10 µm wrong.", Present: &FloorShares{0.08, 0.79},
		Placements: []Placement{
			place(9.1e-6, 4.1e-6, 0.46, 1.95, 3.44),
			place(5.2e-6, 6.3e-6, 0.35, 1.4, 2.5, 3.55),
			place(3.4e-6, 8.8e-6, 0.28, 1.1, 1.95, 2.8, 3.62),
		}}
}

func (b *benchBed) cutView(measured [][]float64, plan Plan) *Cut {
	ways := func(h func(k int) []float64) []CutWay {
		var out []CutWay
		for k, w := range b.ways {
			c := CutWay{Name: w.Name, X: b.x}
			y := h(k)
			low := slices.Min(y)
			for i := range y {
				c.Depth = append(c.Depth, y[i]-low)
				c.Volume += (y[i] - low) * 0.15 * w.Width
			}
			c.Passes = math.Ceil(slices.Max(c.Depth) / 3e-6)
			c.Hours = c.Passes * 50 / 60
			c.Range = &CutRange{[2]float64{c.Volume * 0.9, c.Volume * 1.1}, [2]float64{max(c.Passes-1, 0), c.Passes + 1}, [2]float64{c.Hours * 0.8, c.Hours * 1.2}}
			out = append(out, c)
		}
		return out
	}
	now := ways(func(k int) []float64 { return measured[k] })
	after := ways(func(k int) []float64 { return plan.Ways[k].Height })
	return &Cut{Routes: []Route{{"leave", 9e-6, 0}, {"move feet", 4.6e-6, 0}, {"scrape", 0, 6.7}, {"both", 0, 3.4}}, Ways: now, AfterMoves: &CutAfter{Ways: after}}
}
