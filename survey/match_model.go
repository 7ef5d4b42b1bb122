package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/beam"
)

// model is the inference made ready. Its unknowns z are foot heights, what each
// move really did, gradients, and the logarithms of the two factors, each less
// its prior mean and in units of its prior standard deviation. The data see them
// only through the features φ: 1/b, 1, log b, R/b of every state, and ΔT.
type model struct {
	in      MatchInput
	mean    []float64 // prior of z, SI
	sd      []float64
	name    []string
	heights [][]int // [standing] indices in z of its feet; nil when none is free
	moves   []int   // index in z of each move
	bed     int     // index in z of β; δ follows
	footSD  float64 // prior standard deviation of log f
	states  []*state
	rows    []block
	feats   int
	grads   []gradient
	forms   []*form
	now     *state // the present state of the standing asked for
	warn    []string
	tangent *tangent // scratch, as what follows
	rests   []rest
	high    []float64
}

// state is a standing as it was during one or more surveys.
type state struct {
	standing int
	moves    []int // of in.Moves, done before
	stand    *stand
	frozen   []*beam.State // for a standing without unknown feet: as given, stiffer, warmer
	grad     int           // of model.grads
	feat     int           // first feature of R/b
	load     beam.Case
	tableAt  *float64
	felt     []Felt
	surveys  []int
}

// gradient is one unknown ΔT.
type gradient struct {
	index, feat int
	measured    *float64
	standing    int
	day         string
	pass        int
}

const (
	featLoad  = 0 // 1/b
	featOne   = 1
	featLog   = 2 // log b
	featFirst = 3
)

func newModel(in MatchInput) (*model, error) {
	m := &model{in: in, heights: make([][]int, len(in.Standings)), feats: featFirst}
	for i, s := range in.Surveys {
		if _, err := m.standing(s.Standing, "survey "+s.Name); err != nil {
			return nil, err
		}
		if len(in.Profiles) != len(in.Surveys) {
			panic("survey: a profile for every survey")
		}
		if len(in.Profiles[i].X) == 0 {
			return nil, fmt.Errorf("survey %q has no profile", s.Name)
		}
	}
	target, err := m.standing(in.Standing, "the match")
	if err != nil {
		return nil, err
	}
	for _, v := range in.Moves {
		k, err := m.standing(v.Standing, "the move of "+v.Foot)
		if err != nil {
			return nil, err
		}
		if footIndex(in.Standings[k].Standing, v.Foot) < 0 {
			return nil, fmt.Errorf("the move of %s: standing %q has no such foot", v.Foot, v.Standing)
		}
	}
	m.priors()
	if err := m.makeStates(target); err != nil {
		return nil, err
	}
	if err := m.design(); err != nil {
		return nil, err
	}
	return m, nil
}

