package shop

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/supports"
	"footwork/survey"
	"footwork/survey/log"
	"footwork/survey/match"
)

// Standard uncertainties where the job gives none (common practice, no source).
const (
	guessedHeat  = 0.5 // K, of a gradient that is only said
	measuredHeat = 0.1 // K, of one that was measured
)

// A turn that an instrument stopped, and how far a foot came by its readings, is unsure by unsureRate of it, for how far
// the foot goes for what is read hangs on how soft bed and feet are (assumed: a bed is given to a quarter), and by
// unsureStop, m, what a reading leaves (assumed).
const unsureRate, unsureStop = 1. / 3, 2e-6

// diary turns the history of a job into what match asks for.
type diary struct {
	*Shop
	in      match.Input
	guided  bool // the turn at hand was stopped by an instrument
	records []survey.Record
	heats   []heatKey // of in.Heats
}

// heatKey tells gradients apart: one a standing and day, and measured value.
type heatKey struct {
	standing int
	day      string
	value    float64
}

// input returns all that was done to the bed and measured on it, for a standing.
func (s *Shop) input(standing string) (match.Input, error) {
	d := diary{Shop: s, in: match.Input{Bed: s.Bed, Asked: slices.Index(s.StandingNames(), standing)}}
	for _, name := range s.StandingNames() {
		m, err := s.matchStanding(name)
		if err != nil {
			return d.in, err
		}
		d.in.Standings = append(d.in.Standings, m)
	}
	d.records = s.Records()
	for w := range s.Ways {
		d.in.FinishedTo = append(d.in.FinishedTo, s.finishedTo(w))
	}
	entries := s.past().SummedUp()
	for i, e := range entries {
		d.guided = guided(entries[:i], entries[i+1:])
		d.enter(e)
	}
	return d.in, nil
}

// guided tells whether an instrument was read at one place and zero last before an act and first after it.
func guided(before, after []log.Entry) bool {
	isRead := func(e log.Entry) bool { return e.What == log.Read }
	k := slices.IndexFunc(after, isRead)
	for _, was := range slices.Backward(before) {
		if isRead(was) {
			return k >= 0 && was.Survey == after[k].Survey && was.Zero == after[k].Zero && was.At == after[k].At
		}
	}
	return false
}

// past is what was done and measured, as far as it is looked at.
func (s *Shop) past() log.History {
	h := s.History()
	if s.until > 0 {
		h.Entries = h.Entries[:s.until]
	}
	return h
}

// finishedTo is what the job says of the metal of a way that nobody has cut since, m; 0: nothing.
func (s *Shop) finishedTo(w int) float64 {
	name := s.Bed.Ways[w].Name
	if slices.ContainsFunc(s.past().Entries, func(e log.Entry) bool { return e.What == log.Scrape && e.Way == name && !e.Pad }) {
		return 0
	}
	return s.Ways[w].FinishedTo
}

func (s *Shop) matchStanding(name string) (match.Standing, error) {
	v, err := s.solver(name)
	if err != nil {
		return match.Standing{}, err
	}
	st := s.standing(name)
	m := match.Standing{Standing: st.Standing, Solver: v, Like: slices.Index(s.StandingNames(), st.Like), Over: st.Over,
		Table: func(at float64) (beam.Case, error) { return s.parked(&at) }}
	if s.Floor != nil {
		m.HeightSD, m.Factor = s.Floor.HeightSD, s.Floor.StiffnessFactor
	}
	var spread float64 // of log stiffness, where every foot has its own ±
	for i, sd := range st.StiffnessSD {
		spread += sd / st.Feet[i].Stiffness / float64(len(st.Feet))
		if sd == 0 {
			spread = math.NaN()
		}
	}
	for _, a := range s.adjusters(st) {
		left := [2]float64{math.Inf(1), math.Inf(1)}
		if a.Left != nil {
			left = [2]float64{a.Left.Up, a.Left.Down}
		}
		m.Rated, m.Left, m.Fixed = append(m.Rated, a.Rated), append(m.Left, left), append(m.Fixed, a.Kind == supports.Fixed)
	}
	if spread > 0 {
		m.Factor = math.Exp(spread)
	}
	return m, nil
}

// enter takes in one act.
func (d *diary) enter(e log.Entry) {
	switch e.What {
	case log.Survey:
		r := d.records[0]
		d.records = d.records[1:]
		if !r.Survey.UpAndDown() {
			return
		}
		ep := d.epoch(slices.Index(d.StandingNames(), r.Survey.Standing), false)
		ep.Surveys = append(ep.Surveys, match.Survey{Name: r.Survey.Name, Way: d.way(r.Survey.Way), Profile: r.Profile,
			Heat: d.heat(e, r.Survey.Gradient, r.Survey.GradientSD), Cut: r.AnyCut, TableAt: r.Survey.TableAt})
	case log.Read:
		d.read(e)
	case log.Turn, log.Shim, log.Lock, log.Came, log.StoodAgain:
		d.move(e)
	case log.Feel, log.Gap, log.Load:
		d.feel(e)
	}
}

func (d *diary) way(name string) int {
	return slices.IndexFunc(d.Bed.Ways, func(w casting.Way) bool { return w.Name == name })
}

