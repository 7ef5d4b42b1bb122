package free

import (
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"footwork/beam/casting"
	"footwork/beam/section"
)

// A box goes out of square between its ribs: its walls move up and down against each other by φ_d more than it twists.
// That is a beam on an elastic foundation, its plates' frame, held at the ribs:
//
//	(EI_dψ′)′ + T_d = 0,  T_d′ − k_dφ_d = −t,  free at both ends,
//	φ_d′ − ψ = aT_d + bT,  φ′ = bT_d besides what T twists,
//
// with t the torque about the shear centre on the bed's length and T that of all that lies to the right. Shear makes one of
// both: a = 1/GA_d, b = Both/G. It is smooth, so a few hundred cells know it, and its
// compliance between all their ends is kept.

// distortion is what φ_d at every end of a cell, with what φ has of it, is for a unit torque at any.
type distortion struct {
	cell float64 // m, length of a cell
	unit blas64.General
	of   []distorting // of each cell
}

// distorting is how a cell resists distortion.
type distorting struct {
	section.Distortion
	shear, both float64 // 1/a, N·m²; b, 1/N·m²
}

// distortCells is how many cells a box is cut into: beams on foundations with a decay of a tenth of the bed are right
// within 1e-3.
const distortCells = 120

// newDistortion returns nil unless some part of the bed is a box.
func newDistortion(b casting.Bed) *distortion {
	n := distortCells + 1
	d := &distortion{cell: b.Length / distortCells, unit: blas64.General{Rows: 2 * n, Cols: n, Stride: n, Data: make([]float64, 2*n*n)}}
	k := blas64.SymmetricBand{Uplo: blas.Upper, N: 2 * n, K: 3, Stride: 4, Data: make([]float64, 2*n*4)} // φ_d and ψ of each end
	put := func(i, j int, v float64) { k.Data[min(i, j)*4+max(i, j)-min(i, j)] += v }
	if !d.stiffen(b, put) {
		return nil
	}
	d.brace(b, put)
	for i := range n {
		d.unit.Data[2*i*n+i] = 1
	}
	for i, c := range d.of {
		for p, turn := range d.turn() { // a torque at an end further on shears the cell
			for j := i + 1; j < n; j++ {
				d.unit.Data[(2*i+p)*n+j] += turn * c.shear * c.both
			}
		}
	}
	factor, ok := lapack64.Pbtrf(k)
	if !ok {
		panic("beam: a box's distortion is not positive definite")
	}
	d.invert(factor)
	d.twist()
	return d
}

// turn is a cell's length times φ_d′ − ψ, by φ_d and ψ of its ends.
func (d *distortion) turn() [4]float64 { return [4]float64{-1, -d.cell / 2, 1, -d.cell / 2} }

// stiffen puts the cells' own stiffness where it belongs, and tells whether any is a box's.
func (d *distortion) stiffen(b casting.Bed, put func(i, j int, v float64)) (boxes bool) {
	e, turn := b.Material.Modulus, d.turn()
	for i := range distortCells {
		box, ok := distorts(b, (float64(i)+0.5)*d.cell)
		boxes = boxes || ok
		d.of = append(d.of, box)
		foundation, bend := e*box.Frame*d.cell/2, e*box.Warping/d.cell
		for p := range turn {
			for q := p; q < 4; q++ {
				put(2*i+p, 2*i+q, box.shear/d.cell*turn[p]*turn[q])
			}
		}
		put(2*i, 2*i, foundation)
		put(2*i+2, 2*i+2, foundation)
		put(2*i+1, 2*i+1, bend)
		put(2*i+3, 2*i+3, bend)
		put(2*i+1, 2*i+3, -bend)
	}
	return boxes
}

// vector returns a row of the solution.
func (d *distortion) vector(i int) blas64.Vector {
	n := d.unit.Cols
	return blas64.Vector{N: n, Inc: 1, Data: d.unit.Data[i*n : i*n+n]}
}

