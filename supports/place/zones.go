package place

import (
	"slices"

	"footwork/beam/shape"
)

// zoneOf returns the first of the zones that has x, within a micrometre of rounding; -1: none.
func zoneOf(zones []shape.Span, x float64) int {
	return slices.IndexFunc(zones, func(z shape.Span) bool { return x >= z.From-1e-6 && x <= z.To+1e-6 })
}

// within returns the stretch in which a post at x may be moved: its zone, apart from kept feet.
func (r *descent) within(x float64) (lo, hi float64) {
	zones := r.options.zones(r.lc.Bed.Length)
	if i := zoneOf(zones, x); i >= 0 {
		lo, hi = zones[i].From, zones[i].To
	}
	for _, f := range r.options.Keep {
		if f.At < x {
			lo = max(lo, f.At+r.options.Apart)
		} else {
			hi = min(hi, f.At-r.options.Apart)
		}
	}
	return lo, hi
}

// moved returns placements with one post less in one zone than at x and one more in another: any of the posts put into the
// widest gap there, and both zones' posts spread evenly, as one more pushes all the others along. There is none where a post
// stands in no zone.
func (r *descent) moved(x []float64) (list [][]float64) {
	zones := r.options.zones(r.lc.Bed.Length)
	in := make([][]float64, len(zones))
	for _, at := range x {
		i := zoneOf(zones, at)
		if i < 0 {
			return nil
		}
		in[i] = append(in[i], at)
	}
	add := func(less, more int, left, joined []float64) {
		to := slices.Clone(in)
		to[less], to[more] = left, joined
		from := slices.Concat(to...)
		if slices.Sort(from); r.apart(from) && !slices.ContainsFunc(from, r.off) {
			list = append(list, from)
		}
	}
	for less := range zones {
		for more := range zones {
			if n := len(in[less]); n > 0 && more != less {
				joined := r.joined(zones[more], in[more])
				for i := range n {
					add(less, more, slices.Delete(slices.Clone(in[less]), i, i+1), joined)
				}
				add(less, more, even(zones[less], n-1), even(zones[more], len(in[more])+1))
			}
		}
	}
	return list
}

// off tells whether no post may stand at x.
func (r *descent) off(x float64) bool {
	lo, hi := r.within(x)
	return x < lo-1e-6 || x > hi+1e-6
}

// joined returns the posts in a zone with one more in the middle of the widest gap that its ends, they and kept feet leave.
func (r *descent) joined(z shape.Span, x []float64) []float64 {
	marks := append([]float64{z.From, z.To}, x...)
	for _, f := range r.options.Keep {
		if f.At > z.From && f.At < z.To {
			marks = append(marks, f.At)
		}
	}
	slices.Sort(marks)
	widest := 1
	for i := range marks[1:] {
		if marks[i+1]-marks[i] > marks[widest]-marks[widest-1] {
			widest = i + 1
		}
	}
	return append(slices.Clone(x), (marks[widest]+marks[widest-1])/2)
}

// even spreads posts over a zone, with half of what parts them at its ends.
func even(z shape.Span, posts int) (x []float64) {
	for i := range posts {
		x = append(x, z.From+(z.To-z.From)*(float64(i)+0.5)/float64(posts))
	}
	return x
}
