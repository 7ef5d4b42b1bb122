package beam

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// oddFeet stands a bed as people write it down by mistake or out of need: feet at one
// place, three across, all at one end, one alone; rigid or not, held or not, at heights
// that agree or not.
func oddFeet(r *rand.Rand, length float64) (s Standing) {
	rows := 1 + r.IntN(4)
	lo, hi := 0.05, 0.95
	if r.IntN(6) == 0 {
		hi = 0.3
	}
	for i := range rows {
		at := length * (lo + (hi-lo)*float64(i)/float64(max(1, rows-1)))
		across := [][]float64{{0}, {-0.24, 0.24}, {-0.24, 0, 0.24}, {0.24, 0.24}, {-0.24, 0.24, 0.24}, {0.1, 0.2, 0.3}}[r.IntN(6)]
		stiff := []float64{2e8, 1e9, math.Inf(1), math.Inf(1)}[r.IntN(4)]
		level := r.IntN(2) == 0
		for _, y := range across {
			f := Foot{Name: string(rune('A' + len(s.Feet))), At: at, Offset: y, Stiffness: stiff, Held: r.IntN(4) == 0}
			if !level {
				f.Height = 5e-5 * r.NormFloat64()
			}
			if r.IntN(8) == 0 {
				f.Length = 0.05
			}
			s.Feet = append(s.Feet, f)
		}
	}
	return s
}

// Whatever the feet, the loads sum to the weight and balance its moments, no foot pulls
// that is not held, heights and gaps agree, and no load is beyond reason; or else the
// bed tips, or rigid feet are named that no straight section fits.
func TestOddFeet(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	b := shopBed(3)
	var stood, shared, tipped, clashed int
	for k := range 1500 {
		s := oddFeet(r, b.Length)
		v, err := NewSolver(b, s, Options{Cells: 100})
		if err != nil {
			t.Fatal(err)
		}
		st, err := v.Solve(Case{})
		var tip *TipError
		var clash *ClashError
		switch {
		case errors.As(err, &tip):
			tipped++
			mustTip(t, v, tip)
			continue
		case errors.As(err, &clash):
			clashed++
			mustClash(t, v, clash)
			continue
		case err != nil:
			t.Fatalf("bed %d: %v", k, err)
		}
		stood++
		var sum, mx, my float64
		any, long := false, false
		for _, f := range st.Feet() {
			sum, mx, my = sum+f.Load, mx+f.Load*f.At, my+f.Load*f.Offset
			any, long = any || f.Shared, long || f.Length > 0
			if !f.Held && f.Load < 0 {
				t.Fatalf("bed %d: foot %s, not held, pulls %g N", k, f.Name, f.Load)
			}
			if math.Abs(f.Load) > 1e4*st.Weight() {
				t.Fatalf("bed %d: foot %s bears %g N of %g", k, f.Name, f.Load, st.Weight())
			}
		}
		if any {
			shared++
		}
		for i, f := range st.answer.Force {
			if !v.points[i].held && f < -1e-8*st.Weight() {
				t.Fatalf("bed %d: point %d, not held, pulls %g N", k, i, f)
			}
		}
		want := v.sagged.Resultant
		if math.Abs(sum-want[0]) > 1e-8*want[0] || !long && math.Abs(mx-want[1]) > 1e-8*want[0] || math.Abs(my-want[2]) > 1e-8*want[0] {
			t.Fatalf("bed %d: loads sum to %g, %g, %g, the weight is %v", k, sum, mx, my, want)
		}
		for i, p := range v.points {
			support := v.height(p, Draw{}) - st.answer.Force[i]*v.give(p, Draw{})
			if gap := st.Read(v.Probe([]float64{p.x}, p.y))[0] - support; gap < -1e-11 || st.answer.On[i] && gap > 1e-11 {
				t.Fatalf("bed %d: point %d: gap %g m, contact %v", k, i, gap, st.answer.On[i])
			}
		}
	}
	if min(stood, shared, tipped, clashed) < 50 {
		t.Errorf("%d stood, %d of these shared, %d tipped, %d clashed", stood, shared, tipped, clashed)
	}
}

// mustTip looks for the edge that the bed falls over: a line through two of its points, or
// across the bed through one, with every foot before it, those that hold on it, and the
// weight beyond.
func mustTip(t *testing.T, v *Solver, e *TipError) {
	t.Helper()
	w := v.sagged.Resultant
	falls := func(px, py, ux, uy float64) bool {
		far := func(x, y float64) float64 { return ux*(x-px) + uy*(y-py) }
		for _, p := range v.points {
			if d := far(p.x, p.y); d > 1e-9 || p.held && d < -1e-9 {
				return false
			}
		}
		return far(w[1]/w[0], w[2]/w[0]) > -1e-9
	}
	for _, p := range v.points {
		for _, q := range v.points {
			ux, uy := q.y-p.y, p.x-q.x
			if ux == 0 && uy == 0 {
				ux = 1
			}
			if falls(p.x, p.y, ux, uy) || falls(p.x, p.y, -ux, -uy) {
				return
			}
		}
	}
	t.Fatalf("%v: yet no edge lets it fall; feet %+v", e, v.standing.Feet)
}

