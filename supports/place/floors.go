package place

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/lapack/lapack64"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// Floors are sets of feet to be stood on many floors drawn at random.
type Floors struct {
	Loading
	HeightSD  float64 // m, of a foot's height
	Factor    float64 // one standard deviation of a foot's stiffness: times or divided by this; below 1: 1
	Tolerance float64 // m, straightness wanted of each way
	MostMove  float64 // m, the furthest any foot may be moved; 0 or +Inf: without limit
	Floors    int     // 0: as many as give no share a standard error above 0.022, 500 at most
	Seed      uint64
	Progress  func(done, whole int) // may be nil; called by one goroutine at a time
}

// Shares are how a set of feet fares on floors: heights normal about the feet's own,
// stiffnesses log-normal about theirs. The zone is the worst of both ways over
// self-weight and the table's travel.
type Shares struct {
	Met      float64 // share of floors on which the tolerance is met as the feet fall
	Adjusted float64 // the same after the feet have been adjusted
}

// Shares draws the floors, the same for every set of feet; a foot with length counts as a point. Adjusting moves the feet,
// within MostMove, by least squares
// of both ways in several rounds, the cases with the greatest zone counting most; as
// the least zone itself may be lower, Adjusted errs to the safe side. It takes the
// floor as known: what a survey does not tell, and how finely a screw is turned, come on top.
// The same seed gives the same floors on any number of cores. It is an error when the loading does not hold together.
func (t Floors) Shares(sets ...[]beam.Foot) ([]Shares, error) {
	if !(t.Tolerance > 0) {
		panic("place: the share of floors needs the straightness wanted")
	}
	lc, err := newLoadCases(t.Loading, fewStations, fewTables)
	if err != nil {
		return nil, err
	}
	out := make([]Shares, len(sets))
	var wg sync.WaitGroup
	var telling sync.Mutex
	done := 0
	for i, feet := range sets {
		wg.Go(func() {
			out[i] = t.shares(lc.standOn(feet))
			telling.Lock()
			defer telling.Unlock()
			if done++; t.Progress != nil {
				t.Progress(done, len(sets))
			}
		})
	}
	wg.Wait()
	return out, nil
}

// shares counts the floors that keep the tolerance as they fall and adjusted.
func (t Floors) shares(r *arrangement) Shares {
	if math.IsInf(r.worst(math.Inf(1)), 1) {
		return Shares{} // it tips, whatever the floor
	}
	trial := newTrial(r, t)
	met, adjusted, n := 0, 0, 0
	for n == 0 || n < t.Floors || t.Floors == 0 && !(told(met, n) && told(adjusted, n)) {
		switch trial.floor(uint64(n)) {
		case asItFalls:
			met++
			adjusted++
		case onceAdjusted:
			adjusted++
		}
		n++
	}
	return Shares{Met: float64(met) / float64(n), Adjusted: float64(adjusted) / float64(n)}
}

// told: so many of n floors tell their share with no greater standard error than half of 500 do, 0.022; what n floors
// have not shown is taken to be there, by two floors of either kind (A. Agresti, B. A. Coull, The American
// Statistician 52 (1998) 119–126). None of 61 floors is enough.
func told(kept, n int) bool {
	const most = 1. / 4 / 500 // of the variance
	share := float64(kept+2) / float64(n+4)
	return share*(1-share) <= most*float64(n)
}

// hopeless is above which zone, in tolerances, after each round of adjusting the rounds left mend none: of 14,000 floors under
// three to five pairs that more rounds mended none had more than 1.79, 1.44 and 1.14. The rounds are the least squares, and
// three in which the cases count the more the greater their zone; further ones change nothing.
var hopeless = [...]float64{2, 1.6, 1.25, 1}

// trial stands a bed on one floor after another and adjusts its feet.
type trial struct {
	Floors
	*arrangement
	all    []int
	gram   [][]float64       // [foot][foot], mean over stations of the unit shapes' products, about their lines
	cross  [][]float64       // [case][foot], of the unit shapes and the case's, m
	forces [][]float64       // [foot][foot], forces for a unit raise with all feet touching, N/m
	chol   blas64.Triangular // of the normal equations
}

func newTrial(r *arrangement, t Floors) *trial {
	s := &trial{Floors: t, arrangement: r}
	about := func(h []float64) (out []float64) {
		for n := len(r.lc.x); len(h) > 0; h = h[n:] {
			out = append(out, shape.Shape{X: r.lc.x, Y: h[:n]}.AboutLeastSquares().Y...)
		}
		return out
	}
	against := func(h []float64) (out []float64) {
		h = about(h)
		for _, one := range r.s.all {
			out = append(out, floats.Dot(about(one.row()), h)/float64(len(h)))
		}
		return out
	}
	for i, one := range r.s.all {
		s.all, s.forces = append(s.all, i), append(s.forces, make([]float64, len(r.s.all)))
		s.gram = append(s.gram, against(one.row()))
	}
	for _, h := range r.lc.base {
		s.cross = append(s.cross, against(h))
	}
	return s
}

