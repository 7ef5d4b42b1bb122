package ride

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"footwork/beam"
	"footwork/beam/free"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// Rider is a flexible beam that lies on rows along the bed: a table on its ways, a
// straightedge on one of them. It is uniform and stiff against twist, and touches on cells
// along each row: springs that only push. Bed, feet, contact and rider are one convex
// programme, that of least complementary energy, in the forces R of the feet and p of the
// cells:
//
//	gap at a foot:  bed − foot                       = 0 where R > 0
//	gap at a cell:  rider − bed + p/(k·length)       = 0 where p > 0
//
// with ΣR, ΣRx, ΣRy equal to all weights and Σp, Σps, Σpy to the rider's, s being
// measured from the rider's left end.
//
// A row that slopes across is one flank of a vee: its gaps and forces are counted upwards,
// forces also push aside by t = tan of the slope, the rider bends aside as it bends down,
// and nothing but the flanks holds it there.
type Rider struct {
	Length  float64 // m
	Weight  float64 // N
	Offset  float64 // m across the bed, of its centre of weight, and of the line where sloping rows meet
	Bending float64 // EI, N·m²
	Shear   float64 // κGA, N; 0 leaves shear out
	Contact float64 // stiffness of the contact per length of one row, N/m²
	Cells   int     // of contact along each row
	Rows    []Row
	Lifts   []Lift // what carries part of its weight: a balance
}

// Row is one line of contact.
type Row struct {
	Offset float64     // m across the bed
	Slope  float64     // tangent, across the bed, positive where it rises towards positive offset; 0: level
	Face   shape.Shape // m, of the rider's own face over its length, metal positive; empty: straight
	Way    shape.Shape // m, of the bed's metal along the bed; empty: straight
}

// Lift is a force on a rider, upwards.
type Lift struct {
	At    float64 // m from its left end
	Force float64 // N
}

// Lying is a rider at rest on the bed.
type Lying struct {
	X, Edges []float64   // m along the bed, of the cells that lie over it, and where they begin and end
	Face     [][]float64 // m, [row][cell]: height of the rider's face as it lies
	Gap      [][]float64 // m, [row][cell]: of air between face and way; 0 in contact
	Pressure [][]float64 // N/m, [row][cell]
}

// Lay puts riders that are alike but for the ways under them on the bed, one after another, with
// their left end at a place (m) that is made ready once, each beginning from the contact of the one before:
// places are best neighbours. An error is a *beam.TipError where the rider or the bed would tip.
func (r Riding) Lay(riders []Rider, at float64) ([]Lying, []error) {
	out, errs := make([]Lying, len(riders)), make([]error, len(riders))
	b, n := r.berth(riders[0], at), len(r.on.points)
	if len(b.cells) == 0 {
		for k := range errs {
			errs[k] = &beam.TipError{Table: true, Side: "right end", Over: math.Abs(at)}
		}
		return out, errs
	}
	var sol contact.Answer
	if *r.feet != nil {
		sol.On = slices.Concat(*r.feet, slices.Repeat([]bool{true}, len(b.cells)))
	}
	r.couple(riders[0], b)
	for k, t := range riders {
		if err := r.coupled.Solve(r.over(t, b), &sol); err != nil {
			errs[k], sol = r.on.Explain(err), contact.Answer{}
			continue
		}
		*r.feet = slices.Clone(sol.On[:n])
		out[k] = t.lying(b, n, sol)
	}
	return out, errs
}