// mustClash shows that the feet named have no straight section through them: rigid ones
// at one x whose heights no line fits as pushing and pulling can be met.
func mustClash(t *testing.T, v *Solver, e *ClashError) {
	t.Helper()
	var feet []Foot
	for _, f := range v.standing.Feet {
		for _, name := range e.Feet {
			if f.Name == name {
				feet = append(feet, f)
			}
		}
	}
	rows := map[float64][]Foot{}
	for _, f := range feet {
		if !math.IsInf(f.Stiffness, 1) {
			t.Fatalf("%v: %+v", e, f)
		}
		rows[f.At] = append(rows[f.At], f)
	}
	for _, row := range rows {
		var off float64 // from the line through the two farthest apart, or from one another
		a, b := row[0], row[len(row)-1]
		for _, f := range row {
			if a.Offset == b.Offset {
				off = max(off, math.Abs(f.Height-a.Height))
			} else {
				off = max(off, math.Abs(f.Height-a.Height-(b.Height-a.Height)*(f.Offset-a.Offset)/(b.Offset-a.Offset)))
			}
		}
		if off < 1e-9 || e.By < 1e-9 {
			t.Fatalf("%v: but they agree: %+v", e, row)
		}
	}
}

// Three rigid feet across at one height carry in shares of least squares: as a stiff
// section on three equal springs would, whatever their stiffness.
func TestThreeAcrossShare(t *testing.T) {
	b := shopBed(3)
	s := Standing{Feet: []Foot{{Name: "L", At: 0.3, Stiffness: 1e9}}}
	for i, y := range []float64{-0.24, 0.05, 0.24} {
		s.Feet = append(s.Feet, Foot{Name: string(rune('A' + i)), At: 2.7, Offset: y, Stiffness: math.Inf(1)})
	}
	rigid := solve(t, b, s, Case{}, Options{}).Feet()
	for i := range s.Feet[1:] {
		s.Feet[1+i].Stiffness = 1e13
	}
	for i, f := range solve(t, b, s, Case{}, Options{}).Feet() {
		if math.Abs(f.Load-rigid[i].Load) > 1 {
			t.Errorf("foot %s: %g N on stiff springs, %g N when rigid", f.Name, f.Load, rigid[i].Load)
		}
		if rigid[i].Shared != (i > 0) {
			t.Errorf("foot %s: shared %v", f.Name, rigid[i].Shared)
		}
	}
}

// Beds that all tip say which way: one foot, two at one place, all at one end, on a line.
func TestTipsNotUnsettled(t *testing.T) {
	b := shopBed(3)
	for _, c := range []struct {
		feet []Foot
		side string
	}{
		{[]Foot{{At: 1}}, "right end"},
		{[]Foot{{At: 2}}, "left end"},
		{[]Foot{{At: 2, Held: true}}, "left end"},
		{[]Foot{{At: 1}, {At: 1}}, "right end"},
		{[]Foot{{At: 1, Offset: -0.2}, {At: 1, Offset: 0.2}, {At: 1}}, "right end"},
		{[]Foot{{At: 0, Offset: -0.2}, {At: 0, Offset: 0.2}, {At: 0.6, Offset: -0.2}, {At: 0.6, Offset: 0.2}}, "right end"},
		{[]Foot{{At: 3, Offset: -0.2}, {At: 2.9, Offset: 0.2}, {At: 2.4}}, "left end"},
		{[]Foot{{At: 0, Offset: -0.2}, {At: 1.5, Offset: -0.1}, {At: 3, Offset: -0.2}}, "positive-offset side"},
	} {
		for _, k := range []float64{1e9, math.Inf(1)} {
			s := Standing{Feet: c.feet}
			for i := range s.Feet {
				s.Feet[i].Stiffness = k
			}
			v, err := NewSolver(b, s, Options{Cells: 100})
			if err != nil {
				t.Fatal(err)
			}
			var tip *TipError
			if _, err = v.Solve(Case{}); !errors.As(err, &tip) || tip.Side != c.side {
				t.Errorf("%+v: %v, want a fall to the %s", c.feet, err, c.side)
			}
		}
	}
}