// epoch returns the present epoch in a standing, a new one where it is not the last or
// where a touch follows on something measured.
func (d *diary) epoch(standing int, touched bool) *match.Epoch {
	n := len(d.in.Epochs)
	if n > 0 {
		last := &d.in.Epochs[n-1]
		if last.Standing == standing && !(touched && len(last.Surveys)+len(last.Readings)+len(last.Felt) > 0) {
			return last
		}
	}
	d.in.Epochs = append(d.in.Epochs, match.Epoch{Standing: standing})
	return &d.in.Epochs[n]
}

// heat returns the index of the gradient that something was measured under.
func (d *diary) heat(e log.Entry, value *float64, sd float64) int {
	k := slices.Index(d.StandingNames(), e.In)
	st := d.Standings[k]
	h, key := match.Heat{Mean: st.Gradient, SD: guessedHeat}, heatKey{k, e.When.Day, st.Gradient}
	if st.GradientSD > 0 {
		h.SD = st.GradientSD
	}
	if value == nil && e.Heat != nil {
		value, sd = &e.Heat.Value, e.Heat.Sigma
	}
	if value != nil {
		h, key.value = match.Heat{Mean: *value, SD: sd}, *value
		if sd == 0 {
			h.SD = measuredHeat
		}
	}
	i := slices.Index(d.heats, key)
	if i < 0 {
		i = len(d.heats)
		d.heats, d.in.Heats = append(d.heats, key), append(d.in.Heats, h)
	}
	return i
}

func tableAt(e log.Entry) *float64 {
	if e.Table == nil || e.Table.Off {
		return nil
	}
	return &e.Table.At
}

// read takes in a single reading.
func (d *diary) read(e log.Entry) {
	i := slices.IndexFunc(d.SetUps, func(s survey.Survey) bool { return s.Name == e.Survey })
	if i < 0 || !d.SetUps[i].UpAndDown() || d.SetUps[i].OnBed { // what stands on the bed tilts with it
		return
	}
	s := d.SetUps[i]
	r := match.Reading{Survey: s.Name, Zero: e.Zero, Way: d.way(s.Way), At: e.At, Value: e.Value, Sigma: s.OneReading(),
		Heat: d.heat(e, nil, 0), Cut: e.Cuts, TableAt: tableAt(e)}
	if s.Instrument == survey.Autocollimator || s.Instrument == survey.Level {
		r.Base = s.Base
	}
	ep := d.epoch(slices.Index(d.StandingNames(), e.In), false)
	ep.Readings = append(ep.Readings, r)
}

// move takes in what a hand did to a foot.
func (d *diary) move(e log.Entry) {
	k := slices.Index(d.StandingNames(), e.Standing)
	f := d.foot(k, e.Foot)
	if f < 0 {
		return
	}
	v := match.Move{Foot: f, Raise: e.Value, SD: moveSD(d.Standings[k].Adjusters[f]), Undated: e.When.Day == ""}
	switch {
	case e.What == log.Lock:
		v.Raise, v.SD = 0, byLock
	case e.What == log.StoodAgain:
		v = match.Move{Foot: f, Anew: true}
	case e.ToTouch:
		v.Raise, v.SD = 0, d.floor().HeightSD // it was as far off as feet are that nobody has set
	case e.What == log.Came:
		v.SD = math.Hypot(cmp.Or(e.Sigma, unsureStop), math.Hypot(unsureStop, unsureRate*v.Raise))
	case e.Sigma > 0:
		v.SD = e.Sigma
	case e.What == log.Turn && d.guided && v.Raise == 0: // its nut was slackened
		v.SD = byLock
	case e.What == log.Turn && d.guided:
		v.SD = math.Hypot(unsureStop, unsureRate*v.Raise)
	}
	ep := d.epoch(k, true)
	ep.Moves = append(ep.Moves, v)
	if e.ToTouch {
		ep.Felt = append(ep.Felt, match.Felt{Foot: f, Touch: match.Nips, Heat: d.heat(e, nil, 0), TableAt: tableAt(e)})
	}
}

func (d *diary) foot(standing int, name string) int {
	if standing < 0 {
		return -1
	}
	return slices.IndexFunc(d.Standings[standing].Feet, func(f beam.Foot) bool { return f.Name == name })
}

// feel takes in what hand, feeler or jack say of a foot.
func (d *diary) feel(e log.Entry) {
	k := slices.Index(d.StandingNames(), e.In)
	f := d.foot(k, e.Foot)
	if f < 0 {
		k = slices.Index(d.StandingNames(), e.Standing)
		if f = d.foot(k, e.Foot); f < 0 {
			return
		}
	}
	e.In = d.StandingNames()[k]
	t := match.Felt{Foot: f, Sigma: e.Sigma, Heat: d.heat(e, nil, 0), TableAt: tableAt(e)}
	value := e.Value
	switch {
	case e.What == log.Load:
		t.Load = &value
	case e.What == log.Gap && value > 0:
		t.Gap = &value
	case e.What == log.Gap, e.Feel == log.Nips:
		t.Touch = match.Nips
	case e.Feel == log.Free:
		t.Touch = match.Free
	default:
		t.Touch = match.Solid
	}
	ep := d.epoch(k, false)
	ep.Felt = append(ep.Felt, t)
}
