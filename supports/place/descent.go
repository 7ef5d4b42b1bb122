package place

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/internal/convex"
)

// descent moves the fresh posts of a placement off the grid.
type descent struct {
	lc      *loadCases
	on      *arrangement // of lc
	options Options
	stiff   float64
	single  int
}

// look is how a placement does.
type look struct {
	x     []float64 // m, fresh posts, increasing
	zone  float64   // m, the worst of all cases; +Inf when the bed tips
	at    []cachedBound
	sites *sites
}

// look stands the bed on fresh posts at x.
func (r *descent) look(x []float64) look {
	l := look{x: x, sites: r.lc.sites(r.feet(x), nil)}
	r.on.s = l.sites
	r.on.standAll()
	for k := range r.lc.cases {
		if !r.on.solve(k) {
			l.zone = math.Inf(1)
			return l
		}
		l.zone = max(l.zone, r.on.touch(k))
		l.at = append(l.at, r.on.cached[k]...)
	}
	return l
}

// hops is how often a placement is thrown off its place, as far as the grid is coarse, and refined anew: of 22 patterns on
// beds of 4.2 and 12 m none then ends more than a thousandth worse than with eight or twenty, but for single feet at an end, which
// are not advised. What throws do not mend is a post too many in one of two or three zones
// apart: posts are moved between them, too, and of 300 such beds on five to eight pairs eight then end more than a twentieth
// worse than the best that was found from every share of the posts, two of them by a fifth (27 before, the worst by half).
const hops = 4

// mostEarlier is how many places where zones touched at earlier steps the next one minds; with the last failure's alone a
// bar on two pairs and one foot ended 80 % worse.
const mostEarlier = 8

// leastThrow is the least share of a throw that is tried where posts stand as close as they may.
const leastThrow = 1. / 16

// apart tells whether fresh posts are.
func (r *descent) apart(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if x[i]-x[i-1] < r.options.Apart {
			return false
		}
	}
	return true
}

// settled returns the best place that is found from x: posts are thrown off it, then moved from zone to zone, as long as that helps.
func (r *descent) settled(x []float64, reach, finest float64) []float64 {
	along := singly(len(x), false)
	best, draw := r.run(x, along, reach, finest), rand.New(rand.NewPCG(1, 2))
	for again := true; again; {
		for hop := range hops {
			from, along := r.thrown(best.x, reach, draw), along
			if hop%2 == 1 && r.single == 0 && r.mirrored() { // many beds are their own mirror image
				from, along = r.evened(from), singly(len(x), true)
			}
			if next := r.run(from, along, reach, finest); next.zone < best.zone {
				best = next
			}
		}
		again = false
		for _, from := range r.moved(best.x) {
			if next := r.run(from, along, reach, finest); next.zone < best.zone {
				best, again = next, true
			}
		}
	}
	return best.x
}

// thrown returns posts thrown off x, in their zones and apart.
func (r *descent) thrown(x []float64, reach float64, draw *rand.Rand) []float64 {
	from := slices.Clone(x)
	for share := 1.0; share > leastThrow; share /= 2 { // x is apart, and so is what is near enough
		for i, at := range x {
			lo, hi := r.within(at)
			from[i] = min(max(at+share*reach*draw.NormFloat64(), lo), hi)
		}
		if r.apart(from) {
			break
		}
		copy(from, x)
	}
	return from
}

// feet returns the feet of fresh posts at x, increasing, with the kept ones first.
func (r *descent) feet(x []float64) []beam.Foot {
	feet := slices.Clone(r.options.Keep)
	for i, at := range x {
		if r.single < 0 && i == 0 || r.single > 0 && i == len(x)-1 {
			feet = append(feet, beam.Foot{At: at, Offset: middle(r.options.Offsets), Stiffness: r.stiff})
			continue
		}
		for _, offset := range r.options.Offsets {
			feet = append(feet, beam.Foot{At: at, Offset: offset, Stiffness: r.stiff})
		}
	}
	return feet
}

// standOn returns the bed on feet anywhere.
func (lc *loadCases) standOn(feet []beam.Foot) *arrangement {
	a := lc.arrange(lc.sites(feet, nil))
	a.standAll()
	return a
}

// standAll puts the bed on all the sites.
func (r *arrangement) standAll() {
	all := make([]int, len(r.s.all))
	for i := range all {
		all[i] = i
	}
	r.stand(all, nil, nil)
}

// How a descent goes on: the reach of a step is a third when it kept less than a tenth of its promise, twice when it
// kept more than seven tenths and used the whole reach (R. Fletcher, Practical Methods of Optimization, 1987, chapter 5, has
// a quarter and three quarters, and hardly another result); slopes are differences over a twentieth of it.
const (
	keptLittle, keptMuch = 0.1, 0.7
	lessReach, moreReach = 1. / 3, 2
	slopeOver            = 1. / 20
	leastPromise         = 1e-6 // of the zone; less is none
)

