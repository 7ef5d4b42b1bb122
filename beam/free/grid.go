// Package free is a bed without supports, built in at its left end: what unit forces, loads and heat do to it anywhere, by
// bending and by twist, from which any supports can be stood under it.
//
// Letters and signs are those of package beam.
package free

import (
	"math"
	"slices"
	"sync"

	"footwork/beam/casting"
)

// defaultCells keeps the closed forms of six-span beams within 1e-5: a span's
// sag is wrong by about 1/n² of itself when n cells cover the span.
const defaultCells = 5000

// Bed is a bed without supports, built in at its left end and cut into cells. Each cell is stiff and bends in a hinge at its
// middle: the second-order difference scheme with w at the nodes and ψ between
// them, which neither locks in shear nor loses digits when refined. Every foot,
// weight and section edge is a node, and loads act at nodes.
type Bed struct {
	bed         casting.Bed
	dead        loads     // own weight and the weights on it
	x           []float64 // m, nodes, increasing
	bend, shear []float64 // h/EI, h/κGA of each cell
	bow         []float64 // κ₀h of each cell for one kelvin, rad/K

	// Sums over the cells left of each node of sᵏ·bend and of shear, s the cell's middle: the compliance
	// between any two nodes follows from them and the twister; and further ones, made where first
	// a straight line load is asked about.
	bends   [3][]float64
	sheared []float64
	further func() further
	bowed   []float64 // m, shape of the bed for one kelvin
	twister *twister
	still   []float64 // zero at every node
}

// further are such sums of sᵏ·bend and of sᵏ·shear.
type further struct {
	bends  [5][]float64
	shears [3][]float64
}

// newGrid returns the bed in about `cells` cells with a node at every x of at.
func newGrid(b casting.Bed, cells int, at []float64) *Bed {
	g := &Bed{bed: b, x: nodes(b, cells, at)}
	g.still = make([]float64, len(g.x))
	n := len(g.x) - 1
	for _, f := range []*[]float64{&g.bend, &g.shear, &g.bow} {
		*f = make([]float64, n)
	}
	g.each(b, func(i int, h, _ float64, s *casting.Section) {
		g.bend[i] = h / (b.Material.Modulus * s.Inertia)
		g.shear[i] = h / (b.Material.ShearModulus * s.ShearArea)
		g.bow[i] = -b.Material.Expansion * h / s.Depth
	})
	for k := range g.bends {
		g.bends[k] = g.running(g.bend, k)
	}
	g.sheared = g.running(g.shear, 0)
	g.further = sync.OnceValue(func() further {
		b, s := g.bends, g.sheared
		return further{[5][]float64{b[0], b[1], b[2], g.running(g.bend, 3), g.running(g.bend, 4)},
			[3][]float64{s, g.running(g.shear, 1), g.running(g.shear, 2)}}
	})
	g.twister = newTwister(g, b)
	g.bowed = g.bendUnder(nil, nil, 1).w
	return g
}

// running returns the sums over the cells left of each node of sᵏ·v.
func (g *Bed) running(v []float64, k int) []float64 {
	sum := make([]float64, len(g.x))
	for i, one := range v {
		mid := (g.x[i+1] + g.x[i]) / 2
		for range k {
			one *= mid
		}
		sum[i+1] = sum[i] + one
	}
	return sum
}

// each walks the cells from left to right with their length, middle and section.
func (g *Bed) each(b casting.Bed, do func(i int, h, mid float64, s *casting.Section)) {
	k := 0
	for i := range len(g.x) - 1 {
		h, mid := g.x[i+1]-g.x[i], (g.x[i+1]+g.x[i])/2
		for k < len(b.Sections)-1 && mid > b.Sections[k].To {
			k++
		}
		do(i, h, mid, &b.Sections[k])
	}
}

// nodes returns the x of the nodes: every feature, and between features equal
// cells no longer than the bed's length over `cells`.
func nodes(b casting.Bed, cells int, at []float64) []float64 {
	features := append([]float64{0, b.Length}, at...)
	for _, s := range b.Sections[1:] {
		features = append(features, s.From)
	}
	slices.Sort(features)
	features = slices.CompactFunc(features, func(p, q float64) bool { return math.Abs(q-p) < 1e-9*b.Length })
	features[len(features)-1] = b.Length
	h := b.Length / float64(cells)
	x := make([]float64, 1, cells+2*len(features)+1)
	for i := 1; i < len(features); i++ {
		lo, wide := features[i-1], features[i]-features[i-1]
		m := int(math.Ceil(wide/h - 1e-6))
		for j := 1; j < m; j++ {
			x = append(x, lo+wide*float64(j)/float64(m))
		}
		x = append(x, features[i])
	}
	return x
}

// cell returns the cell that holds x and how far through it x lies, 0 to 1.
func (g *Bed) cell(x float64) (i int, t float64) {
	i, found := slices.BinarySearch(g.x, x)
	if !found {
		i--
	}
	i = min(max(i, 0), len(g.x)-2)
	return i, (x - g.x[i]) / (g.x[i+1] - g.x[i])
}

// blunt returns what the height at p, offset y, loses for a unit force at q, offset v, when the force of a foot
// enters the bed half left and half right of it, and its height is the mean of these two: shear would make a kink
// over it. Being a mean of compliances, what is left is one, whatever the sections.
func (g *Bed) blunt(p Spot, y float64, q Spot, v float64) (bent, twisted float64) {
	from, to := p.enters(), q.enters()
	if p.ends == nil && p.x <= to[0].x || q.ends == nil && q.x <= from[0].x {
		return 0, 0 // both see no more than lies left of the other
	}
	bent, twisted = g.kinked(p.place, y, q.place, v)
	n := float64(len(from) * len(to))
	for _, a := range from {
		for _, b := range to {
			shear, twist := g.kinked(a, y, b, v)
			bent, twisted = bent-shear/n, twisted-twist/n
		}
	}
	return bent, twisted
}