func (m *model) standing(name, who string) (int, error) {
	for i, s := range m.in.Standings {
		if s.Standing.Name == name {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%s names the standing %q, which the job does not describe", who, name)
}

func (m *model) unknown(name string, mean, sd float64) int {
	m.mean, m.sd, m.name = append(m.mean, mean), append(m.sd, sd), append(m.name, name)
	return len(m.mean) - 1
}

// priors sets up the unknowns that do not depend on the states.
func (m *model) priors() {
	stiff := footFactor
	for _, s := range m.in.Standings {
		if s.Stiffness > 1 {
			stiff = s.Stiffness
		}
	}
	m.footSD = math.Log(stiff)
	m.bed = m.unknown("bed stiffness", 1, bedSD)
	m.unknown("foot stiffness", 1, math.Hypot(m.footSD, bedSD))
	m.moves = make([]int, len(m.in.Moves))
	for i, v := range m.in.Moves {
		m.moves[i] = m.unknown(fmt.Sprintf("move of %s", v.Foot), v.Raise, m.moveSD(v))
	}
}

func (m *model) moveSD(v Move) float64 {
	for _, s := range m.in.Standings {
		if f := footIndex(s.Standing, v.Foot); s.Standing.Name == v.Standing && f >= 0 && s.MoveSD != nil {
			return max(s.MoveSD[f], 1e-8)
		}
	}
	return moveSD
}

func footIndex(s beam.Standing, name string) int {
	return slices.IndexFunc(s.Feet, func(f beam.Foot) bool { return f.Name == name })
}

// free returns the indices of a standing's foot heights among the unknowns,
// making them on first use.
func (m *model) free(i int) []int {
	if m.heights[i] == nil {
		s := m.in.Standings[i]
		sd := s.HeightSD
		if sd == 0 {
			sd = heightSD
		}
		m.heights[i] = []int{}
		for _, f := range s.Standing.Feet {
			m.heights[i] = append(m.heights[i], m.unknown("height of "+f.Name, f.Height, sd))
		}
	}
	return m.heights[i]
}

// Before tells whether a move was done before a survey of its standing. It is an
// error when neither dates nor passes tell.
func (v Move) Before(s Survey) (bool, error) { return after(s.Date, s.Pass, v) }

// after tells whether something dated (date, pass) came after the move.
func after(date string, pass int, v Move) (bool, error) {
	switch {
	case date != "" && v.Date != "":
		return cmp.Compare(date, v.Date) > 0, nil
	case v.Pass != nil:
		return pass > *v.Pass, nil
	}
	return false, fmt.Errorf("it cannot be told what came first: give date (or pass) of the move of %s and of every survey", v.Foot)
}

// done returns the moves of a standing that were done before (date, pass).
func (m *model) done(standing, date string, pass int) (list []int, err error) {
	for i, v := range m.in.Moves {
		if v.Standing != standing {
			continue
		}
		later, err := after(date, pass, v)
		if err != nil {
			return nil, err
		}
		if later {
			list = append(list, i)
		}
	}
	return list, nil
}

// makeStates finds the states in which the surveys were taken, and the present.
func (m *model) makeStates(target int) error {
	last := -1
	for i, s := range m.in.Surveys {
		k, _ := m.standing(s.Standing, "")
		done, err := m.done(s.Standing, s.Date, s.Pass)
		if err != nil {
			return fmt.Errorf("survey %q: %w", s.Name, err)
		}
		st, err := m.state(k, done, s)
		if err != nil {
			return err
		}
		st.surveys = append(st.surveys, i)
		if k == target && (last < 0 || s.Later(m.in.Surveys[last])) {
			last = i
		}
	}
	if last < 0 {
		return fmt.Errorf("standing %q: %w", m.in.Standing, errNothing)
	}
	s := m.in.Surveys[last]
	s.TableAt = nil
	var all []int
	for i, v := range m.in.Moves {
		if v.Standing == m.in.Standing {
			all = append(all, i)
		}
	}
	var err error
	if m.now, err = m.state(target, all, s); err != nil {
		return err
	}
	return m.feel()
}

// Later tells whether a survey was taken after another, or none can tell: dates go
// before passes.
func (a Survey) Later(b Survey) bool {
	if a.Date != "" && b.Date != "" && a.Date != b.Date {
		return a.Date > b.Date
	}
	return a.Pass >= b.Pass
}

// state returns the state of these moves, gradient and table, making it when it is new.
func (m *model) state(k int, done []int, s Survey) (*state, error) {
	g := m.gradient(k, s)
	for _, st := range m.states {
		if st.standing == k && slices.Equal(st.moves, done) && st.grad == g && same(st.tableAt, s.TableAt) {
			return st, nil
		}
	}
	st := &state{standing: k, moves: done, grad: g, feat: m.feats, tableAt: s.TableAt}
	model := m.in.Standings[k]
	if s.TableAt != nil && model.Table != nil {
		c, err := model.Table(*s.TableAt)
		if err != nil {
			return nil, fmt.Errorf("survey %q: %w", s.Name, err)
		}
		st.load = c
	}
	if l := model.Solver.Linear(st.load); len(l.Points) <= mostPoints && len(model.Standing.Feet) > 0 {
		m.free(k)
		st.stand = newStand(model.Solver, beam.Case{Weights: st.load.Weights, Lines: st.load.Lines})
		m.feats += st.stand.n
	} else if err := st.freeze(model, st.load); err != nil {
		return nil, err
	}
	m.states = append(m.states, st)
	return st, nil
}

func same(a, b *float64) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

// freeze solves a standing whose support is a matter of course (a bearing).
func (st *state) freeze(model StandingModel, load beam.Case) error {
	zero, one := 0.0, 1.0
	for _, c := range []beam.Case{{Draw: beam.Draw{Gradient: &zero}}, {Draw: beam.Draw{Gradient: &zero, Bending: 1.05, Twist: 1.05}}, {Draw: beam.Draw{Gradient: &one}}} {
		c.Weights, c.Lines = load.Weights, load.Lines
		s, err := model.Solver.Solve(c)
		if err != nil {
			return err
		}
		st.frozen = append(st.frozen, s)
	}
	return nil
}

// gradient returns which ΔT a survey was taken under: surveys of one day, pass
// and standing share theirs.
func (m *model) gradient(k int, s Survey) int {
	for i, g := range m.grads {
		if g.standing == k && g.day == s.Date && g.pass == s.Pass && same(g.measured, s.Gradient) {
			return i
		}
	}
	mean, sd := m.in.Standings[k].Standing.Gradient, gradientSD
	if s.Gradient != nil {
		mean, sd = *s.Gradient, readSD
	}
	m.grads = append(m.grads, gradient{m.unknown("heat", mean, sd), m.feats, s.Gradient, k, s.Date, s.Pass})
	m.feats++
	return len(m.grads) - 1
}

// feel gives every felt row to the state in which it was felt.
func (m *model) feel() error {
	for _, f := range m.in.Felt {
		k, err := m.standing(f.Standing, "the feel of "+f.Foot)
		if err != nil {
			return err
		}
		if footIndex(m.in.Standings[k].Standing, f.Foot) < 0 {
			return fmt.Errorf("the feel of %s: standing %q has no such foot", f.Foot, f.Standing)
		}
		var best *state
		for _, st := range m.states {
			if st.standing != k || st.stand == nil {
				continue
			}
			if fits, err := m.feltIn(f, st); err != nil {
				return err
			} else if fits && (best == nil || len(st.moves) > len(best.moves)) {
				best = st
			}
		}
		if best == nil {
			m.warn = append(m.warn, fmt.Sprintf("the feel of %s belongs to no surveyed state of %q and is left out", f.Foot, f.Standing))
			continue
		}
		best.felt = append(best.felt, f)
	}
	return nil
}

// feltIn tells whether a foot was felt while a state stood.
func (m *model) feltIn(f Felt, st *state) (bool, error) {
	if f.Date == "" && f.Pass == nil {
		return true, nil
	}
	pass := math.MaxInt
	if f.Pass != nil {
		pass = *f.Pass
	}
	done, err := m.done(f.Standing, f.Date, pass)
	return err == nil && slices.Equal(done, st.moves), err
}