// run descends from x along directions: the zone is the greatest of many smooth figures, the zones of all cases where
// they touch, and the step to the least of these, taken as linear within a reach, is a linear programme (K. Madsen, An
// algorithm for minimax solution of overdetermined systems of non-linear equations, IMA J. Applied Mathematics 16
// (1975) 321–328). Where zones touched at earlier steps is in the next ones, too: each is a figure that the zone is
// never below.
func (r *descent) run(x []float64, along [][]float64, reach, finest float64) look {
	best := r.look(x)
	var earlier []cachedBound // where zones touched before, the latest first
	for !math.IsInf(best.zone, 1) && reach > finest {
		at := distinct(slices.Concat(best.at, earlier))
		at = at[:min(len(at), len(best.at)+mostEarlier)]
		slices.SortStableFunc(at, func(a, b cachedBound) int { return cmp.Compare(a.k, b.k) })
		move, promised := r.step(best, at, along, reach)
		if best.zone-promised <= leastPromise*best.zone {
			break
		}
		x, far := slices.Clone(best.x), 0.0
		for j, u := range move {
			far = max(far, math.Abs(u))
			for i, d := range along[j] {
				x[i] += u * d
			}
		}
		next := r.look(x)
		kept := (best.zone - next.zone) / (best.zone - promised)
		switch {
		case kept < keptLittle:
			reach *= lessReach
		case kept > keptMuch && far > reach*0.99:
			reach *= moreReach
		}
		earlier = slices.Concat(next.at, at)
		if kept > 0 {
			best = next
		}
	}
	return best
}

// step returns the best move along each direction, m, and the zone that it promises.
func (r *descent) step(from look, at []cachedBound, along [][]float64, reach float64) (move []float64, promised float64) {
	z := r.widths(from.x, from.sites, at)
	p := &convex.Program{C: make([]float64, len(along)+1)}
	p.C[len(along)] = 1
	slopes := make([][]float64, len(along))
	for j, d := range along {
		slopes[j] = r.slope(from, at, z, d, reach*slopeOver)
	}
	for s, v := range z {
		row := p.AtLeast(v)
		for j := range along {
			row[j] = -slopes[j][s]
		}
		row[len(along)] = 1
	}
	for j := range along {
		p.AtLeast(-reach)[j] = 1
		p.AtLeast(-reach)[j] = -1
	}
	r.fences(p, from.x, along)
	sol, err := convex.Linear(*p)
	if err != nil {
		return nil, from.zone
	}
	return sol.X[:len(along)], sol.Value
}

// slope returns how widths change along a direction, by a difference; forward or, where the bed would tip, back.
func (r *descent) slope(from look, at []cachedBound, z, d []float64, over float64) []float64 {
	for _, h := range []float64{over, -over} {
		x := slices.Clone(from.x)
		for i := range x {
			x[i] += h * d[i]
		}
		if w := r.widths(x, from.sites, at); w != nil {
			for s := range w {
				w[s] = (w[s] - z[s]) / h
			}
			return w
		}
	}
	return make([]float64, len(at))
}

// widths returns how wide the zones are at contacts, in the order of their cases, for fresh posts at x; nil when the
// bed tips. Feet that stand as in near are not worked out again.
func (r *descent) widths(x []float64, near *sites, at []cachedBound) (z []float64) {
	r.on.s = r.lc.sites(r.feet(x), near)
	r.on.standAll()
	for i, c := range at {
		if (i == 0 || c.k != at[i-1].k) && !r.on.solve(c.k) {
			return nil
		}
		z = append(z, r.on.bound(c))
	}
	return z
}

// fences keep posts in their zones and apart.
func (r *descent) fences(p *convex.Program, x []float64, along [][]float64) {
	keep := func(bound float64, moved func(d []float64) float64) { // that it is kept now rounding may hide
		row := p.AtLeast(min(bound, 0))
		for j, d := range along {
			row[j] = moved(d)
		}
	}
	for i, at := range x {
		lo, hi := r.within(at)
		if i > 0 {
			keep(r.options.Apart-(at-x[i-1]), func(d []float64) float64 { return d[i] - d[i-1] })
		}
		keep(lo-at, func(d []float64) float64 { return d[i] })
		keep(at-hi, func(d []float64) float64 { return -d[i] })
	}
}

// singly are the directions of posts one by one; mirrored, of a post and its image against each other.
func singly(n int, mirrored bool) (along [][]float64) {
	for i := range n {
		d := make([]float64, n)
		d[i] = 1
		if mirrored {
			d[n-1-i]--
		}
		if !mirrored || i < n-1-i {
			along = append(along, d)
		}
	}
	return along
}

// refined returns the best place near x. When the mirror image does as well, the
// bed is its own mirror image, and a placement that is so too is given where it is
// no worse by more than a thousandth.
func (r *descent) refined(x []float64, reach, finest float64) look {
	best := r.run(x, singly(len(x), false), reach, finest)
	image := r.image(best.x)
	if r.single != 0 || !r.mirrored() || math.Abs(r.look(image).zone-best.zone) > 1e-5*best.zone {
		return best
	}
	if even := r.run(r.evened(best.x), singly(len(x), true), reach, finest); even.zone <= best.zone*1.001 {
		return even
	}
	return best
}

// image returns the posts of the bed turned end for end.
func (r *descent) image(x []float64) []float64 {
	image := make([]float64, len(x))
	for i, at := range x {
		image[len(x)-1-i] = r.lc.Bed.Length - at
	}
	return image
}

// evened returns the middle between posts and their image.
func (r *descent) evened(x []float64) []float64 {
	even := r.image(x)
	floats.Add(even, x)
	floats.Scale(0.5, even)
	return even
}

// mirrored tells whether where posts may stand, and what is kept, is its own image.
func (r *descent) mirrored() bool {
	length := r.lc.Bed.Length
	var at []float64
	for _, f := range r.options.Keep {
		at = append(at, f.At)
	}
	for _, z := range r.options.zones(length) {
		at = append(at, z.From, z.To)
	}
	slices.Sort(at)
	return floats.EqualApprox(at, r.image(at), 1e-9*length)
}

// distinct leaves the first of those alike.
func distinct(list []cachedBound) (out []cachedBound) {
	for _, c := range list {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}
