package match

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
)

// DoubtKind is what is wrong with something that was said.
type DoubtKind int

const (
	MoveNotWritten DoubtKind = iota // a foot, or Other as well, was moved by Size between the surveys and nobody wrote it
	WrongFoot                       // Other was moved, not Foot
	WrongSign
	TenTimes        // the move is written ten times too large
	TenthPart       // or ten times too small
	WrongSize       // it was Size
	Undated         // nobody says when the move was made
	FeltWrong       // what was felt of Foot cannot be
	TurnedSurvey    // Survey fits with its signs turned
	DoubledSurvey   // Survey fits with half of what it reads
	HalvedSurvey    // or with twice
	ExchangedSurvey // the surveys of two ways fit exchanged
	UnlikeNoise     // what is left of Survey is Size times its own noise
	Untried         // the budget of work ended before all was tried that may be wrong
)

// Doubt is something that was said and that all the rest contradicts.
type Doubt struct {
	Kind   DoubtKind
	Epoch  int     // of the move, what was felt, or the survey
	Where  *Epoch  // that epoch
	Foot   int     // −1 without one
	Other  int     // foot, or survey of the epoch; −1 without one
	Survey int     // of the epoch; −1 without one
	Size   float64 // m, or a ratio
	Gain   float64 // of log density, if it were put right
}

// contradicts is by how much the logarithm of the density must rise once a thing is put
// right: once in some thousands of true jobs.
const contradicts = 9.0

// alike is the logarithm of odds below which two feet explain the readings as well as one another.
const alike = 3.0

// slipSD is how far a foot may have been moved that nobody wrote down, m.
const slipSD = 60e-6

// doubts names what all the rest contradicts.
func (m *model) doubts(p *point) (out []Doubt) {
	for _, v := range m.moves {
		if v.Undated {
			out = append(out, Doubt{Kind: Undated, Epoch: v.epoch, Where: &m.in.Epochs[v.epoch], Foot: v.Foot, Other: -1, Survey: -1})
		}
	}
	d := &doubter{m: m, at: p}
	c, log := d.best(m.in, math.Inf(-1))
	d.base, d.top = log, &point{z: c.z, amp: c.amp}
	d.moved()
	d.felt()
	d.surveys()
	d.found = slices.DeleteFunc(d.found, func(f Doubt) bool { return f.Gain <= contradicts })
	slices.SortStableFunc(d.found, func(a, b Doubt) int { return cmp.Compare(b.Gain, a.Gain) })
	for _, f := range d.found { // a greater doubt of a foot may be why surveys, or another line of its epoch, do not fit
		if !slices.ContainsFunc(out, func(o Doubt) bool {
			return o.Kind != Undated && (f.Foot >= 0 && o.Epoch == f.Epoch || f.Foot < 0 && o.Foot >= 0)
		}) {
			f.Where = &m.in.Epochs[f.Epoch]
			out = append(out, f)
		}
	}
	if d.untried {
		last := len(m.in.Epochs) - 1
		out = append(out, Doubt{Kind: Untried, Epoch: last, Where: &m.in.Epochs[last], Foot: -1, Other: -1, Survey: -1})
	}
	return out
}

type doubter struct {
	m     *model
	at    *point
	base  float64
	top   *point // where that is
	found []Doubt
	spent float64 // work, about in multiplications

	untried bool // something was not tried for it
}

// enoughDoubts is how much of it is spent on trying what may be wrong, one or two seconds of one processor.
const enoughDoubts = 1.5e9

// gain returns by how much an input's greatest log density exceeds that of the job as written. Where it seems to
// contradict, that is ascended again from where the input fits best, lest one ascent of two be the better one.
func (d *doubter) gain(in Input) (by float64, c *chain) {
	if d.spent > enoughDoubts*cmp.Or(d.m.in.Work, 1) {
		d.untried = true
		return 0, nil
	}
	c, log := d.best(in, d.base-hopeless)
	if log-d.base > contradicts {
		if back := c.m.again(d.m.in, &point{z: c.z, amp: c.amp}); back != nil {
			back.toMode(30)
			d.spent += back.work()
			d.raise(back.log)
		}
	}
	return log - d.base, c
}

