package match

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// block is one survey, or all readings of one survey with one zero: what was read, what makes
// it white with what it does not know of (a line, a zero) taken out, and how it answers to the
// features and to the metal.
type block struct {
	name   string
	way    int
	survey *Survey // nil: readings
	rows   []spot
	form   int
	sigma  []float64 // of readings
	y      []float64
	white  *mat.Dense // W = whiteᵀ·white weighs what was read
	to     []answer   // of each row
	b      *mat.Dense // rows × features
	f      *mat.Dense // rows × waves of all parts
	wf     *mat.Dense // white·f
	ff     []float64  // fᵀWf
}

// spot is what one row of a block was read of.
type spot struct {
	state, way int
	x, base    float64 // m
}

// design makes the blocks ready · like another model, of which all is taken when the same was read; or nil.
func (m *model) design(like *model) error {
	if m.readAs(like) {
		m.take(like)
		return nil
	}
	for e, epoch := range m.in.Epochs {
		for i := range epoch.Surveys {
			s := &epoch.Surveys[i]
			k, _ := m.state(e, s.Heat, s.TableAt, like)
			b := &block{name: s.Name, way: s.Way, survey: s, y: s.Profile.Height}
			for _, x := range s.Profile.X {
				b.rows = append(b.rows, spot{k, s.Way, x, 0})
			}
			if o := m.resurveyed(b, like); o != nil {
				b.white, b.to, b.f, b.wf, b.ff = o.white, o.to, o.f, o.wf, o.ff
			}
			var err error
			if b.white == nil {
				b.white, err = whitening(s.Profile, s.Way < 0)
			}
			if err != nil {
				return fmt.Errorf("survey %q: %w", s.Name, err)
			}
			b.form = m.formOf(s.Cut)
			m.blocks = append(m.blocks, b)
		}
	}
	m.readings()
	if m.measure(); slices.Max(m.latest) < 0 { // a cross level alone, say
		return fmt.Errorf("standing %q: %w", m.in.Standings[m.in.Asked].Name, errNothing)
	}
	same := m.metalLike(like)
	m.features()
	for _, b := range m.blocks {
		if b.f == nil || !same {
			m.spread(b)
		}
	}
	m.sums = m.sumUp(m.blocks)
	return nil
}

// resurveyed returns the survey of another model, or nil, that may have read something else but with the same noise, at the
// same places and of a bed that answers alike.
func (m *model) resurveyed(b *block, like *model) *block {
	if like == nil {
		return nil
	}
	k := slices.IndexFunc(like.blocks, func(o *block) bool {
		if o.survey == nil || o.way != b.way || o.survey.Profile.Cov != b.survey.Profile.Cov || !shared(o.survey.Profile.X, b.survey.Profile.X) {
			return false
		}
		is, was := m.states[b.rows[0].state], like.states[o.rows[0].state]
		return shared(is.linear.Points, was.linear.Points) && is.standing == was.standing && same(is.tableAt, was.tableAt)
	})
	if k < 0 {
		return nil
	}
	return like.blocks[k]
}

// metalLike finds the waves of the metal and its patterns over the ways, those of another model at the same knots; it
// tells whether they are.
func (m *model) metalLike(like *model) bool {
	x := m.knots()
	if like != nil && slices.Equal(x, like.modes.x) {
		m.modes, m.parts = like.modes, like.parts
		return true
	}
	m.modes = newModes(x)
	m.parts = m.patterns()
	return false
}

// take takes from another model what follows from its readings alone.
func (m *model) take(like *model) {
	m.blocks, m.forms, m.feats, m.modes, m.parts, m.sums = like.blocks, like.forms, like.feats, like.modes, like.parts, like.sums
	m.zone, m.latest = like.zone, like.latest
	for i, s := range like.states {
		m.states[i].bent, m.states[i].turned = s.bent, s.turned
	}
}

