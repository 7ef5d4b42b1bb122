package contact

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// prepare makes K = H + ρEEᵀ after H was written to. The balance makes the added term
// a constant, so that the answer is the same, and a point over the built-in end of a
// body no longer makes the matrix singular.
func (p *Problem) prepare() {
	if !p.stale {
		return
	}
	p.stale = false
	p.live, p.next = 0, 0
	n := len(p.points)
	var count [2]float64
	p.most, p.rho = 0, [2]float64{}
	for i, t := range p.points {
		v := p.h[i*n+i]
		count[t.Body]++
		p.rho[t.Body] += (v - p.rho[t.Body]) / count[t.Body]
		p.most = max(p.most, v)
	}
	first := 0 // of the points of a body
	for i, t := range p.points {
		if t.Body != p.points[first].Body {
			first = i
		}
		a, r := &p.e[i], p.rho[t.Body]
		row, from, e := p.k[i*(i+1)/2:][:i+1], p.h[i*n:][:i+1], p.e[first:i+1]
		copy(row[:first], from)
		row, from = row[first:][:len(e)], from[first:][:len(e)]
		for j := range e {
			b := &e[j]
			row[j] = from[j] + r*(a[0]*b[0]+a[1]*b[1]+a[2]*b[2])
		}
	}
}

// entry returns an entry of K.
func (p *Problem) entry(i, j int) float64 {
	if i < j {
		i, j = j, i
	}
	return p.k[i*(i+1)/2+j]
}

// factor is a contact set made ready to be solved for any load: K = LLᵀ over its
// points and the factor of EᵀK⁻¹E.
type factor struct {
	on    []bool       // as far as its rows are of the present points and H
	ok    bool         // its points can balance the bodies
	index []int        // its points that do not depend on others
	l     []float64    // rows of L, one behind the other
	inv   []float64    // one over its diagonal
	z     [][6]float64 // rows of L⁻¹E
	sq    [6][6]float64
	free  []part // orthonormal: forces without energy or resultant
	turns []rotation
}

// mostKept bounds the memory of the factors that are kept, in numbers.
const mostKept = 40_000

// factorOf returns the factor of a contact set, kept or new.
func (p *Problem) factorOf(on []bool) *factor {
	for _, f := range p.kept[:p.live] {
		if slices.Equal(f.on, on) {
			return f
		}
	}
	n := len(on)
	most := min(max(mostKept/(n*n), 1), 24)
	slot := p.next % most
	if p.live < most {
		slot = p.live
		p.live++
	} else {
		p.next++
	}
	if slot == len(p.kept) {
		p.kept = append(p.kept, &factor{})
	}
	f := p.kept[slot]
	f.make(p, on)
	return f
}

// dependent is below what part of its own compliance a point's compliance with those
// before it pinned counts as none. Rounding leaves some n·1e-16; two feet of a long bed
// a millimetre apart keep 1e-9, mostly by shear: the tests hold from 1e-6 down, and not at 1e-17.
const dependent = 1e-12

// make factors a contact set, from the first point on of which it is not made already.
func (f *factor) make(p *Problem, on []bool) {
	n, made := len(p.points), 0
	for made < len(f.on) && f.on[made] == on[made] {
		made++
	}
	rows, _ := slices.BinarySearch(f.index, made)
	free, _ := slices.BinarySearchFunc(f.free, made, func(d part, made int) int { return d.at[len(d.at)-1] - made })
	f.on = append(f.on[:0], on...)
	f.l, f.z, f.inv = sized(f.l, n*(n+1)/2), sized(f.z, n), sized(f.inv, n)
	f.index, f.free, f.ok = f.index[:rows], f.free[:free], false
	for i := made; i < n; i++ {
		if !on[i] {
			continue
		}
		if row, ok := f.add(p, i); !ok {
			f.setAside(i, row, n)
		}
	}
	f.ok = f.square(p.rows)
	m := float64(len(f.index))
	p.Work += float64(n*n) + m*m*(m/6+fewPoints/2)
	p.Work += float64(len(f.free)) * (m*m + float64(4*n)) // of forces without energy
}

// row returns a row of L.
func (f *factor) row(a int) []float64 { return f.l[a*(a+1)/2:][:a+1] }