// kinked returns what compliance between two places has a kink where they meet: by shear and by twist.
func (g *Bed) kinked(p place, y float64, q place, v float64) (bent, twisted float64) {
	if q.x < p.x {
		p = q
	}
	return g.sheared[p.cell] + p.t*g.shear[p.cell], g.twister.plainly(p, y, v)
}

// at returns a node as a place.
func (g *Bed) at(node int) place {
	i := min(node, len(g.x)-2)
	return place{g.x[node], i, float64(node - i)}
}

// curves is the shape of the bed at the nodes: w by bending, the twist, and what turning
// about shear centres off the centre line takes from the height there.
type curves struct{ w, phi, side []float64 }

// at returns the heights at a place, offset y, by bending and by twist.
func (c curves) at(p place, y float64) (bent, turned float64) {
	return p.read(c.w), y*p.read(c.phi) - p.read(c.side)
}

// under returns the shape of the built-in bed under loads and a top warmer by gradient (K).
func (g *Bed) under(l loads, gradient float64) curves {
	return g.bendUnder(l.force, l.torque, gradient)
}

// bendUnder returns the shape of the bed built in at its left end under downward
// forces (N) and torques (N·m) at the nodes, nil for none, and a top warmer by
// gradient (K).
func (g *Bed) bendUnder(force, torque []float64, gradient float64) curves {
	n := len(g.x) - 1
	turn := make([]float64, n) // Δψ of each cell's hinge
	c := curves{w: make([]float64, n+1)}
	torques := make([]float64, n) // T of each cell about its shear centre
	var v, m, t float64           // V, M and T about the centre line, just left of node i+1
	twists := false
	for i := n - 1; i >= 0; i-- {
		h := g.x[i+1] - g.x[i]
		if force != nil {
			v -= force[i+1]
			t -= torque[i+1]
		}
		turn[i] = (m+v*h/2)*g.bend[i] + gradient*g.bow[i]
		c.w[i+1] = v * g.shear[i]
		torques[i] = t - v*g.twister.cells[i].centre
		twists = twists || torques[i] != 0
		m += v * h
	}
	var psi float64
	for i := range n {
		h := g.x[i+1] - g.x[i]
		c.w[i+1] += c.w[i] + (psi+turn[i]/2)*h
		psi += turn[i]
	}
	if !twists && (force == nil || torque[0] == 0) { // heat, or loads astride a bed that turns about its middle
		c.phi, c.side = g.still, g.still
		return c
	}
	c.phi, c.side = g.twister.under(torques, g.twister.cells[0].centre*force[0]-torque[0])
	return c
}

// loads are downward forces (N) and their torques (N·m) at the nodes, with their
// resultant: the total force and its moments Σ F·x and Σ F·y.
type loads struct {
	force, torque []float64
	resultant     *[3]float64
}

func (g *Bed) noLoads() loads {
	return loads{make([]float64, len(g.x)), make([]float64, len(g.x)), new([3]float64)}
}

// ownWeight returns the casting's own weight as loads, half of each cell's at
// each of its nodes.
func (g *Bed) ownWeight(b casting.Bed) loads {
	l, density := g.noLoads(), b.Density()
	g.each(b, func(i int, h, mid float64, s *casting.Section) {
		weight := density * s.Area * h
		for j := i; j <= i+1; j++ {
			l.force[j] += weight / 2
			l.torque[j] += weight / 2 * s.Offset
		}
		l.resultant[0] += weight
		l.resultant[1] += weight * mid
		l.resultant[2] += weight * s.Offset
	})
	return l
}

// with returns the loads with weights and lines besides.
func (l loads) with(g *Bed, weights []casting.Weight, lines []Line) loads {
	sum := *l.resultant
	l = loads{slices.Clone(l.force), slices.Clone(l.torque), &sum}
	for _, w := range weights {
		l.add(g.place(w.At), w.Force, w.Offset)
	}
	for _, q := range lines {
		l.addLine(g, q)
	}
	return l
}

// add puts a force (N, downwards) on the bed, shared between the two nodes
// beside it so that force and moment are kept.
func (l loads) add(at place, force, y float64) {
	l.resultant[0] += force
	l.resultant[1] += force * at.x
	l.resultant[2] += force * y
	for j, f := range [2]float64{force * (1 - at.t), force * at.t} {
		l.force[at.cell+j] += f
		l.torque[at.cell+j] += f * y
	}
}

// addLine puts a line load on the bed cell by cell; within a cell its force is shared between
// the nodes so that force and moment are kept.
func (l loads) addLine(g *Bed, q Line) {
	slope := (q.End - q.Start) / (q.To - q.From)
	first, _ := g.cell(q.From)
	for i := first; i < len(g.x)-1 && g.x[i] < q.To; i++ {
		lo, hi := max(g.x[i], q.From), min(g.x[i+1], q.To)
		long, a := hi-lo, q.Start+slope*(lo-q.From)
		force, moment := long*(a+slope*long/2), long*long*(a/2+slope*long/3) // about lo
		right := (moment + force*(lo-g.x[i])) / (g.x[i+1] - g.x[i])
		l.force[i] += force - right
		l.force[i+1] += right
		l.torque[i] += (force - right) * q.Offset
		l.torque[i+1] += right * q.Offset
		l.resultant[0] += force
		l.resultant[1] += force*lo + moment
		l.resultant[2] += force * q.Offset
	}
}