// lying reads how a rider lies off the solution, whose points are those of n supports and the cells.
func (t Rider) lying(b berth, n int, sol contact.Answer) Lying {
	cells := b.cells
	out := Lying{Face: make([][]float64, len(t.Rows)), Gap: make([][]float64, len(t.Rows)), Pressure: make([][]float64, len(t.Rows))}
	bent, on := t.bent(cells, sol.Force[n:]), tablePlane(sol, b.at)
	aside := t.aside(cells, sol.Force[n:])
	var line []float64 // bent, the same over every row
	for a := range cells {
		c := &cells[a]
		if c.row == 0 {
			out.X, out.Edges, line = append(out.X, c.x), append(out.Edges, c.x-c.long/2), append(line, bent(c.s))
		}
		w := c.row
		h := line[a%len(line)] + on.at(c.s, c.arm)
		if c.slope != 0 {
			h += c.slope * aside(c.s)
		}
		out.Face[w] = append(out.Face[w], h-t.Rows[w].face(c.s))
		out.Gap[w] = append(out.Gap[w], max(0, sol.Gap[n+a]))
		out.Pressure[w] = append(out.Pressure[w], sol.Force[n+a]/c.long)
	}
	last := cells[len(cells)-1]
	out.Edges = append(out.Edges, last.x+last.long/2)
	return out
}

func (r Row) face(s float64) float64 {
	if len(r.Face.X) == 0 {
		return 0
	}
	return r.Face.At(s)
}

func (r Row) way(x float64) float64 {
	if len(r.Way.X) == 0 {
		return 0
	}
	return r.Way.At(x)
}

// cellContact is one cell of contact that lies over the bed.
type cellContact struct {
	row, along int
	s, x, y    float64 // m, of the middle of the part over the bed
	slope, arm float64 // of its row; m across the bed, by which an upward force upon it rolls the rider
	long       float64 // m, of that part
	give       float64 // m²/N, of the wall beneath
	at         free.Spot
}

// cells returns the contact of a rider laid down at a place, row by row.
func (r Riding) cells(t Rider, at float64) (out []cellContact) {
	long := t.Length / float64(t.Cells)
	for w, row := range t.Rows {
		give := r.on.bed.At(at+t.Length/2).Plates.Compression(row.Offset, r.on.bed.Material.Modulus)
		for i := range t.Cells {
			lo, hi := max(0, at+float64(i)*long), min(r.on.bed.Length, at+float64(i+1)*long)
			if hi-lo > 1e-9*long {
				x := (lo + hi) / 2
				arm := row.Offset + (row.Offset-t.Offset)*row.Slope*row.Slope
				out = append(out, cellContact{w, i, x - at, x, row.Offset, row.Slope, arm, hi - lo, give, r.on.free.Spot(x)})
			}
		}
	}
	return out
}

// The rider's own shape is that of a uniform cantilever built in at its left end,
// under a unit force at u: a²(3b−a)/6EI + a/κGA with a ≤ b of s and u; under its weight:
// −q·s²(6L²−4Ls+s²)/24EI − q(Ls−s²/2)/κGA (any text on strength of materials). Each cell
// presses evenly over its length 2h about m and is held at its mean height, so that a
// slack rider lies even however coarse the cells; the means follow with
// ⟨s²⟩ = m² + h²/3, ⟨s³⟩ = m³ + mh², ⟨s⁴⟩ = m⁴ + 2m²h² + h⁴/5.

// slide returns 1/κGA, 1/N.
func (t Rider) slide() float64 {
	if t.Shear == 0 {
		return 0
	}
	return 1 / t.Shear
}

// give returns the mean height of cell c for a unit force on cell d, m/N.
func (t *Rider) give(c, d *cellContact) float64 {
	if c.s > d.s {
		c, d = d, c
	}
	m, h := c.s, c.long/2
	if c.along == d.along {
		return (m*m*m+h*h*h/5)/(3*t.Bending) + (m-h/3)*t.slide()
	}
	return (3*(m*m+h*h/3)*d.s-m*m*m-m*h*h)/(6*t.Bending) + m*t.slide()
}

// between returns the mean height of cell c over its row for a unit force upwards on cell
// d, m/N: both push the rider aside by their slopes, and it yields to either side.
func (t *Rider) between(c, d *cellContact) float64 {
	if c.slope == 0 || d.slope == 0 {
		return t.give(c, d)
	}
	return t.give(c, d)*(1+c.slope*d.slope) + c.slope*d.slope*t.free(c.s, d.s)
}

// freedom is how much easier a rider glides aside than it bends: by so much the two flanks
// of a vee push it there alike.
const freedom = 1e6

