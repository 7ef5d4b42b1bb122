package supports

import (
	"errors"
	"math"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
)

// levelBed is a bed on pairs of soft feet.
func levelBed(pairs int) (casting.Bed, beam.Standing) {
	b := casting.Bed{Length: 4, Material: casting.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7200},
		Sections: []casting.Section{{To: 4, Area: 0.06, Inertia: 8e-4, ShearArea: 0.02, Torsion: 5e-5, Depth: 0.4}}}
	s := beam.Standing{Name: "floor"}
	for i := range pairs {
		for _, y := range []float64{-0.25, 0.3} {
			s.Feet = append(s.Feet, beam.Foot{At: 0.3 + 3.4*float64(i)/float64(pairs-1), Offset: y, Stiffness: 1e9})
		}
	}
	return b, s
}

var coarse = beam.Options{Cells: 800}

func TestLevelFromNothing(t *testing.T) {
	for _, pairs := range []int{2, 4, 5} {
		b, s := levelBed(pairs)
		l, err := Level(b, s, coarse)
		if err != nil {
			t.Fatal(err)
		}
		v, err := beam.NewSolver(b, s, coarse)
		if err != nil {
			t.Fatal(err)
		}
		level, err := v.Solve(beam.Case{})
		if err != nil {
			t.Fatal(err)
		}
		// On three places statics alone tell the loads: moments about the centre vanish.
		var sum, mx, my float64
		for _, r := range l.On {
			sum, mx, my = sum+r.Load, mx+r.Load*(r.At-2), my+r.Load*r.Offset
		}
		for _, m := range []float64{sum - level.Weight(), mx, my} {
			if math.Abs(m) > 1e-6*level.Weight() {
				t.Errorf("%d pairs: on three places the balance is off by %g", pairs, m)
			}
		}
		if own := l.On[0].Foot >= 0; own != (pairs == 5) { // feet at 1.15 m are too far from 0.88
			t.Errorf("%d pairs: the pair at %.2f m is foot %d", pairs, l.On[0].At, l.On[0].Foot)
		}
		if math.Abs(l.On[2].Offset-0.025) > 1e-12 || l.On[2].Foot >= 0 {
			t.Errorf("%d pairs: the third place is %+v", pairs, l.On[2])
		}
		for _, r := range l.On {
			if r.Foot >= 0 && (s.Feet[r.Foot].At != r.At || s.Feet[r.Foot].Offset != r.Offset) {
				t.Errorf("%d pairs: %+v is foot %+v", pairs, r, s.Feet[r.Foot])
			}
		}
		// In the end the bed stands as if all feet had been level from the beginning, and
		// the blocks are free.
		last := l.Turns[len(l.Turns)-1]
		for i, f := range level.Feet() {
			if math.Abs(last.Loads[i]-f.Load) > 1e-3 {
				t.Errorf("%d pairs: at the end foot %d carries %g N, level %g N", pairs, i, last.Loads[i], f.Load)
			}
		}
	}
}

// On a pair and a block a bed whose feet just touch hangs far less out of shape than on
// three corners.
func TestLevelHangsStraight(t *testing.T) {
	b, s := levelBed(4)
	l, err := Level(b, s, coarse)
	if err != nil {
		t.Fatal(err)
	}
	corners := s
	corners.Feet = []beam.Foot{s.Feet[0], s.Feet[6], s.Feet[7]}
	v, err := beam.NewSolver(b, corners, coarse)
	if err != nil {
		t.Fatal(err)
	}
	st, err := v.Solve(beam.Case{})
	if err != nil {
		t.Fatal(err)
	}
	spread := func(of func(f beam.Foot, i int) float64) float64 {
		low, high := math.Inf(1), math.Inf(-1)
		for i, f := range s.Feet {
			low, high = min(low, of(f, i)), max(high, of(f, i))
		}
		return high - low
	}
	pair := spread(func(_ beam.Foot, i int) float64 { return l.Drop[i] })
	three := spread(func(f beam.Foot, _ int) float64 { return st.Read(v.Probe([]float64{f.At}, f.Offset))[0] })
	if pair > three/3 {
		t.Errorf("feet spread by %.1f µm on a pair and a block, by %.1f on three corners", 1e6*pair, 1e6*three)
	}
}

