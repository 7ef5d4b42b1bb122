package match

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// Experiment is a kind of further measurement.
type Experiment int

const (
	StandOnThree Experiment = iota // on a pair and a centre block, and survey
	StandOther                     // in another standing of the job, and survey
	JackLoad                       // weigh a foot
	Feeler                         // gauge the gap under a foot
	KnownMove                      // raise a foot and survey again
	Thermometers                   // two, of the top and the underside, swapped, and survey again
	SurveyAgain                    // on another day
)

// Advice is one more measurement, what it costs and what it is expected to tell.
type Advice struct {
	Do             Experiment
	Standing, Foot int     // −1 where it has none
	Raise          float64 // m, of a known move
	Minutes        float64
	People         int
	Before, After  float64    // width of the 95 % interval of the metal's share of the zone
	Heights        [2]float64 // m, before and after: the mean width of the interval of a foot's height that carries
	OfFeet         bool       // the metal's share is told: it is weighed by the heights
	Settles        bool       // the metal's share is told by it
	Three          *OnThree   // how to stand it on three
}

// effort is the time and the people that an experiment takes (common practice, no source).
var effort = map[Experiment]struct {
	minutes float64
	people  int
}{StandOnThree: {40, 2}, StandOther: {60, 2}, JackLoad: {6, 1}, Feeler: {2, 1}, KnownMove: {20, 1}, Thermometers: {30, 1}, SurveyAgain: {20, 1}}

// What experiments read: a gradient by two contact thermometers, swapped; a load by jack.
const (
	swappedSD = 0.03  // K
	trialMove = 20e-6 // m
	blockGive = 2e9   // N/m, of a block or rocking bar on its plate
	// shareTold is the width of the metal's share, of the zone, from which it is told: ± 0.2. A bed that
	// stood on three was told to stand there again, which does nothing for heights of feet.
	shareTold = 0.4
)

// advise weighs what could be measured next, the most told for its effort first.
func (m *model) advise(p *point, out *Result) {
	if m.states[m.now].frozen {
		return
	}
	metal, now := out.Shares[OfMetal], 0.0
	before := (metal.High - metal.Low) / m.zone
	carry := slices.DeleteFunc(slices.Clone(out.Foot), func(f Foot) bool { return f.Carries <= 0.5 })
	for _, f := range carry {
		now += (f.Height.High - f.Height.Low) / float64(len(carry))
	}
	all := append(m.candidates(p, out), candidate{in: m.in})
	left, told := make([]spread, len(all)), make([]bool, len(all))
	var wg sync.WaitGroup
	for i, c := range all {
		wg.Go(func() { left[i], told[i] = m.spreadOf(c.in, p) })
	}
	wg.Wait()
	last := len(all) - 1
	base := left[last]
	if !told[last] {
		return
	}
	for i, c := range all[:last] {
		if !told[i] {
			continue
		}
		a, after := c.Advice, left[i]
		a.Before, a.After = before, before*min(1, after.metal/base.metal)
		a.Heights, a.OfFeet, a.Settles = [2]float64{now, now * min(1, after.feet/base.feet)}, before <= shareTold, a.After <= shareTold
		e := effort[a.Do]
		a.Minutes, a.People = e.minutes, e.people
		out.Advice = append(out.Advice, a)
	}
	slices.SortStableFunc(out.Advice, func(a, b Advice) int { return cmp.Compare(b.worth(), a.worth()) })
}

// worth is by how much an experiment narrows the metal's share, or heights once that is told, for each
// minute of a person, where it narrows it at all by more than a tenth.
func (a Advice) worth() float64 {
	before, after := a.Before, a.After
	if a.OfFeet {
		before, after = a.Heights[0], a.Heights[1]
	}
	if before == 0 { // three feet are always in a plane
		return 0
	}
	gain := 1 - after/before
	if gain < 0.1 {
		return gain * 1e-6
	}
	return gain * gain / math.Sqrt(a.Minutes*float64(a.People)) // little told quickly is still little
}

// spread is how far the metal's share of the zone (m) and the feet are left open.
type spread struct{ metal, feet float64 }

// candidate is an experiment and all that would then be known.
type candidate struct {
	Advice
	in Input
}

// again returns a chain of another input in which this model's amplitudes and unknowns are those
// of a point; nil where the bed cannot be stood up.
func (m *model) again(in Input, p *point) *chain {
	w, err := newModel(in, m)
	if err != nil {
		return nil
	}
	c := w.newChain(w.sums, 0, 0)
	c.with(p.amp)
	w.transfer(m, p.z, c.z)
	return c
}