// add puts a point last into L and Z; not when it depends on those there, and what it has
// in common with them comes back.
func (f *factor) add(p *Problem, i int) (row []float64, ok bool) {
	a := len(f.index)
	whole := f.row(a)
	row = whole[:a]
	rest, inv := f.l, f.inv[:a]
	for b, j := range f.index {
		other := rest[: b+1 : b+1]
		rest = rest[b+1:]
		sum := 0.0
		if b > mostShort {
			sum = floats.Dot(row[:b], other[:b])
		} else {
			sum = short(row[:b], other)
		}
		row[b] = (p.entry(i, j) - sum) * inv[b]
	}
	own := p.entry(i, i)
	left := own - dot(row, row)
	if !(left > dependent*own) {
		return row, false
	}
	last := math.Sqrt(left)
	whole[a], f.inv[a] = last, 1/last
	f.index = append(f.index, i)
	z := &f.z[a]
	*z = [6]float64{}
	body := &p.bodies[p.points[i].Body]
	copy(z[body.first:], p.e[i][:body.count])
	for d := 0; d < p.rows; d += 3 {
		z := three(z, d)
		z0, z1, z2 := z[0], z[1], z[2]
		for b, v := range row {
			other := three(&f.z[b], d)
			z0, z1, z2 = z0-v*other[0], z1-v*other[1], z2-v*other[2]
		}
		z[0], z[1], z[2] = z0*f.inv[a], z1*f.inv[a], z2*f.inv[a]
	}
	return row, true
}

// three are three of a row of Z, as many as are worked on at once; those beyond the balance are 0.
func three(z *[6]float64, from int) *[3]float64 { return (*[3]float64)(z[from:]) }

// drop takes point number a out of L and Z: rotations of neighbouring columns make a
// triangle again of what is left of L.
func (f *factor) drop(a int) {
	f.turns = f.turns[:0]
	for r := a + 1; r < len(f.index); r++ {
		row := f.row(r)[a:]
		x := row[0]
		for c, t := range f.turns {
			x, row[c] = t.of(x, row[c+1])
		}
		y := row[r-a]
		long := math.Hypot(x, y)
		t := rotation{x / long, y / long}
		row[r-1-a], f.inv[r-1] = long, 1/long
		copy(f.row(r-1), f.row(r))
		for d := range f.z[r] {
			f.z[r][d], f.z[r-1][d] = t.of(f.z[r-1][d], f.z[r][d])
		}
		f.turns = append(f.turns, t)
	}
	f.index = slices.Delete(f.index, a, a+1)
}

// rotation is by an angle of some cosine and sine.
type rotation struct{ cos, sin float64 }

// of returns what is turned on, to be turned with the next, and what is done.
func (t rotation) of(x, y float64) (on, done float64) {
	return t.cos*y - t.sin*x, t.cos*x + t.sin*y
}

// fewPoints make a factor sooner than one is updated, and are kept many factors of.
const fewPoints = 40

// exchanged returns the factor of a contact set from that of the set before p.wrong was
// exchanged: updated where it is large and these are few.
func (p *Problem) exchanged(f *factor, on []bool) *factor {
	n := len(on)
	if n <= fewPoints || len(f.free) > 0 || 4*len(p.wrong) > len(f.index) {
		return p.factorOf(on)
	}
	g := &p.updated
	if f != g {
		g.index, g.z = append(g.index[:0], f.index...), append(g.z[:0], f.z...)
		g.l, g.inv = append(g.l[:0], f.l...), append(g.inv[:0], f.inv...)
	}
	for _, i := range p.wrong {
		if !on[i] {
			g.drop(slices.Index(g.index, i))
		} else if _, ok := g.add(p, i); !ok {
			return p.factorOf(on)
		}
	}
	g.ok = g.square(p.rows)
	return g
}

// lower replaces v by L⁻¹v, lowerT by L⁻ᵀv.
func (f *factor) lower(v []float64) {
	rest := f.l
	for a := range v {
		row := rest[:a]
		rest = rest[a+1:]
		sum := 0.0
		if a > mostShort {
			sum = floats.Dot(row, v[:a])
		} else {
			sum = short(row, v)
		}
		v[a] = (v[a] - sum) * f.inv[a]
	}
}

