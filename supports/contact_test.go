package supports

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
)

// grinder is an invented bed of 3.9 m on two rows of four feet.
func grinder(heights []float64) (beam.Bed, beam.Standing) {
	b := beam.Bed{Length: 3.9, Material: beam.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7200, Expansion: 11e-6},
		Sections: []beam.Section{{To: 3.9, Area: 0.06, Inertia: 1.1e-3, ShearArea: 0.02, Torsion: 4e-5, Depth: 0.48}},
		Ways:     []beam.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}}}
	s := beam.Standing{Name: "shop floor"}
	for f, h := range heights {
		s.Feet = append(s.Feet, beam.Foot{Name: []string{"F", "B"}[f/4] + string(rune('1'+f%4)), At: 0.3 + 1.1*float64(f%4),
			Offset: []float64{-0.24, 0.24}[f/4], Height: h, Stiffness: 9e8})
	}
	return b, s
}

// onFeet returns the task of a bed that is straight in itself and stands on such feet,
// solved with one-sided contact.
func onFeet(t testing.TB, heights []float64) Task {
	b, s := grinder(heights)
	return standing(t, b, s)
}

func standing(t testing.TB, b beam.Bed, s beam.Standing) Task {
	var heights []float64
	for _, f := range s.Feet {
		heights = append(heights, f.Height)
	}
	v, err := beam.NewSolver(b, s, beam.Options{Cells: 400})
	if err != nil {
		t.Fatal(err)
	}
	now, err := v.Solve(beam.Case{})
	if err != nil {
		t.Fatal(err)
	}
	touching, gap := Touching(s, now.Feet())
	held, err := beam.NewSolver(b, touching, beam.Options{Cells: 400})
	if err != nil {
		t.Fatal(err)
	}
	touch, err := held.Solve(beam.Case{})
	if err != nil {
		t.Fatal(err)
	}
	in := Task{Tied: true, Gap: gap, Goal: Goal{Allow: Either, MostMove: 0.3e-3, LeastLoad: 0.15}, Adjusters: make([]Adjuster, len(heights))}
	x := stations(25, 3.9)
	var ways []WayInfluence
	var probes []*beam.Probe
	var before [][]float64
	for _, w := range b.Ways {
		ways = append(ways, WayInfluence{Name: w.Name, Offset: w.Offset, X: x})
		probes = append(probes, v.Probe(x, w.Offset))
		h := now.Read(probes[len(probes)-1])
		before = append(before, h)
		in.Ways = append(in.Ways, Measured{Name: w.Name, Offset: w.Offset, X: x, Height: h})
	}
	if in.Influence, err = InfluenceOf(held, touch, ways); err != nil {
		t.Fatal(err)
	}
	in.Settle = func(raise []float64) (Settled, error) {
		h := slices.Clone(heights)
		addScaled(h, 1, raise)
		st, err := v.Solve(beam.Case{Draw: beam.Draw{Heights: h}})
		if err != nil {
			return Settled{}, err
		}
		var out Settled
		for w, p := range probes {
			change := st.Read(p)
			addScaled(change, -1, before[w])
			out.Ways = append(out.Ways, change)
		}
		for _, f := range st.Feet() {
			out.Loads, out.Lifted, out.Gap = append(out.Loads, f.Load), append(out.Lifted, f.Lifted), append(out.Gap, f.Gap)
		}
		return out, nil
	}
	return in
}

// The touching bed carries as the standing bed does, and what the programme foretells
// of a plan is what the bed with one-sided contact then does.
func TestForetoldIsSettled(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	lifted := 0
	for range 12 {
		heights := make([]float64, 8)
		for f := range heights {
			heights[f] = 60e-6 * r.NormFloat64()
		}
		in := onFeet(t, heights)
		tk := newTask(in)
		start, err := in.Settle(make([]float64, 8))
		if err != nil {
			t.Fatal(err)
		}
		for f, l := range start.Loads {
			near(t, "load of "+in.Influence.Feet[f], in.Influence.Loads[f], l, 1e-6*tk.limits.mean)
			if start.Lifted[f] {
				lifted++
			}
		}
		ladder := tk.ladder()
		for _, c := range ladder {
			raise := make([]float64, 8)
			for k, f := range c.feet {
				raise[f] = c.moves[k]
			}
			p, err := tk.plan(raise)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(p.Zone-c.best.zone) > 1e-9+1e-6*c.best.zone || math.Abs(p.Lacking-c.best.lacking) > 1e-6 {
				t.Errorf("feet %v: zone %g foretold, %g settled; lacking %g and %g; gaps %v", c.feet, c.best.zone, p.Zone, c.best.lacking, p.Lacking, in.Gap)
			}
		}
	}
	if lifted == 0 {
		t.Error("no foot was clear of the bed in any case")
	}
}

