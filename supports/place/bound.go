package place

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// Between two neighbouring feet the axis is the free bed's shape plus a line plus
// what one moment and one shear force do, whatever the feet, and what twist does there
// when the axis is not that of twist. So no placement with
// these neighbours has a zone below twice the best approximation of the load's
// shape by those functions (de la Vallée Poussin: a point more gives a bound
// from below). Near a foot, where its force enters the bed, nothing is said. Beyond the outermost foot nothing is unknown but the line, if the axis does not
// twist. The bounds let the search leave out most placements and still be exhaustive.

// bounds knows the least zone of every stretch between neighbouring feet.
type bounds struct {
	lc     *loadCases
	spread float64     // m, how far left and right of a foot its force enters the bed, at most
	at     float64     // m, offset of the axis
	twist  int         // of so many functions more; 0: the bed turns about the axis
	basis  [][]float64 // [function][station]
	axis   [][]float64 // [case][station], m: a mean of the ways, whose zone is at most theirs
	left   [][]float64 // the same with the part that the feet to the right do to an overhang
}

func (lc *loadCases) bounds(feet *sites) *bounds {
	low, high, share := lc.leverage()
	b := &bounds{lc: lc, at: (1-share)*lc.Bed.Ways[low].Offset + share*lc.Bed.Ways[high].Offset}
	for _, f := range feet.at {
		b.spread = max(b.spread, f.Spread())
	}
	b.twist = len(lc.free.Twisting(lc.at, b.at))
	n := len(lc.x)
	one, arm, rest := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, x := range lc.x {
		one[i] = 1
		arm[i], rest[i] = lc.free.Arm(x)
	}
	b.basis = [][]float64{one, lc.x, arm, rest}
	for k, c := range lc.cases {
		axis, left := make([]float64, n), make([]float64, n)
		for i := range n {
			axis[i] = (1-share)*lc.base[k][low*n+i] + share*lc.base[k][high*n+i]
			left[i] = axis[i] + c.Resultant[1]*arm[i] + c.Resultant[0]*rest[i]
		}
		b.axis, b.left = append(b.axis, axis), append(b.left, left)
	}
	return b
}

// leverage returns two ways and the share of the second in a mean of both that
// lies as near to the centre line as can be: there twist does not show.
func (lc *loadCases) leverage() (low, high int, share float64) {
	for i, w := range lc.Bed.Ways {
		if w.Offset < lc.Bed.Ways[low].Offset {
			low = i
		}
		if w.Offset > lc.Bed.Ways[high].Offset {
			high = i
		}
	}
	if a, b := lc.Bed.Ways[low].Offset, lc.Bed.Ways[high].Offset; b > a {
		share = min(max(-a/(b-a), 0), 1)
	}
	return low, high, share
}

// span bounds the zone when feet at from and to are neighbours.
func (b *bounds) span(from, to float64) (least float64) {
	at, weights := b.reference(from, to)
	for _, axis := range b.axis {
		sum := 0.0
		for i, s := range at {
			sum += weights[i] * axis[s]
		}
		least = max(least, 2*math.Abs(sum))
	}
	return least
}

// reference returns stations between two places, and weights of absolute sum 1
// that all functions of the basis cancel under; none when there are too few.
func (b *bounds) reference(from, to float64) (at []int, weights []float64) {
	lo, _ := slices.BinarySearch(b.lc.x, from+b.spread-1e-9)
	hi, _ := slices.BinarySearch(b.lc.x, to-b.spread+1e-9)
	d := len(b.basis) + b.twist
	if hi-lo < d+1 {
		return nil, nil
	}
	for i := range d + 1 { // near the extremes of Chebyshev's polynomial
		t := (1 - math.Cos(math.Pi*float64(i)/float64(d))) / 2
		s := lo + int(math.Round(t*float64(hi-1-lo)))
		if i > 0 {
			s = max(s, at[i-1]+1)
		}
		at = append(at, min(s, hi-1-(d-i)))
	}
	m := b.functions(at)
	for f := range m {
		size := max(floats.Norm(m[f], math.Inf(1)), math.SmallestNonzeroFloat64)
		for c := range m[f] {
			m[f][c] /= size
		}
	}
	return at, cancelling(m)
}

// functions returns the basis and what twist adds to it, rows over some stations.
func (b *bounds) functions(stations []int) (m [][]float64) {
	sites := make([]beam.Spot, len(stations))
	for c, s := range stations {
		sites[c] = b.lc.at[s]
	}
	for _, f := range b.basis {
		row := make([]float64, len(stations))
		for c, s := range stations {
			row[c] = f[s]
		}
		m = append(m, row)
	}
	if b.twist > 0 {
		m = append(m, b.lc.free.Twisting(sites, b.at)...)
	}
	return m
}

// cancelling returns w with m·w = 0 and Σ|w| = 1 for fewer rows than columns.
func cancelling(m [][]float64) []float64 {
	cols, rank := eliminate(m)
	w := make([]float64, len(cols))
	w[cols[rank]] = 1
	sum := 1.0
	for i := rank - 1; i >= 0; i-- {
		v := -m[i][cols[rank]]
		for j := i + 1; j < rank; j++ {
			v -= m[i][cols[j]] * w[cols[j]]
		}
		w[cols[i]] = v / m[i][cols[i]]
		sum += math.Abs(w[cols[i]])
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// eliminate makes m upper triangular with full pivoting, in place, and returns the
// order of its columns and its rank.
func eliminate(m [][]float64) (cols []int, rank int) {
	d, n := len(m), len(m[0])
	for i := range n {
		cols = append(cols, i)
	}
	for ; rank < d; rank++ {
		p, q, most := rank, rank, 0.0
		for i := rank; i < d; i++ {
			for j := rank; j < n; j++ {
				if v := math.Abs(m[i][cols[j]]); v > most {
					p, q, most = i, j, v
				}
			}
		}
		if most < 1e-12 {
			break
		}
		m[p], m[rank] = m[rank], m[p]
		cols[q], cols[rank] = cols[rank], cols[q]
		for i := rank + 1; i < d; i++ {
			t := m[i][cols[rank]] / m[rank][cols[rank]]
			for _, c := range cols[rank:] {
				m[i][c] -= t * m[rank][c]
			}
		}
	}
	return cols, rank
}

// ends bound the zone when the first foot, or the last one, stands at x.
func (b *bounds) ends(x float64) (first, last float64) {
	hi, _ := slices.BinarySearch(b.lc.x, x-b.spread+1e-9)
	lo, _ := slices.BinarySearch(b.lc.x, x+b.spread-1e-9)
	if b.twist > 0 {
		return b.span(0, x), b.span(x, b.lc.Bed.Length)
	}
	for k := range b.axis {
		first = max(first, beam.Zone(b.lc.x[:hi], b.left[k][:hi]))
		last = max(last, beam.Zone(b.lc.x[lo:], b.axis[k][lo:]))
	}
	return first, last
}
