package supports

import (
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"footwork/beam"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Trial is a set of feet to be stood on many floors drawn at random.
type Trial struct {
	Burden
	Feet      []beam.Foot // a foot with length counts as a point
	Fixed     []bool      // feet that cannot be moved; nil: all can
	Floor     Floor
	Tolerance float64 // m, straightness wanted of each way
	MostMove  float64 // m, the furthest any foot may be moved; 0 or +Inf: without limit
	Floors    int     // 0: 10 000
	Seed      uint64
	Progress  func(done, whole int) // may be nil; called by one goroutine at a time
}

// Odds are how a set of feet fares on floors: heights normal about the feet's own,
// stiffnesses log-normal about theirs. The zone is the worst of both ways over
// self-weight and the table's travel.
type Odds struct {
	Floors   int
	Met      float64 // share of floors on which the tolerance is met as the feet fall
	Adjusted float64 // the same after the feet have been adjusted
	Zone     Spread  // m, as the feet fall
	Set      Spread  // m, adjusted
}

// Spread is what half, and nine in ten, of the floors stay within.
type Spread struct{ Half, NineTenths float64 }

// Odds draws the floors. Adjusting is the move of the feet, within MostMove, that
// makes the mean square of both ways over all cases least with every foot
// touching; as the least zone itself may be lower, Adjusted errs to the safe side.
// The same seed gives the same floors on any number of cores. It is an error when
// there are no feet or no tolerance, or when the burden does not hold together.
func (t Trial) Odds() (Odds, error) {
	if t.Floors == 0 {
		t.Floors = 10_000
	}
	switch {
	case len(t.Feet) == 0:
		return Odds{}, errors.New("a standing without feet has no foot heights to be wrong: give it feet")
	case !(t.Tolerance > 0):
		return Odds{}, errors.New(`the share of floors needs the straightness wanted: write tolerance = "8 µm" under [adjust]`)
	}
	y, err := newYard(t.Burden, 41, 9)
	if err != nil {
		return Odds{}, err
	}
	fallen, set := t.run(y)
	out := Odds{Floors: t.Floors, Zone: spread(fallen), Set: spread(set)}
	for i := range fallen {
		if fallen[i] <= t.Tolerance {
			out.Met += 1 / float64(t.Floors)
		}
		if set[i] <= t.Tolerance {
			out.Adjusted += 1 / float64(t.Floors)
		}
	}
	return out, nil
}

// spread of zones; those of floors on which the bed tips are the greatest.
func spread(zones []float64) Spread {
	s := slices.Clone(zones)
	slices.Sort(s)
	return Spread{stat.Quantile(0.5, stat.Empirical, s, nil), stat.Quantile(0.9, stat.Empirical, s, nil)}
}

// run returns the zone of every floor as it falls and adjusted.
func (t Trial) run(y *yard) (fallen, set []float64) {
	fallen, set = make([]float64, t.Floors), make([]float64, t.Floors)
	spots := y.spots(t.Feet)
	var next atomic.Int64
	var wg sync.WaitGroup
	var telling sync.Mutex
	const block = 100
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			s := newSetter(y.rig(spots), t)
			for {
				from := int(next.Add(block)) - block
				if from >= t.Floors {
					return
				}
				to := min(from+block, t.Floors)
				for i := from; i < to; i++ {
					fallen[i], set[i] = s.floor(uint64(i))
				}
				if t.Progress != nil {
					telling.Lock()
					t.Progress(to, t.Floors)
					telling.Unlock()
				}
			}
		})
	}
	wg.Wait()
	return fallen, set
}

// setter stands a bed on one floor after another and adjusts its feet.
type setter struct {
	Trial
	*rig
	all   []int
	moved []int       // feet that can be moved
	gram  *mat.Dense  // [foot][foot], mean over stations of the unit shapes' products about their lines
	cross []float64   // [foot], of the unit shapes and the mean load's
	load  []float64   // [foot], m, mean of the cases
	res   [3]float64  // mean resultant
	heard [][]float64 // forces for a unit raise, [moved][foot]
}