// free returns how far a rider glides aside at s for a unit force at u, m/N.
func (t *Rider) free(s, u float64) float64 {
	l := t.Length
	soft := freedom * (l*l*l/3/t.Bending + l*t.slide() + float64(t.Cells)/t.Contact/l)
	return soft * (1 + (2*s/l-1)*(2*u/l-1))
}

// aside returns how far forces upwards push a rider towards negative offset, as each does
// over a row that rises towards positive offset, m.
func (t Rider) aside(cells []cellContact, force []float64) func(s float64) float64 {
	return func(s float64) (off float64) {
		for a := range cells {
			if c := &cells[a]; c.slope != 0 && force[a] != 0 {
				off += c.slope * force[a] * (t.rise(s, c) + t.free(s, c.s))
			}
		}
		return off
	}
}

// hang returns the mean height of cell c under the rider's own weight and lifts, m.
func (t *Rider) hang(c *cellContact) (up float64) {
	l, m, hh := t.Length, c.s, c.long*c.long/4
	up = -t.Weight / l * ((6*l*l*(m*m+hh/3)-4*l*(m*m*m+m*hh)+m*m*m*m+2*m*m*hh+hh*hh/5)/(24*t.Bending) + (l*m-(m*m+hh/3)/2)*t.slide())
	for _, f := range t.Lifts {
		up += f.Force * t.rise(f.At, c)
	}
	return up
}

// rise returns the height of the rider at s for a unit force on cell c, m/N; the mean
// height of the cell for a unit force at s.
func (t *Rider) rise(s float64, c *cellContact) float64 {
	if c.long == 0 {
		a, b := min(s, c.s), max(s, c.s)
		return a*a*(3*b-a)/(6*t.Bending) + a*t.slide()
	}
	l, r := c.s-c.long/2, c.s+c.long/2
	b := min(max(s, l), r)
	return (s*(b*b*b-l*l*l)-(b*b*b*b-l*l*l*l)/4+s*s*(1.5*(r*r-b*b)-s*(r-b)))/(6*t.Bending*c.long) +
		((b*b-l*l)/2+s*(r-b))/c.long*t.slide()
}

// bent returns the heights of the middle of the rider above its rigid plane.
func (t Rider) bent(cells []cellContact, force []float64) func(s float64) float64 {
	return func(s float64) float64 {
		h := t.hang(&cellContact{s: s})
		for a, f := range force[:len(cells)] {
			if f != 0 {
				h += t.rise(s, &cells[a]) * f
			}
		}
		return h
	}
}

// resultant returns what the cells bear: the rider's weight less its lifts, with the
// moments about its left end and the centre line.
func (t Rider) resultant() [3]float64 {
	b := [3]float64{t.Weight, t.Weight * t.Length / 2, t.Weight * t.Offset}
	for _, f := range t.Lifts {
		b[0] -= f.Force
		b[1] -= f.Force * f.At
		b[2] -= f.Force * t.Offset
	}
	return b
}

// berth is a place for a rider, made ready for any draw.
type berth struct {
	at            float64
	cells         []cellContact
	bent, twisted [][]float64   // compliance of each cell with the bed's points and with the cells up to itself, m/N
	own           [][]float64   // the rider's, of each cell with the cells up to itself, m/N
	ways          []*beam.Probe // on each way, whose points are the cells: downwards
}

// berth makes a place ready, once for all draws and for riders that touch and bend alike.
func (r Riding) berth(t Rider, at float64) berth {
	key := fmt.Sprint(at, t.Length, t.Offset, t.Cells, t.Bending, t.Shear, t.Contact)
	for _, row := range t.Rows {
		key += fmt.Sprint(" ", row.Offset, row.Slope)
	}
	once, _ := r.on.berths.LoadOrStore(key, sync.OnceValue(func() berth { return r.newBerth(t, at) }))
	return once.(func() berth)()
}