// keeping tells how a floor keeps the tolerance.
type keeping int

const (
	never keeping = iota
	onceAdjusted
	asItFalls
)

// floor tells how one floor keeps the tolerance.
func (s *trial) floor(number uint64) keeping {
	heights := s.fall(number)
	switch {
	case s.worst(s.Tolerance) <= s.Tolerance:
		return asItFalls
	case s.adjusted(heights):
		return onceAdjusted
	}
	return never
}

// fall stands the bed on a floor and returns the heights of its feet, m.
func (s *trial) fall(number uint64) []float64 {
	draw := rand.New(rand.NewPCG(s.Seed, number))
	n := len(s.all)
	heights, stiff := make([]float64, n), make([]float64, n)
	for i, f := range s.s.all {
		heights[i] = f.Height + s.HeightSD*draw.NormFloat64()
		stiff[i] = f.Stiffness * math.Pow(max(s.Factor, 1), draw.NormFloat64())
	}
	s.stand(s.all, heights, stiff)
	return heights
}

// adjusted tells whether a round of adjusting keeps the tolerance.
func (s *trial) adjusted(heights []float64) bool {
	if len(s.all) <= s.balance() || !s.linearise() { // so few feet only tilt the bed
		return false
	}
	weights := make([]float64, len(s.cross))
	for k := range weights {
		weights[k] = 1 / float64(len(weights))
	}
	for _, most := range hopeless {
		s.heights = s.raised(heights, weights)
		s.touchAll()
		if worst := s.reweigh(weights, most*s.Tolerance); worst <= s.Tolerance || worst > most*s.Tolerance {
			return worst <= s.Tolerance
		}
	}
	return false
}

// reweigh weighs every case by its zone besides, together 1, and returns the worst; one above limit as soon as
// there is one.
func (s *trial) reweigh(weights []float64, limit float64) (worst float64) {
	worst = s.eachCase(limit, func(k int) float64 {
		z := s.zone(k, limit)
		weights[k] *= z
		return z
	})
	floats.Scale(1/floats.Sum(weights), weights)
	return worst
}

// linearise finds the forces for a unit raise of each foot, and the
// normal equations of the mean square: with all feet touching the ways' heights
// about their lines are linear in the raises. Of raises that only tilt the bed the
// least is taken, by a term of 1e-9.
func (s *trial) linearise() bool {
	l := contact.Load{Built: make([]float64, len(s.all))}
	for j := range s.all {
		clear(l.Built)
		l.Built[j] = -1
		s.touchAll()
		if s.problem.Glue(l, &s.stands) != nil {
			return false
		}
		copy(s.forces[j], s.stands.Force)
	}
	m, trace := len(s.all), 0.0
	a, seen := blas64.Symmetric{Uplo: blas.Upper, N: m, Stride: m, Data: make([]float64, m*m)}, make([]float64, m)
	for j, h := range s.forces {
		for i := range seen {
			seen[i] = floats.Dot(s.gram[i], h)
		}
		for k := range j + 1 {
			a.Data[k*m+j] = floats.Dot(seen, s.forces[k])
		}
		trace += a.Data[j*m+j]
	}
	for j := range m {
		a.Data[j*m+j] += 1e-9 * trace
	}
	ok := false
	s.chol, ok = lapack64.Potrf(a)
	return ok && trace > 0
}

// raised returns the heights after the moves, within MostMove, that make the mean
// square of the weighted mean of the cases least.
func (s *trial) raised(heights, weights []float64) []float64 {
	pull, out := make([]float64, len(s.all)), slices.Clone(heights)
	l := contact.Load{Built: make([]float64, len(s.all))}
	floats.AddScaled(l.Built, -1, heights)
	for k, w := range weights {
		for i, one := range s.s.all {
			l.Built[i] += w * one.load[k]
		}
		floats.AddScaled(pull, w, s.cross[k])
		floats.AddScaled(l.Resultant[0][:], w, s.lc.cases[k].Resultant[:])
	}
	s.touchAll()
	if s.problem.Glue(l, &s.stands) != nil {
		return out
	}
	for i := range pull {
		pull[i] += floats.Dot(s.gram[i], s.stands.Force)
	}
	moves := blas64.General{Rows: len(s.all), Cols: 1, Stride: 1, Data: make([]float64, len(s.all))}
	for j, h := range s.forces {
		moves.Data[j] = -floats.Dot(pull, h)
	}
	lapack64.Potrs(s.chol, moves)
	most := cmp.Or(s.MostMove, math.Inf(1))
	for j, move := range moves.Data {
		out[j] += min(max(move, -most), most)
	}
	return out
}
