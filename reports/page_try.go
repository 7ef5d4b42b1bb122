package reports

// tryChart is the picture of the trial: the ways as they are and as moved. The
// script fills in the moved ones.
func (p *Page) tryChart() *chart {
	c := newChart(alongAxis, heightAxis)
	c.Height = 300
	for i, w := range p.Try.Ways {
		y := w.Measured
		if len(y) == 0 {
			y = make([]float64, len(w.X))
		}
		c.curve(w.Name+" now", w.X, y, note{Way: w.Name, Style: []string{"first faint", "second faint"}[i%2], Ref: true, Unnamed: true})
	}
	for i, w := range p.Try.Ways {
		c.curve(w.Name, w.X, make([]float64, len(w.X)), wayNote(i, w.Name))
	}
	return c.finish()
}

// thinned returns t with at most 80 stations a way, and the numbers of its
// curves to ten figures; the contact problem keeps all its digits.
func (t *Try) thinned() *Try {
	if t == nil {
		return nil
	}
	c := *t
	c.Ways = nil
	for _, w := range t.Ways {
		keep := spread(len(w.X), 80)
		n := TryWay{Name: w.Name, Offset: w.Offset, X: at(w.X, keep), Base: at(w.Base, keep)}
		if len(w.Measured) > 0 {
			n.Measured = at(w.Measured, keep)
		}
		for _, k := range keep {
			g := make([]float64, len(w.G[k]))
			for j, v := range w.G[k] {
				g[j] = figures(v, 10)
			}
			n.G = append(n.G, g)
		}
		c.Ways = append(c.Ways, n)
	}
	return &c
}

// at returns the values at the indices, with all their digits.
func at(v []float64, keep []int) []float64 {
	out := make([]float64, len(keep))
	for i, k := range keep {
		out[i] = v[k]
	}
	return out
}
