package section

import (
	"math"
	"slices"
)

// edges returns the places of the rectangles' edges in one direction, increasing, each once.
func edges(boxes []box, d int) []float64 {
	var at []float64
	for _, b := range boxes {
		at = append(at, b.lo[d], b.hi[d])
	}
	slices.Sort(at)
	return slices.CompactFunc(at, func(p, q float64) bool { return math.Abs(q-p) < same })
}

// lines returns the lines of the mesh in one direction: every edge, and between edges elements that
// grow from both, beginning with the thickness of the plates there over `across`, by 2/across each,
// up to the section's extent over 3·across: all errors fall together.
func lines(boxes []box, d, across int) []float64 {
	at := edges(boxes, d)
	first := make([]float64, len(at))
	for k, x := range at {
		first[k] = math.Inf(1)
		for _, b := range boxes {
			if math.Abs(b.lo[d]-x) < 2*same || math.Abs(b.hi[d]-x) < 2*same {
				first[k] = min(first[k], b.thickness()/float64(across))
			}
		}
	}
	most, growth := (at[len(at)-1]-at[0])/float64(3*across), 1+2/float64(across)
	out := at[:1:1]
	for k := range len(at) - 1 {
		out = append(out, graded(at[k], at[k+1], first[k], first[k+1], most, growth)...)
	}
	return out
}

// graded cuts a stretch into lengths that grow from both of its ends, no longer than `most`,
// and returns where each ends.
func graded(from, to, a, b, most, growth float64) []float64 {
	var left, right []float64
	sum := 0.0
	for sum < (to-from)*(1-1e-9) { // alike from both ends, or the mirror image would have another mesh
		fromLeft, fromRight := a <= b*(1+1e-9), b <= a*(1+1e-9)
		if fromLeft {
			left, sum = append(left, min(a, most)), sum+min(a, most)
			a *= growth
		}
		if fromRight {
			right, sum = append(right, min(b, most)), sum+min(b, most)
			b *= growth
		}
	}
	slices.Reverse(right)
	lengths := append(left, right...)
	out := make([]float64, 0, len(lengths))
	x := from
	for _, l := range lengths {
		x += l * (to - from) / sum
		out = append(out, x)
	}
	out[len(out)-1] = to
	return out
}

// mesh is the union of the rectangles in elements. Vertices are numbered piece by piece.
type mesh struct {
	elements []element
	vertices int
	piece    []int // of each vertex
	pins     []int // one vertex of each piece
	cells    int   // holes that the section closes
}

// element is one rectangle of the mesh.
type element struct {
	piece  int
	lo, hi [2]float64 // m
	at     [4]int     // vertices: low low, high low, low high, high high (across, up)
}

// fill returns the mesh with so many elements across a plate's thickness.
func fill(boxes []box, across int) mesh {
	y, z := lines(boxes, 0, across), lines(boxes, 1, across)
	ny, nz := len(y)-1, len(z)-1
	piece := make([]int, ny*nz) // 0: empty
	for _, b := range boxes {
		for i := range ny {
			for j := range nz {
				if b.covers([2]float64{(y[i] + y[i+1]) / 2, (z[j] + z[j+1]) / 2}) {
					piece[i*nz+j] = -1
				}
			}
		}
	}
	n := pieces(piece, ny, nz)
	m := mesh{pins: make([]int, n)}
	for p := range n {
		m.number(piece, p, y, z)
	}
	m.cells = holes(piece, ny, nz) // what no way leads to from outside
	return m
}

// pieces gives every filled element (−1) the number of its piece, from 1, and returns how many there are.
func pieces(of []int, ny, nz int) (n int) {
	for start, v := range of {
		if v == -1 {
			n++
			flood(of, ny, nz, start, -1, n)
		}
	}
	return n
}

// flood changes an element of one kind and all of it that hangs together.
func flood(of []int, ny, nz, start, from, to int) {
	of[start] = to
	for todo := []int{start}; len(todo) > 0; {
		k := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		i, j := k/nz, k%nz
		for _, s := range [4][2]int{{i - 1, j}, {i + 1, j}, {i, j - 1}, {i, j + 1}} {
			if s[0] >= 0 && s[0] < ny && s[1] >= 0 && s[1] < nz && of[s[0]*nz+s[1]] == from {
				of[s[0]*nz+s[1]] = to
				todo = append(todo, s[0]*nz+s[1])
			}
		}
	}
}

// holes returns how many empty regions do not reach the edge.
func holes(piece []int, ny, nz int) (n int) {
	of := slices.Clone(piece)
	for k, v := range of {
		if i, j := k/nz, k%nz; v == 0 && (i == 0 || j == 0 || i == ny-1 || j == nz-1) && of[k] == 0 {
			flood(of, ny, nz, k, 0, 1)
		}
	}
	for k := range of {
		if of[k] == 0 {
			n++
			flood(of, ny, nz, k, 0, 1)
		}
	}
	return n
}

// number adds a piece's elements and numbers its vertices along the direction that keeps
// neighbours' numbers close.
func (m *mesh) number(piece []int, p int, y, z []float64) {
	ny, nz := len(y)-1, len(z)-1
	used := make([]bool, (ny+1)*(nz+1))
	first := len(m.elements)
	for i := range ny {
		for j := range nz {
			if piece[i*nz+j] != p+1 {
				continue
			}
			v := i*(nz+1) + j
			e := element{p, [2]float64{y[i], z[j]}, [2]float64{y[i+1], z[j+1]}, [4]int{v, v + nz + 1, v + 1, v + nz + 2}}
			for _, v := range e.at {
				used[v] = true
			}
			m.elements = append(m.elements, e)
		}
	}
	along, up := number(used, ny+1, nz+1, true), number(used, ny+1, nz+1, false)
	if spread(m.elements[first:], up) < spread(m.elements[first:], along) {
		along = up
	}
	m.pins[p] = m.vertices
	for k := first; k < len(m.elements); k++ {
		for c, v := range m.elements[k].at {
			m.elements[k].at[c] = m.vertices + along[v]
		}
	}
	for _, u := range used {
		if u {
			m.piece = append(m.piece, p)
		}
	}
	m.vertices = len(m.piece)
}

// number counts the used vertices, line by line across or up.
func number(used []bool, ny, nz int, across bool) []int {
	out, n := make([]int, len(used)), 0
	for k := range used {
		v := k
		if !across {
			v = k%ny*nz + k/ny
		}
		if used[v] {
			out[v] = n
			n++
		}
	}
	return out
}

// spread returns the most by which the numbers of one element's vertices differ.
func spread(elements []element, number []int) (most int) {
	for _, e := range elements {
		lo, hi := math.MaxInt, 0
		for _, v := range e.at {
			lo, hi = min(lo, number[v]), max(hi, number[v])
		}
		most = max(most, hi-lo)
	}
	return most
}