func (r Riding) newBerth(t Rider, at float64) berth {
	b, n := berth{at: at, cells: r.cells(t, at)}, len(r.on.points)
	for a, c := range b.cells {
		bent, twisted, own := make([]float64, n+a+1), make([]float64, n+a+1), make([]float64, a+1)
		for i, p := range r.on.points {
			bent[i], twisted[i] = r.on.free.Between(r.on.enter[i], p.Y, c.at, c.y)
		}
		for k, d := range b.cells[:a+1] {
			bent[n+k], twisted[n+k] = r.on.free.Between(c.at, c.y, d.at, d.y)
			own[k] = t.between(&c, &d)
		}
		b.bent, b.twisted, b.own = append(b.bent, bent), append(b.twisted, twisted), append(b.own, own)
	}
	return b
}

// couple puts feet and cells into one problem: the feet carry bed and rider, the cells
// the rider upon the bed.
func (r Riding) couple(t Rider, on berth) {
	n, points, cells := len(r.on.points), slices.Clone(r.on.points), on.cells
	bend, twist := r.base.Soft()
	for _, c := range cells {
		points = append(points, contact.Point{X: c.s, Y: c.arm, Body: 1})
	}
	for _, y := range t.upright() {
		points = append(points, contact.Point{X: t.Length / 2, Y: y, Body: 1, Held: true})
	}
	h := r.coupled.Ride(points)
	r.on.Fill(h, len(points), r.draw)
	for a := range cells {
		c, bent, twisted := &cells[a], on.bent[a], on.twisted[a]
		for i := range n {
			set(h, len(points), i, n+a, -bent[i]*bend-twisted[i]*twist)
		}
		for b, own := range on.own[a] {
			v := bent[n+b]*bend + twisted[n+b]*twist + own
			if a == b {
				v += ((1+c.slope*c.slope)/t.Contact + c.give*bend) / c.long
			}
			set(h, len(points), n+a, n+b, v)
		}
	}
	for i := n + len(cells); i < len(points); i++ {
		for j := range i {
			set(h, len(points), i, j, 0)
		}
		set(h, len(points), i, i, freedom*float64(t.Cells)/t.Contact/t.Length)
	}
}

// over is the load of the coupled problem: bed, rider, and how both are shaped at the cells.
func (r Riding) over(t Rider, on berth) contact.Load {
	l := r.load(t, on.at)
	for i := range on.cells {
		c := &on.cells[i]
		l.Built = append(l.Built, t.hang(c)-t.Rows[c.row].face(c.s)-r.base.Built(c.at, c.y)-t.Rows[c.row].way(c.x))
	}
	for _, y := range t.upright() {
		middle := r.on.free.Spot(min(max(on.at+t.Length/2, 0), r.on.bed.Length))
		l.Built = append(l.Built, -r.base.Built(middle, y))
	}
	return l
}

// load returns what the feet see of bed and rider, and the rider's own resultant.
func (r Riding) load(t Rider, at float64) contact.Load {
	l := contact.Load{Built: slices.Clone(r.base.Load().Built), Resultant: r.base.Load().Resultant}
	b := t.resultant()
	l.Resultant[1] = b
	for d, v := range [3]float64{b[0], b[1] + b[0]*at, b[2]} {
		l.Resultant[0][d] += v
	}
	return l
}

// upright returns where a rider in a vee is kept from rolling, by springs a million times
// softer than its contact: on one line of either flank it may lie as it likes.
func (t Rider) upright() []float64 {
	if !slices.ContainsFunc(t.Rows, func(r Row) bool { return r.Slope != 0 }) {
		return nil
	}
	return []float64{t.Offset - t.Length, t.Offset + t.Length}
}

// set writes one entry of a symmetric matrix, row by row.
func set(h []float64, width, i, j int, v float64) { h[i*width+j], h[j*width+i] = v, v }

// tablePlane returns the rigid motion of a table at a place, in s and y.
func tablePlane(sol contact.Answer, at float64) plane {
	bed, table := sol.Rigid[0], sol.Rigid[1]
	return plane{bed[0] + bed[1]*at + table[0], bed[1] + table[1], bed[2] + table[2]}
}
