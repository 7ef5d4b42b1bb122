package supports

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// aim is the linear programme of the expected state: raises r and their sizes
// t ≥ |r|, the zone, planes or lines, what feet lack. Lengths in µm, loads in
// mean foot loads.
type aim struct {
	o      *outlook
	l      *straightened
	margin []float64 // mean foot loads
	fixed  []bool
	at     []float64 // m, raise of the fixed
	in     [][]float64
	b      []float64
	size   int
}

const (
	micro      = 1e-6
	moveCost   = 0.003 // µm of zone that one µm of move must save
	lackPrice  = 50    // µm of zone for a mean foot load that a foot is expected to lack
	limitPrice = 200   // likewise, for one that it may lack with 5 % probability though that can be kept
	unnoticed  = 0.05  // mean foot loads, lacking in all: so few scenarios may be out by as much
	mostMargin = 0.8   // mean foot loads, of what is kept above the least
	tunings    = 3     // of the margins at most
	tuned      = 0.02  // mean foot loads, a move of a margin that changes nothing
	lightShare = 0.05  // of the scenarios, in which a foot may miss the least load
	doubtful   = 0.02  // probability of hanging from which a foot's gap is in doubt
	doubtShare = 0.3   // of the scenarios, in which such a foot may stay without its load
	hanging    = 0.2   // probability from which a foot is taken to hang
	asGood     = 0.01  // a plan of fewer moves may be expected to end so much worse
)

// columns of the programme
func (a *aim) raise(f int) int { return f }
func (a *aim) move(f int) int  { return a.o.feet + f }
func (a *aim) lack(f int) int  { return 2*a.o.feet + f }
func (a *aim) zone() int       { return 3 * a.o.feet }
func (a *aim) line(w, k int) int {
	if a.o.Tied {
		return 3*a.o.feet + 1 + k
	}
	return 3*a.o.feet + 1 + 2*w + k
}

func (a *aim) row(b float64) []float64 {
	r := make([]float64, a.size)
	a.in, a.b = append(a.in, r), append(a.b, b)
	return r
}

// solve returns the best raises, m.
func (a *aim) solve() ([]float64, error) {
	o := a.o
	a.size = 3*o.feet + 1 + 3
	if !o.Tied {
		a.size = 3*o.feet + 1 + 2*len(o.Ways)
	}
	a.in, a.b = nil, nil
	p := convex.Program{C: make([]float64, a.size)}
	p.C[a.zone()] = 1
	for f := range o.feet {
		p.C[a.move(f)], p.C[a.lack(f)] = moveCost, lackPrice
		a.footRows(f)
	}
	for w := range o.Ways {
		a.wayRows(w)
	}
	p.In, p.B = mat.NewDense(len(a.in), a.size, nil), a.b
	for i, r := range a.in {
		p.In.SetRow(i, r)
	}
	sol, err := linear(p)
	if err != nil {
		return nil, err
	}
	raise := slices.Clone(a.at)
	for f := range raise {
		if !a.fixed[f] {
			raise[f] = sol.X[a.raise(f)] * micro
		}
	}
	return raise, nil
}

// footRows bounds a foot's raise, keeps its size above it, and its load above the least.
func (a *aim) footRows(f int) {
	o := a.o
	from, to := a.at[f], a.at[f]
	if !a.fixed[f] {
		from, to = -o.most(f), o.most(f)
	}
	a.row(from / micro)[a.raise(f)] = 1
	a.row(-to / micro)[a.raise(f)] = -1
	for _, s := range []float64{1, -1} {
		r := a.row(0)
		r[a.move(f)], r[a.raise(f)] = 1, s
	}
	a.row(0)[a.lack(f)] = 1
	r := a.row(o.goal.LeastLoad + a.margin[f] - a.l.load[f]/o.mean)
	r[a.lack(f)] = 1
	for g := range o.feet {
		r[a.raise(g)] = a.l.loadBy[g][f] * micro / o.mean
	}
}

// wayRows keeps a way's stations within half the zone about its line or the plane,
// and on the side that is allowed.
func (a *aim) wayRows(w int) {
	o := a.o
	way := o.Ways[w]
	n := len(way.X)
	want := lessCrown(way.X, a.l.shape[w], o.goal.Crown)
	mid := (way.X[0] + way.X[n-1]) / 2
	for i, x := range way.X {
		for _, s := range []float64{1, -1} {
			r := a.row(s * want[i] / micro)
			r[a.zone()] = 0.5
			for f := range o.feet {
				r[a.raise(f)] = -s * a.l.influence[f][w][i]
			}
			r[a.line(w, 0)], r[a.line(w, 1)] = s, s*(x-mid)
			if o.Tied {
				r[a.line(w, 2)] = s * way.Offset
			}
		}
	}
	if side := o.goal.Allow.side(); side != 0 {
		for i := 1; i < n-1; i++ {
			t := (way.X[i] - way.X[0]) / (way.X[n-1] - way.X[0])
			r := a.row(-side * (want[i] - (1-t)*want[0] - t*want[n-1]) / micro)
			for f := range o.feet {
				y := a.l.influence[f][w]
				r[a.raise(f)] = side * (y[i] - (1-t)*y[0] - t*y[n-1])
			}
			r[a.zone()] = 0.02 // a way that cannot be had on this side is an answer too
		}
	}
}

// solveInNotches returns the best raises that the adjusters can make. A screw goes
// to its nearest notch, finer than the hand's slip. Stacks of shims are coarse: the
// foot nearest to one takes it, and the others are solved for again.
func (a *aim) solveInNotches() ([]float64, error) {
	fixed, at := slices.Clone(a.fixed), slices.Clone(a.at)
	defer func() { a.fixed, a.at = fixed, at }()
	a.fixed, a.at = slices.Clone(fixed), slices.Clone(at)
	for {
		raise, err := a.solve()
		if err != nil {
			return nil, err
		}
		next, off := -1, math.Inf(1)
		for f, r := range raise {
			if a.fixed[f] {
				continue
			}
			raise[f] = a.o.notches[f].nearest(r)
			if math.Abs(raise[f]) > a.o.most(f) {
				raise[f] = a.o.notches[f].next(raise[f], -math.Copysign(1, r))
			}
			if d := math.Abs(raise[f] - r); a.o.notches[f].coarse() && d < off {
				next, off = f, d
			}
		}
		if next < 0 {
			return raise, nil
		}
		a.fixed[next], a.at[next] = true, raise[next]
	}
}