// spreadOf returns the standard deviations that remain once what is in the input was
// measured: exactly those of the Gaussian of all unknowns and waves of the metal while
// the contacts of point p and its amplitudes hold.
func (m *model) spreadOf(in Input, p *point) (s spread, ok bool) {
	c := m.again(in, p)
	if c == nil || math.IsInf(c.evaluate(c.z), -1) {
		return s, false
	}
	c.setWhite([]tangent{c.tangentAt(c.z)})
	answers, _, _ := c.answers(c.z)
	way, of := m.functional()
	k := m.blocks[m.latest[way]]
	waves, column := make([]float64, m.waves()), make([]float64, len(k.y))
	for j := range waves {
		mat.Col(column, j, k.f)
		waves[j] = of(column)
	}
	s.metal = c.deviation(make([]float64, len(c.z)), answers, k.form, waves)
	clear(waves)
	feet := c.aboveCarrying(p)
	for _, by := range feet {
		s.feet += c.deviation(by, answers, k.form, waves) / float64(len(feet))
	}
	return s, true
}

// aboveCarrying returns how the height of each foot that carries at a point, above their plane, follows from the unknowns.
func (c *chain) aboveCarrying(p *point) (list [][]float64) {
	st := c.stands[c.m.now]
	feet := c.m.in.Standings[st.standing].Feet
	var ref []int
	for f, g := range p.bed.gaps {
		if g == 0 {
			ref = append(ref, f)
		}
	}
	off := offPlane(feet, ref)
	for _, f := range ref {
		by := make([]float64, len(c.z))
		for j := range feet {
			for _, v := range st.lift {
				if v.point == st.under[j][0] {
					by[v.index] += off.At(f, j) * v.by
				}
			}
		}
		list = append(list, by)
	}
	return list
}

// deviation returns that of a sum of the unknowns and of a form's waves, c.white being the
// factor of the curvature where the chain stands: var(w·a) = |u|² + var(uᵀL⁻¹D·FᵀWB·φ), u = L⁻¹D·w.
func (c *chain) deviation(by, answers []float64, form int, waves []float64) float64 {
	t, d := &c.g.metal[form], c.m.feats
	u := slices.Clone(waves)
	floats.Mul(u, t.dev)
	lower(t.l, len(u), u)
	row, v := make([]float64, d), slices.Clone(by)
	for a, w := range u {
		floats.AddScaled(row, w, t.lb[a*d:(a+1)*d])
	}
	for k := range v {
		v[k] -= floats.Dot(row, answers[k*d:(k+1)*d])
	}
	lower(c.white, len(v), v)
	return math.Hypot(floats.Norm(u, 2), floats.Norm(v, 2))
}

// transfer puts a point of an earlier model into the unknowns of this one, whose input
// has its standings and heats first; moves that it has not are as they were meant.
func (m *model) transfer(from *model, z, to []float64) {
	for k := range from.home {
		for f, h := range from.home[k] {
			to[m.home[k][f]] = z[h]
			to[m.depart[k][f]] = z[from.depart[k][f]]
		}
	}
	was := map[[2]int]movedFoot{} // by epoch and place in it
	for i, v := range from.moves {
		was[[2]int{v.epoch, i - from.firstMove(v.epoch)}] = v
	}
	for i, v := range m.moves {
		if o, ok := was[[2]int{v.epoch, i - m.firstMove(v.epoch)}]; ok && o.Foot == v.Foot && o.Raise == v.Raise {
			to[v.index] = z[o.index]
		}
	}
	for i, h := range from.heat {
		to[m.heat[i]] = z[h] * from.sd[h] / m.sd[m.heat[i]]
	}
	copy(to[m.bend:m.bend+3], z[from.bend:from.bend+3])
}

// firstMove returns the index of an epoch's first move.
func (m *model) firstMove(epoch int) int {
	return slices.IndexFunc(m.moves, func(v movedFoot) bool { return v.epoch == epoch })
}