// raise notes a greater density of the job as written, which leaves less for what was found.
func (d *doubter) raise(log float64) {
	by := log - d.base
	if by <= 0 {
		return
	}
	d.base = log
	for i := range d.found {
		d.found[i].Gain -= by
	}
}

// best returns the greatest log density of an input, and a chain that stands there, by ascents from the present point and
// from the job's own heights, as far as there is hope of more than least.
func (d *doubter) best(in Input, least float64) (c *chain, most float64) {
	if c = d.m.again(in, d.at); c == nil {
		return nil, math.Inf(-1)
	}
	own := c.m.newChain(c.sums, 0, 1)
	own.with(c.amp)
	var wg sync.WaitGroup
	wg.Go(func() { own.ascend(least) })
	c.ascend(least)
	wg.Wait()
	d.spent += c.work() + own.work()
	if own.log > c.log {
		c = own
	}
	return c, c.log
}

// ascend goes to the greatest log density that ascents reach from where the chain is: as one ends where contacts
// would have to change, some draws along lines, which pass through contacts, come between it and the next; but none
// where the first ends below least.
func (c *chain) ascend(least float64) {
	most, at := math.Inf(-1), slices.Clone(c.z)
	for range 1 + wanders {
		c.toMode(30)
		if c.log > most {
			most = c.log
			copy(at, c.z)
		}
		if math.IsInf(c.log, -1) || most < least {
			break
		}
		c.wander()
	}
	copy(c.z, at)
	c.log = most
}

const wanders = 2

// hopeless is by how much the first ascent of a correction may end below the job as written and others follow: of 185
// corrections of six jobs 133 ended lower, by thousands, and none of them came to explain anything; of the twenty that did
// the lowest ended 0.2 below. Of eighty slips the same are named as without it.
const hopeless = 100.0

// wander draws along every line once.
func (c *chain) wander() {
	c.setWhite([]tangent{c.tangentAt(c.z)})
	for k := range c.m.linear {
		c.column(k)
		c.line(path{dz: c.dz})
	}
}

// moved looks for moves that were not written or were written wrong: a foot's height may
// have changed by more than was written, before each epoch; what that would gain follows
// from the Gaussian about the bed that fits best, and where that tells of any the likeliest are tried.
func (d *doubter) moved() {
	m := d.m
	for e, ep := range m.in.Epochs {
		if !d.before(e) {
			continue
		}
		feet := len(m.in.Standings[ep.Standing].Feet)
		if !slices.ContainsFunc(d.slips(e, true), func(s slip) bool { return s.gain(s.by) > contradicts/3 }) {
			continue
		}
		var usual, tried []Doubt
		for _, s := range d.slips(e, false) {
			u, o := d.explain(e, s)
			usual, tried = append(usual, u...), append(tried, o...)
		}
		slices.SortStableFunc(tried, func(a, b Doubt) int { return cmp.Compare(b.Gain, a.Gain) })
		best, next := Doubt{Gain: contradicts, Foot: -1}, Doubt{Foot: -1}
		for _, t := range append(usual, tried[:min(mostTried, len(tried))]...) {
			gain, c := d.gain(d.corrected(t))
			if t.Gain = gain - t.price(feet); t.Gain > best.Gain {
				best, next = t, best
				best.Size = c.sized(t)
			} else if t.Gain > next.Gain {
				next = t
			}
		}
		if best.Kind == MoveNotWritten && next.Kind == MoveNotWritten && next.Gain > best.Gain-alike {
			best.Other = next.Foot
		}
		if best.Gain > contradicts {
			d.found = append(d.found, best.asSlip(usual))
		}
	}
}

// felt looks for rows without which a bed would fit the rest far better: those that the present point does not answer
// to, and all that say a foot hangs or what it carries, for a height gives way to these without a trace.
func (d *doubter) felt() {
	for e, ep := range d.m.in.Epochs {
		for i, f := range ep.Felt {
			if (f.Touch == Solid || f.Touch == Nips) && d.fits(f, e) {
				continue
			}
			in := d.m.in
			in.Epochs = slices.Clone(in.Epochs)
			in.Epochs[e].Felt = slices.Delete(slices.Clone(ep.Felt), i, i+1)
			if gain, _ := d.gain(in); gain > contradicts {
				d.found = append(d.found, Doubt{Kind: FeltWrong, Epoch: e, Foot: f.Foot, Other: -1, Survey: -1, Gain: gain})
			}
		}
	}
}

