package match

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/contact"
)

// Prior standard deviations where the job says nothing.
const (
	heightSD  = 50e-6 // m, of a foot's height: levelled with a level only, common practice
	moveSD    = 2e-6  // m
	bendingSD = 0.20  // of log b
	footSD    = 0.25  // of the logarithm of one foot's stiffness about that of all
	feetSD    = 2.0   // of all feet together: times or divided by
)

// model is the inference made ready; it does not change. Its unknowns z are standard
// normal beforehand: first those that the forces of a contact set follow linearly
// (heights of feet, what each move did, gradients), then the logarithms of b, t, f and
// of what each foot departs from the rest.
type model struct {
	in       Input
	mean     []float64 // SI
	sd       []float64
	linear   int   // how many unknowns are of the first kind
	heights  []int // indices of foot heights at first
	settings []int // those, and of every time that a foot was set anew
	heat     []int // [heat]
	bend     int   // index of log b; log t and log f follow
	depart   [][]int
	states   []*state
	blocks   []*block
	forms    []int // cuts
	parts    []part
	feats    int
	hinges   []hinge
	pivots   []int // states: the first of each standing whose feet own their heights, on a point each
	now      int   // state: how the bed stands at the end in the standing asked for
	latest   []int
	home     [][]int     // [standing][foot] index of its height
	moves    []movedFoot // in the order of the epochs
	modes    modes
	sums     *sums
	zone     float64 // m, measured, of the worst way
}

type movedFoot struct {
	Move
	epoch, standing, index int
}

// state is the bed on a standing untouched, under one gradient and one table.
type state struct {
	epoch, standing, heat int
	tableAt               *float64
	load                  beam.Case
	linear                beam.Linear
	points                []contact.Point
	resultant             contact.Load
	lift                  []lift // what raises its points
	setting               []int  // [foot] index of its height when it was set last
	bent, turned          []share
	frozen                bool // on more points than are followed: as given
	stood                 []*beam.State
	under                 [][]int // [foot] its points
	pulls                 []pull  // what was felt
	mean                  float64 // N, mean load of a foot
}

// lift is an unknown that raises a point, and by how much for one standard deviation.
type lift struct {
	point, index int
	by           float64 // m
}

// share is the feature that a point's force adds to, and how much of it.
type share struct {
	feat  int
	ratio float64
	lead  bool // the feature is its own
}

// mostPoints is how many contact points a standing with unknown feet may have.
const mostPoints = 48

// The features that every bed has: 1/b, 1/t, 1, log b, log t. Heats and forces follow.
const (
	featBend = iota
	featTwist
	featOne
	featLogBend
	featLogTwist
	featHeat
)

// newModel makes the inference ready · like another of the same bed, or nil.
func newModel(in Input, like *model) (*model, error) {
	m := &model{in: in, feats: featHeat + len(in.Heats)}
	m.unknowns()
	if err := m.makeStates(like); err != nil {
		return nil, err
	}
	if err := m.design(like); err != nil {
		return nil, err
	}
	return m, nil
}

func (m *model) unknown(mean, sd float64) int {
	m.mean, m.sd = append(m.mean, mean), append(m.sd, sd)
	return len(m.mean) - 1
}

// unknowns lays them out.
func (m *model) unknowns() {
	for k, s := range m.in.Standings {
		m.home = append(m.home, make([]int, len(s.Feet)))
		for f, foot := range s.Feet {
			if at := m.owner(k, foot.Name); at >= 0 {
				m.home[k][f] = at
				continue
			}
			m.home[k][f] = m.unknown(foot.Height, cmp.Or(s.HeightSD, heightSD))
			m.heights = append(m.heights, m.home[k][f])
		}
	}
	m.settings = slices.Clone(m.heights)
	for e, epoch := range m.in.Epochs {
		for _, v := range epoch.Moves {
			one := movedFoot{v, e, epoch.Standing, -1}
			if h := m.home[epoch.Standing][v.Foot]; v.Anew {
				one.index = m.unknown(m.mean[h], m.sd[h])
				m.settings = append(m.settings, one.index)
			} else {
				one.index = m.unknown(v.Raise, cmp.Or(v.SD, moveSD))
			}
			m.moves = append(m.moves, one)
		}
	}
	for _, h := range m.in.Heats {
		m.heat = append(m.heat, m.unknown(h.Mean, h.SD))
	}
	m.linear = len(m.mean)
	m.stiffnesses()
}

// stiffnesses lays out how stiff bed and feet are.
func (m *model) stiffnesses() {
	factor := 1.0
	for _, s := range m.in.Standings {
		factor = max(factor, s.Factor)
	}
	if factor <= 1 {
		factor = feetSD
	}
	m.bend = m.unknown(0, bendingSD)
	m.unknown(0, m.in.Bed.TwistSD())
	m.unknown(0, math.Log(factor))
	at := map[int]int{}
	for _, h := range m.heights {
		at[h] = m.unknown(0, footSD)
	}
	for k := range m.in.Standings {
		m.depart = append(m.depart, make([]int, len(m.home[k])))
		for f, h := range m.home[k] {
			m.depart[k][f] = at[h]
		}
	}
}

// owner returns the height that a foot shares with an earlier standing, −1 for none.
func (m *model) owner(standing int, foot string) int {
	like := m.in.Standings[standing].Like
	if like < 0 || like >= standing {
		return -1
	}
	for f, o := range m.in.Standings[like].Feet {
		if o.Name == foot {
			return m.home[like][f]
		}
	}
	return -1
}