// candidates lists what could be done next.
func (m *model) candidates(p *point, out *Result) (list []candidate) {
	s := m.states[m.now]
	given := m.in.Standings[s.standing]
	add := func(a Advice, in Input) { list = append(list, candidate{a, in}) }
	for k, other := range m.in.Standings {
		if k != s.standing && !other.Over && !m.surveyed(k) {
			add(Advice{Do: StandOther, Standing: k, Foot: -1}, m.with(k, nil, Heat{other.Gradient, swappedSD}, nil))
		}
	}
	if three, standing, ok := m.onThree(p); ok {
		in := m.in
		in.Standings = append(slices.Clip(in.Standings), standing)
		w := *m
		w.in = in
		add(Advice{Do: StandOnThree, Standing: -1, Foot: -1, Three: three}, w.with(len(in.Standings)-1, nil, Heat{0, swappedSD}, nil))
	}
	add(Advice{Do: SurveyAgain, Standing: s.standing, Foot: -1}, m.with(s.standing, nil, Heat{given.Gradient, guessSD}, nil))
	add(Advice{Do: Thermometers, Standing: s.standing, Foot: -1}, m.with(s.standing, nil, Heat{given.Gradient, swappedSD}, nil))
	for f := range given.Feet {
		if load := p.bed.loads[f]; load > nothing*s.mean {
			add(Advice{Do: JackLoad, Standing: s.standing, Foot: f}, m.with(s.standing, nil, m.in.Heats[s.heat], &Felt{Foot: f, Load: &load}))
		} else {
			gap := p.bed.gaps[f]
			add(Advice{Do: Feeler, Standing: s.standing, Foot: f}, m.with(s.standing, nil, m.in.Heats[s.heat], &Felt{Foot: f, Gap: &gap}))
		}
		for _, d := range []float64{trialMove, -trialMove} {
			if m.safe(p, f, d) {
				add(Advice{Do: KnownMove, Standing: s.standing, Foot: f, Raise: d}, m.with(s.standing, []Move{{Foot: f, Raise: d}}, m.in.Heats[s.heat], nil))
			}
		}
	}
	return list
}

// guessSD is that of a gradient which nobody measured, K.
const guessSD = 0.5

func (m *model) surveyed(standing int) bool {
	return slices.ContainsFunc(m.blocks, func(b *block) bool { return m.states[b.rows[0].state].standing == standing })
}

// with returns the input once the ways were read again as last, or a foot was felt, after
// moves and under a gradient.
func (m *model) with(standing int, moves []Move, h Heat, felt *Felt) Input {
	in := m.in
	e := Epoch{Standing: standing, Moves: moves}
	last := in.Epochs[m.states[m.now].epoch]
	heat := m.states[m.now].heat
	if felt != nil {
		f := *felt
		f.Heat = heat
		last.Felt = append(slices.Clip(last.Felt), f)
		in.Epochs = slices.Clone(in.Epochs)
		in.Epochs[m.states[m.now].epoch] = last
		return in
	}
	if moves == nil {
		in.Heats = append(slices.Clip(in.Heats), h)
		heat = len(in.Heats) - 1
	}
	for _, k := range append(slices.Clone(m.latest), m.cross()) {
		if k >= 0 {
			s := *m.blocks[k].survey
			s.Heat, s.TableAt = heat, nil
			e.Surveys = append(e.Surveys, s)
		}
	}
	in.Epochs = append(slices.Clip(in.Epochs), e)
	return in
}

// cross returns the block of the last survey across, −1 for none.
func (m *model) cross() int {
	last := -1
	for i, b := range m.blocks {
		if b.survey != nil && b.way < 0 && m.states[b.rows[0].state].standing == m.in.Asked {
			last = i
		}
	}
	return last
}

// safe tells whether a foot may be moved: its thread reaches, no second foot hangs for it
// and none carries more than it is rated for.
func (m *model) safe(p *point, foot int, by float64) bool {
	s := m.states[m.now]
	given := m.in.Standings[s.standing]
	if given.Fixed != nil && given.Fixed[foot] || !given.reaches(foot, by) {
		return false
	}
	d := m.draw(p)
	d.Heights = slices.Clone(d.Heights)
	d.Heights[foot] += by
	st, err := given.Solver.Solve(beam.Case{Draw: d})
	if err != nil {
		return false
	}
	hang := 0
	for f, v := range st.Feet() {
		if v.Lifted {
			hang++
		}
		if !given.bears(f, v.Load) {
			return false
		}
	}
	return hang <= 1
}

// reaches tells whether a foot's thread lets it be raised by so much, m.
func (s Standing) reaches(foot int, by float64) bool {
	return s.Left == nil || -s.Left[foot][1] <= by && by <= s.Left[foot][0]
}

// bears tells whether a foot may carry a load, N.
func (s Standing) bears(foot int, load float64) bool {
	return s.Rated == nil || s.Rated[foot] == 0 || load <= s.Rated[foot]
}
