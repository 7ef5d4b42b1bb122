package plan

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// site is what all draws of a task have in common.
type site struct {
	linear beam.Linear
	points []contact.Point
	ways   []beam.Linear
	x, y   []float64 // m, every station of every way, one after another
	from   []int     // first station of each way, and their number
	crown  []float64 // m, the form that is wanted at each
	planes *shape.Planes
}

func newSite(t *Task) *site {
	s := &site{linear: t.Solver.Linear(t.Loads)}
	for _, p := range s.linear.Points {
		s.points = append(s.points, contact.Point{X: p.X, Y: p.Y, Held: p.Held})
	}
	for _, w := range t.Ways {
		offset := t.Bed.Ways[w.Of].Offset
		s.ways = append(s.ways, t.Solver.LinearAt(t.Solver.Probe(w.X, offset), t.Loads))
		s.from = append(s.from, len(s.x))
		first, long := w.X[0], w.X[len(w.X)-1]-w.X[0]
		for _, x := range w.X {
			along := 0.0
			if long > 0 {
				along = (x - first) / long
			}
			s.x, s.y, s.crown = append(s.x, x), append(s.y, offset), append(s.crown, 4*t.Goal.Crown*along*(1-along))
		}
	}
	s.from = append(s.from, len(s.x))
	s.planes = shape.NewPlanes(s.x, s.y)
	return s
}

// bed is one draw made ready to be stood on its feet with any raises. Not for several
// goroutines at once.
type bed struct {
	*site
	draw    beam.Draw
	problem contact.Problem
	spent   float64 // of its work, what the budget knows of
	answer  contact.Answer
	glued   contact.Answer
	c       []float64   // m, gap at each point of the built-in bed, nothing raised
	built   []float64   // m, likewise, raised
	unit    [][]float64 // [point][station] m/N
	base    []float64   // m, of the built-in bed with its form, at each station
	now     state       // nothing raised
	on      []bool      // the points that touch then
	slip    []float64   // standard normal, of each foot
	touch   []float64   // likewise, of where it is found to touch
	rest    []float64   // N, loads on level feet; see level
	linears map[string]*linear
	planes  *shape.Planes
	above   []float64 // m, memory of heights over the wanted form
	ratio   []float64 // what a foot is moved by for 1 m meant: by a reading a stiffer bed is moved less
}

// state is how a bed stands.
type state struct {
	height []float64 // m, at each station
	load   []float64 // N, of each foot
	gap    []float64 // m, clear of each foot
}

func (s *site) bed(t *Task, d beam.Draw) (*bed, error) {
	b := &bed{site: s, draw: d, linears: map[string]*linear{}, planes: s.planes.Copy(), above: make([]float64, len(s.x))}
	h, c := s.linear.Of(d)
	full, n := b.problem.Reset(s.points), len(c)
	for i, row := range h {
		copy(full[i*n:], row)
	}
	b.c, b.built, b.unit = c, make([]float64, n), make([][]float64, n)
	for w, at := range s.ways {
		unit, base := at.Of(d)
		if k := t.Ways[w].Of; k < len(d.Form) && len(d.Form[k].X) > 0 {
			for i, x := range t.Ways[w].X {
				base[i] += d.Form[k].At(x)
			}
		}
		b.base = append(b.base, base...)
		for _, row := range unit {
			for j, v := range row {
				b.unit[j] = append(b.unit[j], v)
			}
		}
	}
	b.ratio = slices.Repeat([]float64{1}, len(t.Standing.Feet))
	var err error
	if b.now, err = b.stand(make([]float64, len(t.Standing.Feet))); err != nil {
		return nil, err
	}
	b.on = slices.Clone(b.answer.On)
	return b, nil
}

// stand returns how the bed stands when its feet are raised, m.
func (b *bed) stand(raise []float64) (state, error) {
	err := b.problem.Solve(b.load(raise), &b.answer)
	var no *contact.Contradiction
	if errors.As(err, &no) { // rigid feet that fit no bed: shared as least squares have it
		err = b.problem.Glue(b.load(raise), &b.answer)
	}
	if err != nil {
		b.answer.On = nil
		return state{}, err
	}
	return b.read(&b.answer, b.base, len(raise)), nil
}

func (b *bed) load(raise []float64) contact.Load {
	for i, p := range b.linear.Points {
		b.built[i] = b.c[i]
		if p.Foot >= 0 {
			b.built[i] -= raise[p.Foot]
		}
	}
	return contact.Load{Built: b.built, Resultant: [2][3]float64{b.linear.Resultant}}
}

// read turns forces and a rigid motion into heights, loads and gaps.
func (b *bed) read(a *contact.Answer, base []float64, feet int) state {
	s := state{height: make([]float64, len(b.x)), load: make([]float64, feet), gap: make([]float64, feet)}
	copy(s.height, base)
	for i, x := range b.x {
		s.height[i] += a.Rigid[0][0] + a.Rigid[0][1]*x + a.Rigid[0][2]*b.y[i]
	}
	for j, f := range a.Force {
		if f != 0 {
			floats.AddScaled(s.height, f, b.unit[j])
		}
	}
	for f := range s.gap {
		s.gap[f] = math.Inf(1)
	}
	for i, p := range b.linear.Points {
		if p.Foot >= 0 {
			s.load[p.Foot] += a.Force[i]
			s.gap[p.Foot] = min(s.gap[p.Foot], a.Gap[i])
		}
	}
	return s
}

// glue returns how the bed would stand if exactly the points that are on touched,
// pulling where need be.
func (b *bed) glue(on []bool, raise []float64) (state, error) {
	b.glued.On = append(b.glued.On[:0], on...)
	if err := b.problem.Glue(b.load(raise), &b.glued); err != nil {
		return state{}, err
	}
	return b.read(&b.glued, b.base, len(raise)), nil
}

// respond returns the change for a raise of 1 m of one foot while these points touch.
// The answer stays in b.glued.
func (b *bed) respond(on []bool, foot, feet int) (state, error) {
	for i, p := range b.linear.Points {
		b.built[i] = 0
		if p.Foot == foot {
			b.built[i] = -1
		}
	}
	b.glued.On = append(b.glued.On[:0], on...)
	if err := b.problem.Glue(contact.Load{Built: b.built}, &b.glued); err != nil {
		return state{}, err
	}
	return b.read(&b.glued, nil, feet), nil
}
