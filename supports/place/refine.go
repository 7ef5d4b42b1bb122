package place

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"footwork/beam"
)

// randomly is how many directions are drawn for each post and round.
const randomly = 4

// patternSearch moves the fresh posts of a placement off the grid.
type patternSearch struct {
	lc      *loadCases
	on      *arrangement // of lc: what a placement was seen to fail by is tried first on the next
	options Options
	stiff   float64
	single  int
	finest  float64 // m, last step
	mirrors bool    // bed and placement are their own mirror image: only such are tried
}

// feet returns the feet of fresh posts at x, increasing, with the kept ones first.
func (r patternSearch) feet(x []float64) []beam.Foot {
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

// zone returns the worst zone of fresh posts at x; +Inf where they may not stand.
func (r patternSearch) zone(x []float64, limit float64) float64 {
	if !r.allowed(x) {
		return math.Inf(1)
	}
	feet := r.feet(x)
	r.on.s = r.lc.someSites(feet)
	r.on.standAll()
	return r.on.worst(limit)
}

// standOn returns the bed on feet anywhere.
func (lc *loadCases) standOn(feet []beam.Foot) *arrangement {
	a := lc.arrange(lc.sites(feet))
	a.standAll()
	return a
}

// standAll puts the bed on all the sites.
func (r *arrangement) standAll() {
	all := make([]int, len(r.s.feet))
	for i := range all {
		all[i] = i
	}
	r.stand(all, nil, nil)
}

func (r patternSearch) allowed(x []float64) bool {
	for _, at := range x {
		if !r.inZone(at) {
			return false
		}
	}
	near := func(a, b float64) bool { return math.Abs(a-b) < max(r.options.Apart, 1e-9)*(1-1e-9) }
	for i, at := range x {
		if i > 0 && (at <= x[i-1] || near(at, x[i-1])) {
			return false
		}
		for _, f := range r.options.Keep {
			if near(at, f.At) {
				return false
			}
		}
	}
	return true
}

func (r patternSearch) inZone(x float64) bool {
	if len(r.options.Zones) == 0 {
		return x >= 0 && x <= r.lc.Bed.Length
	}
	return slices.ContainsFunc(r.options.Zones, func(z beam.Span) bool {
		return x >= z.From-1e-12 && x <= z.To+1e-12
	})
}

// run descends from x: by steps along one post, two posts alike or against each
// other, and in directions drawn anew each round, for where several cases are
// equally bad only a narrow wedge of directions leads down. Steps are halved when
// none helps, down to the finest.
func (r patternSearch) run(x []float64, step float64) ([]float64, float64) {
	best, draw := r.zone(x, math.Inf(1)), rand.New(rand.NewPCG(1, 2))
	for step > r.finest {
		better := false
		for _, d := range append(r.directions(len(x)), r.drawn(draw, len(x))...) {
			for far := step; ; far *= 2 {
				moved := slices.Clone(x)
				for i := range moved {
					moved[i] += far * d[i]
				}
				zone := r.zone(moved, best)
				if zone >= best*(1-1e-7) {
					break
				}
				x, best, better = moved, zone, true
			}
		}
		if !better {
			step /= 2
		}
	}
	return x, best
}

// drawn returns random directions of length one, for mirror images such.
func (r patternSearch) drawn(draw *rand.Rand, n int) (out [][]float64) {
	for range randomly * n {
		d, size := make([]float64, n), 0.0
		for i := range d {
			d[i] = draw.NormFloat64()
			if r.mirrors && i >= n-1-i {
				d[i] = -d[n-1-i]
				if i == n-1-i {
					d[i] = 0
				}
			}
			size += d[i] * d[i]
		}
		for i := range d {
			d[i] /= math.Sqrt(size) + math.SmallestNonzeroFloat64
		}
		if size > 0 {
			out = append(out, d)
		}
	}
	return out
}

// directions are single posts, both ways, and all pairs of posts; for mirror images
// a post and its image move against each other.
func (r patternSearch) directions(n int) (out [][]float64) {
	add := func(i, j int, a, b float64) {
		d := make([]float64, n)
		d[i] += a
		d[j] += b
		if r.mirrors {
			d[n-1-i] -= a
			d[n-1-j] -= b
		}
		if slices.ContainsFunc(d, func(v float64) bool { return v != 0 }) {
			out = append(out, d)
		}
	}
	for i := range n {
		add(i, i, 0.5, 0.5)
		add(i, i, -0.5, -0.5)
		for j := i + 1; j < n; j++ {
			for _, s := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
				add(i, j, s[0], s[1])
			}
		}
	}
	return out
}

// refined returns the best place near x. When the mirror image does as well, the
// bed is its own mirror image, and a placement that is so too is given where it is
// no worse by more than a thousandth.
func (r patternSearch) refined(x []float64, step float64) ([]float64, float64) {
	r.on = r.lc.arrange(nil)
	x, best := r.run(x, step)
	image := make([]float64, len(x))
	for i, at := range x {
		image[len(x)-1-i] = r.lc.Bed.Length - at
	}
	if zone := r.zone(image, math.Inf(1)); r.single != 0 || math.Abs(zone-best) > 1e-5*best || !r.keepMirrors() {
		return x, best
	}
	for i := range x {
		image[i] = (x[i] + image[i]) / 2
	}
	r.mirrors = true
	if even, zone := r.run(image, step); zone <= best*1.001 {
		return even, zone
	}
	return x, best
}

func (r patternSearch) keepMirrors() bool {
	var at, image []float64
	for _, f := range r.options.Keep {
		at, image = append(at, f.At), append(image, r.lc.Bed.Length-f.At)
	}
	slices.SortFunc(at, cmp.Compare)
	slices.SortFunc(image, cmp.Compare)
	return slices.EqualFunc(at, image, func(a, b float64) bool { return math.Abs(a-b) < 1e-9*r.lc.Bed.Length })
}