// makeStates finds the states in which something was measured, and the present.
func (m *model) makeStates(like *model) error {
	last, heat := -1, -1
	for e, epoch := range m.in.Epochs {
		if err := m.statesOf(e, like); err != nil {
			return err
		}
		if epoch.Standing == m.in.Asked {
			last = e
			for _, s := range epoch.Surveys {
				heat = s.Heat
			}
		}
	}
	if heat < 0 {
		return fmt.Errorf("standing %q: %w", m.in.Standings[m.in.Asked].Name, errNothing)
	}
	var err error
	m.now, err = m.state(last, heat, nil, like)
	m.findHinges()
	m.findPivots()
	return err
}

// statesOf finds those of an epoch, with what was felt in them.
func (m *model) statesOf(e int, like *model) error {
	for _, s := range m.in.Epochs[e].Surveys {
		if _, err := m.state(e, s.Heat, s.TableAt, like); err != nil {
			return fmt.Errorf("survey %q: %w", s.Name, err)
		}
	}
	for _, r := range m.in.Epochs[e].Readings {
		if _, err := m.state(e, r.Heat, r.TableAt, like); err != nil {
			return err
		}
	}
	for _, f := range m.in.Epochs[e].Felt {
		k, err := m.state(e, f.Heat, f.TableAt, like)
		if err != nil {
			return err
		}
		if s := m.states[k]; !s.frozen {
			s.pulls = append(s.pulls, f.pulls(s.mean)...)
		}
	}
	return nil
}

// findPivots finds the states in which feet may give while the bed stays: the first after its
// feet were set, all of them, each on one point.
func (m *model) findPivots() {
	done := map[int]bool{}
	for k, s := range m.states {
		if s.frozen || slices.ContainsFunc(s.setting, func(h int) bool { return done[h] }) {
			continue
		}
		for _, h := range s.setting {
			done[h] = true
		}
		if !slices.ContainsFunc(s.under, func(points []int) bool { return len(points) > 1 }) {
			m.pivots = append(m.pivots, k)
		}
	}
}

// state returns the index of a state, making it when it is new · like another model, or nil.
func (m *model) state(epoch, heat int, tableAt *float64, like *model) (int, error) {
	for i, s := range m.states {
		if s.epoch == epoch && s.heat == heat && same(s.tableAt, tableAt) {
			return i, nil
		}
	}
	k := m.in.Epochs[epoch].Standing
	s := &state{epoch: epoch, standing: k, heat: heat, tableAt: tableAt}
	given := m.in.Standings[k]
	if tableAt != nil && given.Table != nil {
		var err error
		if s.load, err = given.Table(*tableAt); err != nil {
			return 0, err
		}
	}
	if o := m.alike(s, like); o != nil {
		s.linear, s.frozen, s.stood = o.linear, o.frozen, o.stood
	} else {
		s.linear = given.Solver.Linear(s.load)
		s.frozen = len(s.linear.Points) > mostPoints || len(given.Feet) == 0
	}
	if !s.frozen {
		m.stand(s)
	} else if err := s.freeze(given.Solver); err != nil {
		return 0, err
	}
	m.states = append(m.states, s)
	return len(m.states) - 1, nil
}

// alike returns a state of this model or of another in the same standing, with the table where it
// is in s; nil where there is none.
func (m *model) alike(s *state, like *model) *state {
	for _, of := range []*model{m, like} {
		if of == nil || s.standing >= len(of.in.Standings) || of.in.Standings[s.standing].Solver != m.in.Standings[s.standing].Solver {
			continue
		}
		if k := slices.IndexFunc(of.states, func(o *state) bool { return o.standing == s.standing && same(o.tableAt, s.tableAt) }); k >= 0 {
			return of.states[k]
		}
	}
	return nil
}

func same(a, b *float64) bool {
	return a == nil && b == nil || a != nil && b != nil && *a == *b
}

// stand makes a state's contact ready: what raises its points, and its features.
func (m *model) stand(s *state) {
	l := &s.linear
	s.resultant = contact.Load{Resultant: [2][3]float64{l.Resultant}}
	s.under, s.setting = make([][]int, len(m.in.Standings[s.standing].Feet)), make([]int, len(m.in.Standings[s.standing].Feet))
	s.mean = l.Resultant[0] / float64(len(m.in.Standings[s.standing].Feet))
	for i, p := range l.Points {
		s.points = append(s.points, contact.Point{X: p.X, Y: p.Y, Held: p.Held})
		if p.Foot < 0 {
			continue
		}
		s.under[p.Foot] = append(s.under[p.Foot], i)
		by := m.raisedBy(s, p.Foot)
		s.setting[p.Foot] = by[0]
		for _, h := range by {
			s.lift = append(s.lift, lift{i, h, m.sd[h]})
		}
	}
}

// raisedBy returns the unknowns whose sum is a foot's height in a state: that of when it was
// set last, then what moved it since.
func (m *model) raisedBy(s *state, foot int) []int {
	h := m.home[s.standing][foot]
	by := []int{h}
	for _, v := range m.moves {
		if v.epoch > s.epoch || m.home[v.standing][v.Foot] != h {
			continue
		}
		if v.Anew {
			by = by[:0]
		}
		by = append(by, v.index)
	}
	return by
}
