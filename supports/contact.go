package supports

import (
	"fmt"
	"slices"

	"footwork/beam"
	"gonum.org/v1/gonum/mat"
)

// Touching returns the standing with every foot that is clear of the bed raised until
// it just touches, and all feet held: its influence is the one that Task takes beside
// the gaps. With it Adjust can bring feet into contact; without, such feet stay out of use.
func Touching(s beam.Standing, now []beam.FootState) (touching beam.Standing, gap []float64) {
	touching, gap = s, make([]float64, len(now))
	touching.Feet = make([]beam.Foot, len(s.Feet))
	for i, f := range s.Feet {
		if now[i].Lifted {
			gap[i] = now[i].Gap
		}
		f.Height += gap[i]
		f.Held = true
		touching.Feet[i] = f
	}
	return touching, gap
}

// contact is the influence when some of the feet that are clear of the bed now stay
// clear: the bed moves freely above them.
type contact struct {
	Influence
	clear  []int
	follow [][]float64   // [foot raised][clear foot] m/m, how the bed moves above it
	bend   [][][]float64 // [foot][way][station] m/m, Height without the line or plane in it
}

// contactOf returns the influence when the feet of the set may touch and all other
// clear ones stay clear.
func (t *task) contactOf(set []int) *contact {
	var clear []int
	for f, g := range t.limits.gap {
		if g > 0 && !slices.Contains(set, f) {
			clear = append(clear, f)
		}
	}
	key := fmt.Sprint(clear)
	if c := t.contact[key]; c != nil {
		return c
	}
	c := &contact{Influence: t.Influence}
	if len(clear) > 0 {
		c.release(clear)
	}
	for f := range c.Feet {
		var h [][]float64
		for _, w := range c.Ways {
			h = append(h, w.Height[f])
		}
		c.bend = append(c.bend, level(t.Task.Ways, t.Tied, h))
	}
	t.contact[key] = c
	return c
}

// release lets feet of no load go: each follows the bed so that its load stays 0.
func (c *contact) release(clear []int) {
	n, m := len(c.Feet), len(clear)
	own := mat.NewDense(m, m, nil)
	rhs := mat.NewDense(m, n, nil)
	for i, v := range clear {
		for j, u := range clear {
			own.Set(i, j, c.Load[u][v])
		}
		for f := range n {
			rhs.Set(i, f, -c.Load[f][v])
		}
	}
	var follow mat.Dense
	if follow.Solve(own, rhs) != nil {
		return // the bed cannot stand without them
	}
	in := c.Influence
	c.clear, c.Load, c.Ways = clear, nil, nil
	freed := func(rows [][]float64) (out [][]float64) {
		for f := range n {
			row := slices.Clone(rows[f])
			for i, v := range clear {
				addScaled(row, follow.At(i, f), rows[v])
			}
			out = append(out, row)
		}
		return out
	}
	c.Load = freed(in.Load)
	for f := range n {
		c.follow = append(c.follow, mat.Col(nil, f, &follow))
		for _, v := range clear {
			c.Load[f][v] = 0 // but for rounding
		}
	}
	for _, w := range in.Ways {
		w.Height = freed(w.Height)
		c.Ways = append(c.Ways, w)
	}
}

// level returns heights about the least-squares line of each way or, when tied, about
// that plane of all: what is left of a tilt does not hide the bend in it.
func level(ways []Measured, tied bool, heights [][]float64) [][]float64 {
	out := make([][]float64, len(heights))
	if !tied || len(ways) < 2 {
		for w, h := range heights {
			out[w] = beam.Shape{X: ways[w].X, Y: h}.AboutLeastSquares().Y
		}
		return out
	}
	x, y, h := together(ways, heights)
	a := mat.NewDense(len(h), 3, nil)
	for i := range h {
		a.SetRow(i, []float64{1, x[i], y[i]})
	}
	var plane mat.VecDense
	if plane.SolveVec(a, mat.NewVecDense(len(h), h)) != nil {
		return heights
	}
	for w, m := range ways {
		for i, s := range m.X {
			out[w] = append(out[w], heights[w][i]-plane.AtVec(0)-plane.AtVec(1)*s-plane.AtVec(2)*m.Offset)
		}
	}
	return out
}

func addScaled(dst []float64, s float64, v []float64) {
	for i := range dst {
		dst[i] += s * v[i]
	}
}
