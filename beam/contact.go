package beam

import (
	"errors"
	"fmt"
	"math"

	"footwork/beam/free"
	"footwork/internal/contact"
)

// TipError says that no set of pushing supports balances the bed, or that the table would
// fall off its ways, and to which side.
type TipError struct {
	Table    bool    // the table, else the bed
	Standing string  // of the bed
	Side     string  // "left end", "right end", "positive-offset side" or "negative-offset side"
	Over     float64 // m, by how much the weight's line stands beyond supports or ways
}

func (e *TipError) Error() string {
	if e.Table {
		return "the table would tip towards the " + e.Side
	}
	return fmt.Sprintf("standing %q: the bed would tip towards the %s", e.Standing, e.Side)
}

// ClashError says that rigid supports contradict one another: no bed fits them as
// they are held, and the forces between them would have no end.
type ClashError struct {
	Standing string
	Feet     []string // by name; a bearing as "bearing 1"
	By       float64  // m, by how much
}

func (e *ClashError) Error() string {
	return fmt.Sprintf("standing %q: rigid supports contradict one another: %v", e.Standing, e.Feet)
}

// Points returns where the supports may touch the bed, and where their forces enter it.
func (v *Solver) Points() (points []contact.Point, enter []free.Spot) {
	for _, p := range v.points {
		points, enter = append(points, contact.Point{X: p.x, Y: p.y, Held: p.held}), append(enter, p.at)
	}
	return points, enter
}

// Fill writes the compliance between the points, with their supports' give, into the
// first rows of a matrix of the given width.
func (v *Solver) Fill(h []float64, width int, d Draw) {
	bend, twist := d.factors().softness()
	bent, twisted := v.bent.RawSymmetric(), v.twisted.RawSymmetric()
	for i, p := range v.points {
		from := i * bent.Stride
		for j := i; j < len(v.points); j++ {
			c := bent.Data[from+j]*bend + twisted.Data[from+j]*twist
			h[i*width+j], h[j*width+i] = c, c
		}
		h[i*width+i] += v.give(p, d)
	}
}

// contactLoad returns the built-in gaps and the resultant of a state's loads.
func (v *Solver) contactLoad(st *State, d Draw) contact.Load {
	l := contact.Load{Built: make([]float64, len(v.points)), Resultant: [2][3]float64{st.load.Resultant}}
	for i, p := range v.points {
		l.Built[i] = st.Built(p.at, p.y) - v.height(p, d)
	}
	return l
}

// Explain puts an error of package contact into the terms of bed and table.
func (v *Solver) Explain(err error) error {
	if err == nil {
		return nil
	}
	var tip *contact.Tip
	var clash *contact.Contradiction
	switch {
	case errors.As(err, &tip):
		return &TipError{Table: tip.Body == 1, Standing: v.standing.Name, Side: side(tip), Over: tip.Over}
	case errors.As(err, &clash):
		return &ClashError{Standing: v.standing.Name, Feet: v.names(clash.Points), By: clash.By}
	}
	return fmt.Errorf("standing %q: %w", v.standing.Name, err)
}

func side(t *contact.Tip) string {
	switch {
	case math.Abs(t.X) >= math.Abs(t.Y) && t.X > 0:
		return "right end"
	case math.Abs(t.X) >= math.Abs(t.Y):
		return "left end"
	case t.Y > 0:
		return "positive-offset side"
	}
	return "negative-offset side"
}

// names returns the supports that points belong to, each once.
func (v *Solver) names(points []int) (out []string) {
	for _, i := range points {
		if i >= len(v.points) {
			continue // of a table
		}
		name := fmt.Sprintf("bearing %d", v.points[i].bearing+1)
		if f := v.points[i].foot; f >= 0 {
			name = v.standing.Feet[f].Name
		}
		if n := len(out); n == 0 || out[n-1] != name {
			out = append(out, name)
		}
	}
	return out
}
