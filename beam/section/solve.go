package section

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// system is Laplace's operator on the mesh, factored. A pinned vertex in each piece makes it
// regular; what has no resultant over a piece is not changed by that.
type system struct {
	mesh
	factor blas64.TriangularBand
}

// stiff is ∫∇f·∇g of bilinear functions on a rectangle a×b, up to a factor, by the distances
// of their vertices across and up: (b/6a)·s + (a/6b)·u.
var stiffAcross, stiffUp = [2][2]float64{{2, 1}, {-2, -1}}, [2][2]float64{{2, -2}, {1, -1}}

func newSystem(m mesh) system {
	band := 0
	for _, e := range m.elements {
		for _, v := range e.at {
			band = max(band, e.at[3]-v, v-e.at[0])
		}
	}
	k := blas64.SymmetricBand{Uplo: blas.Upper, N: m.vertices, K: band, Stride: band + 1, Data: make([]float64, m.vertices*(band+1))}
	for _, e := range m.elements {
		a, b := e.hi[0]-e.lo[0], e.hi[1]-e.lo[1]
		for i, p := range e.at {
			for j, q := range e.at {
				if p <= q {
					across, up := i&1^j&1, i>>1^j>>1
					k.Data[p*k.Stride+q-p] += stiffAcross[across][up]*b/(6*a) + stiffUp[across][up]*a/(6*b)
				}
			}
		}
	}
	for _, p := range m.pins {
		k.Data[p*k.Stride] *= 2
	}
	t, ok := lapack64.Pbtrf(k)
	if !ok {
		panic("section: Laplace's operator is not positive definite")
	}
	return system{m, t}
}

// solve returns what solves the system for a right side.
func (s system) solve(right []float64) []float64 {
	x := append([]float64(nil), right...)
	lapack64.Pbtrs(s.factor, blas64.General{Rows: len(x), Cols: 1, Stride: 1, Data: x})
	return x
}

// times returns ∫f·g for the vertices' own functions g.
func (s system) times(f []float64) []float64 {
	out := make([]float64, len(f))
	for _, e := range s.elements {
		w := e.area() / 36
		for i, p := range e.at {
			for j, q := range e.at {
				out[p] += w * float64((2-(i&1^j&1))*(2-(i>>1^j>>1))) * f[q]
			}
		}
	}
	return out
}

func (e element) area() float64 { return (e.hi[0] - e.lo[0]) * (e.hi[1] - e.lo[1]) }

// twisting returns the right side of ω about each piece's centroid: ∫(z̃·∂f/∂y − ỹ·∂f/∂z).
func (s system) twisting(centroid [][2]float64) []float64 {
	out := make([]float64, s.vertices)
	for _, e := range s.elements {
		c := centroid[e.piece]
		lo := [2]float64{e.lo[0] - c[0], e.lo[1] - c[1]}
		hi := [2]float64{e.hi[0] - c[0], e.hi[1] - c[1]}
		// ∫ of the coordinate times a vertex's share, along one side of the element
		var first [2][2]float64
		for d := range 2 {
			l := (hi[d] - lo[d]) / 6
			first[d] = [2]float64{l * (2*lo[d] + hi[d]), l * (lo[d] + 2*hi[d])}
		}
		for i, p := range e.at {
			across, up := i&1, i>>1
			out[p] += float64(2*across-1)*first[1][up] - float64(2*up-1)*first[0][across]
		}
	}
	return out
}