func newSetter(r *rig, t Trial) *setter {
	n, y := len(t.Feet), r.y
	s := &setter{Trial: t, rig: r, gram: mat.NewDense(n, n, nil), cross: make([]float64, n), load: make([]float64, n)}
	mean, cases := make([]float64, len(y.base[0])), float64(len(y.cases))
	for k, c := range y.cases {
		addScaled(mean, 1/cases, y.base[k])
		addScaled(s.load, 1/cases, r.s.load[k])
		for d := range s.res {
			s.res[d] += c.Resultant[d] / cases
		}
	}
	about := func(h []float64) (out []float64) {
		for w := range y.Bed.Ways {
			line := beam.Shape{X: y.x, Y: h[w*len(y.x) : (w+1)*len(y.x)]}
			out = append(out, line.AboutLeastSquares().Y...)
		}
		return out
	}
	mean = about(mean)
	var units [][]float64
	for i := range n {
		s.all = append(s.all, i)
		if t.Fixed == nil || !t.Fixed[i] {
			s.moved = append(s.moved, i)
		}
		units = append(units, about(r.s.unit[i]))
		s.cross[i] = dot(units[i], mean) / float64(len(mean))
		for j := range i + 1 {
			v := dot(units[i], units[j]) / float64(len(mean))
			s.gram.Set(i, j, v)
			s.gram.Set(j, i, v)
		}
	}
	return s
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// floor returns the zone on one floor as it falls, and with the feet adjusted.
func (s *setter) floor(number uint64) (fallen, set float64) {
	draw := rand.New(rand.NewPCG(s.Seed, number))
	n := len(s.Feet)
	heights, stiff := make([]float64, n), make([]float64, n)
	for i, f := range s.Feet {
		heights[i] = f.Height + s.Floor.HeightSD*draw.NormFloat64()
		stiff[i] = f.Stiffness * math.Pow(max(s.Floor.StiffnessFactor, 1), draw.NormFloat64())
	}
	s.stand(s.all, heights, stiff)
	fallen = s.worst(math.Inf(1))
	moves := s.moves(heights)
	for i, m := range moves {
		heights[i] += m
	}
	s.on = 1<<n - 1
	return fallen, min(fallen, s.worst(math.Inf(1)))
}

// moves returns the raises that make the mean square least, cut to what may be
// moved. With all feet touching the forces are R + Σ heard·move, the ways' heights
// about their lines linear in these, and the normal equations as large as the feet
// are many; of moves that only tilt the bed the least is taken.
func (s *setter) moves(heights []float64) []float64 {
	n, m := len(s.Feet), len(s.moved)
	out := make([]float64, n)
	if m == 0 || !s.factor(1<<n-1) {
		return out
	}
	s.heard = s.heard[:0]
	for _, j := range s.moved {
		clear(s.c)
		s.c[j] = -1
		s.solve([3]float64{})
		s.heard = append(s.heard, slices.Clone(s.f))
	}
	for i := range s.c {
		s.c[i] = s.load[i] - heights[i]
	}
	s.solve(s.scaled(s.res))
	pull := slices.Clone(s.cross)
	for i := range pull {
		pull[i] += dot(s.gram.RawRowView(i), s.f)
	}
	a, rhs := mat.NewSymDense(m, nil), mat.NewVecDense(m, nil)
	trace := 0.0
	seen := make([]float64, n)
	for j, h := range s.heard {
		for i := range seen {
			seen[i] = dot(s.gram.RawRowView(i), h)
		}
		for k := range j + 1 {
			a.SetSym(j, k, dot(seen, s.heard[k]))
		}
		trace += a.At(j, j)
		rhs.SetVec(j, -dot(pull, h))
	}
	for j := range m {
		a.SetSym(j, j, a.At(j, j)+1e-9*trace)
	}
	var chol mat.Cholesky
	if trace == 0 || !chol.Factorize(a) || chol.SolveVecTo(rhs, rhs) != nil {
		return out
	}
	most := s.MostMove
	if most == 0 {
		most = math.Inf(1)
	}
	for j, i := range s.moved {
		out[i] = min(max(rhs.AtVec(j), -most), most)
	}
	return out
}