// invert solves for all unit torques at once, row by row: UᵀU x = right with U of three diagonals over the main one.
func (d *distortion) invert(u blas64.TriangularBand) {
	for i := range u.N {
		for j := max(0, i-u.K); j < i; j++ {
			blas64.Axpy(-u.Data[j*u.Stride+i-j], d.vector(j), d.vector(i))
		}
		blas64.Scal(1/u.Data[i*u.Stride], d.vector(i))
	}
	for i := u.N - 1; i >= 0; i-- {
		for j := i + 1; j <= min(i+u.K, u.N-1); j++ {
			blas64.Axpy(-u.Data[i*u.Stride+j-i], d.vector(j), d.vector(i))
		}
		blas64.Scal(1/u.Data[i*u.Stride], d.vector(i))
	}
}

// twist adds to φ_d what T_d twists, Σ bT_d over the cells left of each end.
func (d *distortion) twist() {
	n := d.unit.Cols
	more := blas64.Vector{N: n, Inc: 1, Data: make([]float64, n)}
	for i, c := range d.of {
		next := slices.Clone(more.Data)
		to := blas64.Vector{N: n, Inc: 1, Data: next}
		for p, turn := range d.turn() {
			blas64.Axpy(turn*c.shear*c.both, d.vector(2*i+p), to)
		}
		for j := i + 1; j < n; j++ {
			next[j] -= c.shear * c.both * c.both * d.cell
		}
		blas64.Axpy(1, more, d.vector(2*i))
		more = to
	}
	blas64.Axpy(1, more, d.vector(2*len(d.of)))
}

// distorts returns how the bed resists distortion at x; what is no box is kept square.
func distorts(b casting.Bed, x float64) (d distorting, box bool) {
	s, g := b.At(x), b.Material.ShearModulus
	var bars []section.Plate
	for _, r := range b.Ribs {
		if bar, ok := r.Closing(s.Plates, r.Every, r.Diagonal); ok && r.From <= x && x <= r.To {
			bars = append(bars, bar)
		}
	}
	if d, ok := s.Plates.Distort(bars...); ok && !s.TwistGiven {
		return distorting{d, g * d.Shear, d.Both / g}, true
	}
	return distorting{section.Distortion{Frame: 1, Warping: 1}, g, 0}, false
}

// brace puts the ribs where they stand.
func (d *distortion) brace(b casting.Bed, put func(i, j int, v float64)) {
	for _, r := range b.Ribs {
		for _, x := range r.Places() {
			box, ok := distorts(b, x)
			if !ok {
				continue
			}
			stiff := box.Brace(r.Rib, b.Material.ShearModulus)
			i, t := d.at(x)
			put(2*i, 2*i, stiff*(1-t)*(1-t))
			put(2*i, 2*i+2, stiff*t*(1-t))
			put(2*i+2, 2*i+2, stiff*t*t)
		}
	}
}

// at returns the cell that holds x and how far through it x lies.
func (d *distortion) at(x float64) (cell int, t float64) {
	i := min(max(int(x/d.cell), 0), distortCells-1)
	return i, x/d.cell - float64(i)
}

// row returns what every end has of a unit torque at end i.
func (d *distortion) row(i int) []float64 { return d.vector(2 * i).Data }

// between returns φ_d at x for a unit torque at s.
func (d *distortion) between(x, s float64) float64 {
	i, t := d.at(x)
	j, u := d.at(s)
	a, b := d.row(i), d.row(i+1)
	return (1-t)*((1-u)*a[j]+u*a[j+1]) + t*((1-u)*b[j]+u*b[j+1])
}

// under returns φ_d at places for torques at them.
func (d *distortion) under(x, torque []float64) []float64 {
	load, phi := make([]float64, d.unit.Cols), make([]float64, d.unit.Cols)
	for k, v := range torque {
		i, t := d.at(x[k])
		load[i] += v * (1 - t)
		load[i+1] += v * t
	}
	for i, v := range load {
		if v != 0 {
			blas64.Axpy(v, blas64.Vector{N: len(phi), Inc: 1, Data: d.row(i)}, blas64.Vector{N: len(phi), Inc: 1, Data: phi})
		}
	}
	out := make([]float64, len(x))
	for k := range x {
		i, t := d.at(x[k])
		out[k] = (1-t)*phi[i] + t*phi[i+1]
	}
	return out
}