// Three feet: no foot has a say in shape or loads, so nothing is to be moved, even when
// one carries less than its share.
func TestThreeFeet(t *testing.T) {
	b, s := grinder(make([]float64, 8))
	s.Feet = []beam.Foot{s.Feet[0], s.Feet[3], s.Feet[5]}
	in := standing(t, b, s)
	in.Goal.LeastLoad = 0.9
	a := mustAdjust(t, in)
	if len(a.Plans) != 1 || a.Plans[0].Lacking == 0 {
		t.Errorf("%d plans, lacking %g", len(a.Plans), a.Plans[0].Lacking)
	}
	named := slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, "less than the least load") })
	if !named {
		t.Errorf("no word of the light foot: %q", a.Warnings)
	}
}

// A soft foot is brought to bear: with one foot 0.1 mm low the plan of one foot raises
// that foot, every foot then carries its share, and the bed is as straight as it can be.
func TestSoftFootIsTakenUp(t *testing.T) {
	heights := make([]float64, 8)
	heights[2] = -100e-6
	in := onFeet(t, heights)
	a := mustAdjust(t, in)
	if in.Gap[2] <= 0 {
		t.Fatal("the low foot still touches")
	}
	p := a.Plans[1]
	if a.Plans[0].Lacking == 0 || p.Lacking > 0 || p.Raise[2] <= in.Gap[2] {
		t.Errorf("lacking %g before, %g after; raised %g over a gap of %g", a.Plans[0].Lacking, p.Lacking, p.Raise[2], in.Gap[2])
	}
	if p.FeetMoved != 1 || p.Zone > a.Plans[0].Zone {
		t.Errorf("%d feet moved, zone %g, before %g", p.FeetMoved, p.Zone, a.Plans[0].Zone)
	}
	for f, l := range p.Loads {
		if l < 0.15*a.mean() {
			t.Errorf("foot %d carries %g", f, l)
		}
	}
}

func (a Adjustment) mean() float64 {
	sum := 0.0
	for _, l := range a.Plans[0].Loads {
		sum += l
	}
	return sum / float64(len(a.Plans[0].Loads))
}

// Step by step: the steps add up to the plan, each is small, and on the way no foot
// goes below the least load that carried it before and carries it after.
func TestStepsAreSafe(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	orders := 0
	for range 10 {
		heights := make([]float64, 8)
		for f := range heights {
			heights[f] = 40e-6 * r.NormFloat64()
		}
		in := onFeet(t, heights)
		for f := range in.Adjusters {
			in.Adjusters[f] = Adjuster{Kind: Screw, Rise: 1.5e-3}
		}
		a := mustAdjust(t, in)
		p := a.Plans[a.Recommended]
		unsafe := slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, "no order of the moves") })
		raised := make([]float64, 8)
		for i, s := range p.Steps {
			f := slices.Index(in.Influence.Feet, s.Foot)
			raised[f] += s.Raise
			if math.Abs(raised[f]-s.Raised[f]) > 1e-12 || s.Raise*p.Raise[f] < 0 || math.Abs(raised[f]) > math.Abs(p.Raise[f])+1e-12 {
				t.Errorf("step %d goes to %g on the way to %g", i, raised[f], p.Raise[f])
			}
			settled, err := in.Settle(s.Raised)
			if err != nil {
				t.Fatal(err)
			}
			for f, l := range settled.Loads {
				near(t, "load said", s.Loads[f], l, 1e-6*a.mean())
				least := min(0.15*a.mean(), a.Plans[0].Loads[f], p.Loads[f])
				if !unsafe && l < least-1e-5*a.mean() {
					t.Errorf("step %d: foot %d carries %g, least %g", i, f, l, least)
				}
			}
		}
		for f := range raised {
			near(t, "sum of steps", raised[f], p.Raise[f], 1e-12)
		}
		if !unsafe && len(p.Steps) > 1 {
			orders++
		}
	}
	if orders < 5 {
		t.Errorf("a safe order in %d of 10 cases only", orders)
	}
}