// readAs tells whether the same was read as in another model, in the same states.
func (m *model) readAs(like *model) bool {
	return like != nil && len(m.in.Heats) == len(like.in.Heats) && slices.EqualFunc(m.states, like.states, func(a, b *state) bool {
		return a.epoch == b.epoch && a.standing == b.standing && a.heat == b.heat && same(a.tableAt, b.tableAt)
	}) && slices.EqualFunc(m.in.Epochs, like.in.Epochs, func(a, b Epoch) bool {
		return shared(a.Surveys, b.Surveys) && shared(a.Readings, b.Readings)
	})
}

// shared tells whether two lists are one.
func shared[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// formOf returns the index of the metal as it was after so many cuts.
func (m *model) formOf(cut int) int {
	if !slices.Contains(m.forms, cut) {
		m.forms = append(m.forms, cut)
	}
	return slices.Index(m.forms, cut)
}

// readings gathers single readings that share their zero.
func (m *model) readings() {
	at := map[zero]*block{}
	for e, epoch := range m.in.Epochs {
		for _, r := range epoch.Readings {
			k, _ := m.state(e, r.Heat, r.TableAt, nil)
			b := at[r.zero()]
			if b == nil {
				b = &block{name: r.Survey, way: r.Way, form: m.formOf(r.Cut)}
				at[r.zero()] = b
				m.blocks = append(m.blocks, b)
			}
			b.rows, b.y = append(b.rows, spot{k, r.Way, r.At, r.Base}), append(b.y, r.Value)
			b.sigma = append(b.sigma, r.Sigma)
		}
	}
	for _, b := range m.blocks {
		n := len(b.sigma)
		if n == 0 {
			continue
		}
		inv, zero := mat.NewDense(n, n, nil), mat.NewDense(n, 1, nil)
		for i, v := range b.sigma {
			inv.Set(i, i, 1/v)
			zero.Set(i, 0, 1)
		}
		b.white = without(inv, zero)
	}
}

// mostKnots is on how many the metal is told where the surveys' stations differ.
const mostKnots = 33

// knots returns where the metal is told: at the stations of the surveys along the ways
// when they agree and are few, else evenly over all that was read.
func (m *model) knots() []float64 {
	var first []float64
	agree, lo, hi := true, math.Inf(1), math.Inf(-1)
	for _, b := range m.blocks {
		var x []float64
		for _, p := range b.rows {
			x = append(x, p.x, p.x+p.base)
		}
		lo, hi = min(lo, floats.Min(x)), max(hi, floats.Max(x))
		if b.survey == nil || b.way < 0 {
			continue
		}
		if first == nil {
			first = b.survey.Profile.X
		}
		agree = agree && slices.Equal(first, b.survey.Profile.X)
	}
	if agree && len(first) > 7 && len(first) <= mostKnots && lo >= first[0] && hi <= first[len(first)-1] {
		return first
	}
	x := make([]float64, mostKnots)
	for i := range x {
		x[i] = lo + (hi-lo)*float64(i)/float64(mostKnots-1)
	}
	return x
}

// tap is a height that a row is a sum of, by how much.
type tap struct{ by, x, offset float64 }

func (m *model) taps(p spot) []tap {
	if p.way < 0 {
		return []tap{{1, p.x, 0.5}, {-1, p.x, -0.5}}
	}
	y := m.in.Bed.Ways[p.way].Offset
	if p.base > 0 {
		return []tap{{1 / p.base, p.x + p.base, y}, {-1 / p.base, p.x, y}}
	}
	return []tap{{1, p.x, y}}
}

// answer is how a row answers to forces, weights and heat, as beam.LinearAt has it.
type answer struct {
	bent, twisted         []float64
	loaded, turned, bowed float64
}

func (m *model) answer(s *state, p spot) answer {
	v := m.in.Standings[s.standing].Solver
	out := answer{bent: make([]float64, len(s.linear.Points)), twisted: make([]float64, len(s.linear.Points))}
	for _, t := range m.taps(p) {
		a := v.LinearAt(v.Probe([]float64{t.x}, t.offset), s.load)
		floats.AddScaled(out.bent, t.by, a.Bent[0])
		floats.AddScaled(out.twisted, t.by, a.Twisted[0])
		out.loaded += t.by * a.Loaded[0]
		out.turned += t.by * a.Turned[0]
		out.bowed += t.by * a.Bowed[0]
	}
	return out
}

// features gives every force that the rows can tell from the others a feature, and
// fills in how the blocks answer.
func (m *model) features() {
	for _, b := range m.blocks {
		for _, p := range b.rows[len(b.to):] {
			b.to = append(b.to, m.answer(m.states[p.state], p))
		}
	}
	for k, s := range m.states {
		if s.frozen {
			continue
		}
		var bent, turned [][]float64
		for j := range s.points {
			var x, y []float64
			for _, b := range m.blocks {
				for r, p := range b.rows {
					if p.state == k {
						x, y = append(x, b.to[r].bent[j]), append(y, b.to[r].twisted[j])
					}
				}
			}
			bent, turned = append(bent, x), append(turned, y)
		}
		s.bent, s.turned = m.tell(bent), m.tell(turned)
	}
	for _, b := range m.blocks {
		b.b = mat.NewDense(len(b.rows), m.feats, nil)
		for r, p := range b.rows {
			m.fill(b.b, r, p, b.to[r])
		}
	}
}

// tell gives columns features: those in proportion to one another share one.
func (m *model) tell(columns [][]float64) []share {
	out := make([]share, len(columns))
next:
	for j, c := range columns {
		size := floats.Dot(c, c)
		if size == 0 {
			out[j] = share{featOne, 0, false}
			continue
		}
		for i := range j {
			if !out[i].lead {
				continue
			}
			ratio := floats.Dot(c, columns[i]) / floats.Dot(columns[i], columns[i])
			far := 0.0
			for r := range c {
				far += square(c[r] - ratio*columns[i][r])
			}
			if far < 1e-22*size {
				out[j] = share{out[i].feat, ratio, false}
				continue next
			}
		}
		out[j] = share{m.feats, 1, true}
		m.feats++
	}
	return out
}

// fill puts one row into a block's matrix.
func (m *model) fill(to *mat.Dense, r int, p spot, a answer) {
	s := m.states[p.state]
	if s.frozen {
		m.freeze(to, r, p, s)
		return
	}
	to.Set(r, featBend, a.loaded)
	to.Set(r, featTwist, a.turned)
	to.Set(r, featHeat+s.heat, a.bowed)
	for j := range s.points {
		if t := s.bent[j]; t.lead {
			to.Set(r, t.feat, a.bent[j])
		}
		if t := s.turned[j]; t.lead {
			to.Set(r, t.feat, a.twisted[j])
		}
	}
}

// freeze fills in a row of a standing whose support is a matter of course (a bearing):
// as given, stiffer against bending and against twist, and warmer.
func (m *model) freeze(to *mat.Dense, r int, p spot, s *state) {
	v := m.in.Standings[s.standing].Solver
	var h [4]float64
	for i, st := range s.stood {
		for _, t := range m.taps(p) {
			h[i] += t.by * st.Read(v.Probe([]float64{t.x}, t.offset))[0]
		}
	}
	to.Set(r, featOne, h[0])
	to.Set(r, featLogBend, (h[1]-h[0])/math.Log(stiffer))
	to.Set(r, featLogTwist, (h[2]-h[0])/math.Log(stiffer))
	to.Set(r, featHeat+s.heat, h[3]-h[0])
}

// stiffer is the step by which the answer of a standing as given is taken.
const stiffer = 1.05

// freeze solves a standing as given, stiffer against bending and twist, and warmer, where it is not yet.
func (s *state) freeze(v *beam.Solver) error {
	if s.stood != nil {
		return nil
	}
	zero, one := 0.0, 1.0
	for _, d := range []beam.Draw{{Gradient: &zero}, {Gradient: &zero, Bending: stiffer}, {Gradient: &zero, Twist: stiffer}, {Gradient: &one}} {
		c := s.load
		c.Draw = d
		st, err := v.Solve(c)
		if err != nil {
			return err
		}
		s.stood = append(s.stood, st)
	}
	return nil
}