func (f *factor) lowerT(v []float64) {
	from := len(v) * (len(v) + 1) / 2
	for a := len(v) - 1; a >= 0; a-- {
		from -= a + 1
		v[a] *= f.inv[a]
		less(v[:a], v[a], f.l[from:])
	}
}

// square factors EᵀK⁻¹E; not when the points lie on one line, or are none.
func (f *factor) square(rows int) bool {
	if len(f.index) < rows {
		return false
	}
	s := [6][6]float64{}
	for d := range rows {
		for e := range d + 1 {
			sum := 0.0
			for a := range f.index {
				z := &f.z[a]
				sum += z[d] * z[e]
			}
			s[d][e] = sum
		}
	}
	for d := range rows {
		whole := s[d][d]
		for e := range d + 1 {
			v := s[d][e]
			for t := range e {
				v -= s[d][t] * s[e][t]
			}
			switch {
			case e < d:
				s[d][e] = v / s[e][e]
			case !(v > 1e-11*whole):
				return false
			default:
				s[d][d] = math.Sqrt(v)
			}
		}
	}
	f.sq = s
	return true
}

// unsquare solves with the factor of EᵀK⁻¹E.
func (f *factor) unsquare(q *[6]float64, rows int) {
	for d := range rows {
		for t := range d {
			q[d] -= f.sq[d][t] * q[t]
		}
		q[d] /= f.sq[d][d]
	}
	for d := rows - 1; d >= 0; d-- {
		for t := d + 1; t < rows; t++ {
			q[d] -= f.sq[t][d] * q[t]
		}
		q[d] /= f.sq[d][d]
	}
}

// LogDet returns the logarithm of the determinant of H over the points of a contact set,
// bordered by their balance, but for a constant of the points' places: by how much
// heights under load differ in scale from heights without. −Inf where the points cannot
// balance the bodies.
func (p *Problem) LogDet(on []bool) (log float64) {
	p.prepare()
	f := p.factorOf(on)
	if !f.ok {
		return math.Inf(-1)
	}
	for a := range f.index {
		log += 2 * math.Log(f.row(a)[a])
	}
	for d := range p.rows {
		log += 2 * math.Log(f.sq[d][d])
	}
	return log
}

// glue finds forces and rigid motions with the points of the factor touching:
// Kf = −c + ρEb − Eq and Eᵀf = b. Forces that have no energy are as small as they can be.
func (p *Problem) glue(f *factor, l Load, a *Answer) {
	u := p.rhs[:len(f.index)]
	p.Work += float64(len(u) * (len(u) + fewPoints))
	var q [6]float64
	var b [2][3]float64
	for i, body := range p.bodies {
		b[i] = body.scaled(l.Resultant[i])
		for d := range body.count {
			q[body.first+d] = -b[i][d]
		}
	}
	for k, i := range f.index {
		e, t := &p.e[i], p.points[i].Body
		b := &b[t]
		u[k] = -l.Built[i] + p.rho[t]*(e[0]*b[0]+e[1]*b[1]+e[2]*b[2])
	}
	f.bordered(u, &q, p.rows)
	clear(a.Force)
	for k, i := range f.index {
		a.Force[i] = u[k]
	}
	for _, d := range f.free {
		d.without(a.Force)
	}
	for i, body := range p.bodies {
		var m [3]float64
		copy(m[:body.count], q[body.first:])
		a.Rigid[i] = body.rigid(m)
	}
	a.Shared = a.Shared[:0]
	if len(f.free) > 0 {
		f.tell(a)
	}
}

// bordered solves Ku + Eq = given, Eᵀu = −given q, in place.
func (f *factor) bordered(u []float64, q *[6]float64, rows int) {
	f.lower(u)
	for d := 0; d < rows; d += 3 {
		q := three(q, d)
		q0, q1, q2 := q[0], q[1], q[2]
		for k, v := range u {
			z := three(&f.z[k], d)
			q0, q1, q2 = q0+z[0]*v, q1+z[1]*v, q2+z[2]*v
		}
		q[0], q[1], q[2] = q0, q1, q2
	}
	f.unsquare(q, rows)
	for d := 0; d < rows; d += 3 {
		q := three(q, d)
		for k, v := range u {
			z := three(&f.z[k], d)
			u[k] = v - z[0]*q[0] - z[1]*q[1] - z[2]*q[2]
		}
	}
	f.lowerT(u)
}