// fits tells whether the present point answers to what was felt.
func (d *doubter) fits(f Felt, e int) bool {
	m := d.m
	c := m.newChain(m.sums, 0, 0)
	c.evaluate(d.at.z)
	for _, s := range c.stands {
		if s.frozen || s.epoch != e || s.heat != f.Heat || !same(s.tableAt, f.TableAt) {
			continue
		}
		load, gap := s.foot(f.Foot, &s.at)
		log := 0.0
		for _, p := range f.pulls(s.mean) {
			log += p.log(load, gap)
		}
		return log > -2
	}
	return true
}

// surveySlips is how many changes to one survey are tried.
const surveySlips = 4

// unlikeNoise is how many times its own noise may be left of a survey, and suspect from how much changes to it are tried: two
// deviations of what is left of thirty readings.
const (
	unlikeNoise = 3.0
	suspect     = 1.25
)

// surveys looks for surveys that the rest contradicts, and the one change to them that
// would reconcile.
func (d *doubter) surveys() {
	for k, b := range d.m.blocks {
		if b.survey == nil {
			continue
		}
		if best := d.misread(k, b); best.Gain > contradicts {
			d.found = append(d.found, best)
		}
	}
}

// misread returns the best of the changes to one survey; without gain where none contradicts.
func (d *doubter) misread(k int, b *block) (best Doubt) {
	ratio := d.left(k)
	if ratio < suspect {
		return best
	}
	e, i := d.place(b.survey)
	at := Doubt{Epoch: e, Foot: -1, Other: -1, Survey: i, Gain: contradicts}
	best = at
	try := func(kind DoubtKind, other int, in Input) {
		gain, _ := d.gain(in)
		if gain -= math.Log(float64(surveySlips * len(d.m.blocks))); gain > best.Gain { // so many are tried
			best = at
			best.Kind, best.Other, best.Gain = kind, other, gain
		}
	}
	try(TurnedSurvey, -1, d.scaled(e, i, -1))
	try(DoubledSurvey, -1, d.scaled(e, i, 0.5))
	try(HalvedSurvey, -1, d.scaled(e, i, 2))
	for j, o := range d.m.in.Epochs[e].Surveys {
		if j > i && o.Way >= 0 && b.way >= 0 && o.Way != b.way {
			in, s := d.surveysOf(e)
			s[i].Way, s[j].Way = s[j].Way, s[i].Way
			try(ExchangedSurvey, j, in)
		}
	}
	if best.Gain == contradicts && ratio > unlikeNoise {
		best.Kind, best.Size, best.Gain = UnlikeNoise, ratio, contradicts+1
	}
	return best
}

// place returns where in the input a survey is.
func (d *doubter) place(s *Survey) (epoch, i int) {
	for e := range d.m.in.Epochs {
		for i := range d.m.in.Epochs[e].Surveys {
			if &d.m.in.Epochs[e].Surveys[i] == s {
				return e, i
			}
		}
	}
	panic("match: a block without its survey")
}

// left returns what is left of a block at the present point, in its own deviations.
func (d *doubter) left(k int) float64 {
	b := d.m.blocks[k]
	rest := minus(b.y, d.m.elastic(b, d.at.phi))
	form := d.m.formAt(b, d.at)
	rest = minus(rest, form)
	return b.size(rest) / math.Sqrt(float64(max(1, len(rest)-2)))
}

// scaled returns the input with what a survey says multiplied.
func (d *doubter) scaled(e, i int, by float64) Input {
	in, s := d.surveysOf(e)
	s[i].Profile.Height = slices.Clone(s[i].Profile.Height)
	floats.Scale(by, s[i].Profile.Height)
	return in
}

// surveysOf returns an input of its own and the surveys of an epoch in it.
func (d *doubter) surveysOf(e int) (Input, []Survey) {
	in := d.m.in
	in.Epochs = slices.Clone(in.Epochs)
	in.Epochs[e].Surveys = slices.Clone(in.Epochs[e].Surveys)
	return in, in.Epochs[e].Surveys
}