// A bed whose weight lies beside the three is not stood on them, nor one that leaves less than a sixth of it on one of the
// pair. Of 16.9 kN and w at 2.9 m, 2.02 m from the pair of which the block stands 2.24 m, P = 8.4 kN + 0.1w is the pair's, and the
// foot at 0.3 m has (0.25 P − 0.025 of the block's load)/0.55 of it: 17.4 % with 3 kN, 15.9 % with 5 kN.
func TestLevelRefuses(t *testing.T) {
	for w, safe := range map[float64]bool{5e3: false, 3e3: true} {
		b, s := levelBed(4)
		b.Weights = []casting.Weight{{At: 2.9, Force: w}}
		if _, err := Level(b, s, coarse); errors.Is(err, errUnsafe) == safe || safe && err != nil {
			t.Errorf("with %g N beside its middle: %v", w, err)
		}
	}
	b, s := levelBed(4)
	b.Weights = []casting.Weight{{At: 3.9, Force: 40e3}}
	if _, err := Level(b, s, coarse); !errors.Is(err, errUnsafe) {
		t.Errorf("a bed that is heavy at its end: %v", err)
	}
}

// The feet just touch before the first turn, however high each ends; the turns raise each
// by all that it was low, the feet take no less of the weight in each, all of it in the last,
// and then the nearer block is free by what is said.
func TestLevelTurns(t *testing.T) {
	b, s := levelBed(4)
	b.Weights = []casting.Weight{{At: 3, Force: 3e3}}
	for i := range s.Feet {
		s.Feet[i].Height = 40e-6 * float64(i%3)
	}
	l, err := Level(b, s, coarse)
	if err != nil {
		t.Fatal(err)
	}
	on := func(feet []beam.Foot) (*beam.Solver, *beam.State) {
		v, err := beam.NewSolver(b, beam.Standing{Feet: feet}, coarse)
		if err != nil {
			t.Fatal(err)
		}
		st, err := v.Solve(beam.Case{})
		if err != nil {
			t.Fatal(err)
		}
		return v, st
	}
	var rests []beam.Foot
	for _, r := range l.On {
		rests = append(rests, beam.Foot{At: r.At, Offset: r.Offset, Stiffness: math.Inf(1)})
	}
	v, st := on(rests)
	var lift float64
	raised := append([]beam.Foot(nil), s.Feet...)
	for i, f := range s.Feet {
		up := st.Read(v.Probe([]float64{f.At}, f.Offset))[0] + l.Drop[i] - f.Height
		if i == 0 {
			lift = up
		} else if math.Abs(up-lift) > 1e-9 {
			t.Errorf("foot %d ends %g m up, the first %g m", i, up, lift)
		}
		raised[i].Height += lift
		sum := 0.0
		for _, turn := range l.Turns {
			sum += turn.Raise[i]
		}
		if math.Abs(sum-l.Drop[i]) > 1e-12 {
			t.Errorf("foot %d is raised by %g m, it was %g m low", i, sum, l.Drop[i])
		}
	}
	v, st = on(raised)
	free := math.Inf(1)
	for _, r := range l.On {
		if r.Foot < 0 {
			free = min(free, st.Read(v.Probe([]float64{r.At}, r.Offset))[0])
		}
	}
	if math.Abs(free-l.Clear) > 1e-9 || l.Clear < 20e-6 {
		t.Errorf("the nearer block is free by %g m, said %g m", free, l.Clear)
	}
	third := append([]beam.Foot(nil), raised...) // a third of the way up, on the blocks beside them
	for i := range s.Feet {
		third[i].Height -= 2 * l.Drop[i] / 3
	}
	for _, r := range l.On {
		if r.Foot < 0 {
			third = append(third, beam.Foot{At: r.At, Offset: r.Offset, Stiffness: math.Inf(1)})
		}
	}
	_, first := on(third)
	for i, n := range l.Turns[0].Loads {
		if f := first.Feet()[i]; math.Abs(n-f.Load) > 1e-3 {
			t.Errorf("after the first turn foot %d carries %g N, said %g N", i, f.Load, n)
		}
	}
	before := 0.0
	for r, turn := range l.Turns {
		sum := 0.0
		for _, n := range turn.Loads {
			sum += n
		}
		if sum < before*(1-1e-9) || sum < 0.1*st.Weight() || r == len(l.Turns)-1 && math.Abs(sum/st.Weight()-1) > 1e-6 {
			t.Errorf("after turn %d the feet carry %g N of %g, before it %g", r+1, sum, st.Weight(), before)
		}
		before = sum
	}
}

// The pair stands where the bed has feet of its own near to its place, at either end.
func TestLevelPair(t *testing.T) {
	for _, own := range []float64{0.85, 3.15} {
		b, s := levelBed(2)
		for _, y := range []float64{-0.25, 0.3} {
			s.Feet = append(s.Feet, beam.Foot{At: own, Offset: y, Stiffness: 1e9})
		}
		l, err := Level(b, s, coarse)
		if err != nil {
			t.Fatal(err)
		}
		if l.On[0].At != own || l.On[1].At != own || math.Abs(l.On[2].At-(4-own)) > 0.04 || l.On[0].Offset != -0.25 || l.On[1].Offset != 0.3 {
			t.Errorf("feet at %g m: the bed is stood on %+v", own, l.On)
		}
	}
}
