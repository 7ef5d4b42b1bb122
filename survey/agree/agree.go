// Package agree holds redundant surveys against each other before anything is
// inferred from them: the same way surveyed twice with nothing done between, and
// the difference of two ways against the cross level. Where they contradict one
// another by more than their noise it looks for the one slip of a pen that
// reconciles them.
//
// A contradiction is a residual of generalised least squares. Of one way surveyed
// twice, the heights of one survey less those of the other, with a line taken out;
// of cross levels, their slopes less a constant, the level's zero; of two ways and
// a cross level, slope · distance less the difference of heights, with a line
// taken out. With n stations and p free terms rᵀC⁻¹r is (n−p)·F of n−p and ν
// degrees of freedom, ν those behind the uncertainty of the readings.
package agree

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam/casting"
	"footwork/survey"
)

// Slip is what a person does to a survey by mistake.
type Slip string

const (
	TurnedSign Slip = "turned sign" // all its readings have the wrong sign
	Doubled    Slip = "doubled"     // it reads the beam's angle, twice the tilt, and does not say so
	Halved     Slip = "halved"      // it is said to read the beam's angle and reads the tilt
	Division   Slip = "division"    // one division is worth Times what is written
	OtherUnit  Slip = "other unit"  // its readings are in a unit that is Times what is written
	FarEnd     Slip = "far end"     // its rows begin at the far end, signs as seen from there
	FarRows    Slip = "far rows"    // its rows stand in the opposite order, signs as they should be
	Early      Slip = "early"       // every row stands one station before where it was read
	Late       Slip = "late"        // every row stands one station behind where it was read
	Exchanged  Slip = "exchanged"   // its readings are those of With, and the other way round
	Warmed     Slip = "warmed"      // no slip: between the two the bed bowed by Bow, as heat does
)

// Remedy is one change that reconciles what contradicts.
type Remedy struct {
	Slip   Slip
	Survey string
	With   string  // the other of two exchanged, or of two that both are as Survey is
	Times  float64 // of Division and OtherUnit
	Bow    float64 // m over the stations compared, of Warmed: the middle higher positive
}

// Finding is a contradiction between surveys.
type Finding struct {
	Surveys []string // that contradict each other: two, or two ways and a cross level
	Across  bool     // they are slopes across: Off and Noise in rad
	Off     float64  // how far they are apart at most, m
	Noise   float64  // m, standard uncertainty of that
	At      float64  // m along the bed
	Remedy  []Remedy // each alone reconciles, the best first; empty when none does
}

// Check returns the contradictions between surveys, each once · ways of the bed ·
// records in time order. Where one change puts several right, they are one finding.
func Check(ways []casting.Way, records []survey.Record) (list []Finding) {
	all := constraints(ways, records)
	open := slices.DeleteFunc(slices.Clone(all), constraint.holds)
	for len(open) > 0 {
		k, remedies := all.reconcile(open, records)
		list = append(list, open[0].finding(records, remedies))
		open = slices.DeleteFunc(open[1:], func(c constraint) bool { return slices.Contains(k, c.id) })
	}
	return list
}

func (c constraint) finding(records []survey.Record, remedies []Remedy) Finding {
	f := Finding{Across: c.across == 0 && records[c.of[0]].Survey.Instrument == survey.CrossLevel, Off: c.off, Noise: c.noise, At: c.at, Remedy: remedies}
	for _, i := range c.of {
		f.Surveys = append(f.Surveys, records[i].Survey.Name)
	}
	return f
}

// constraint is a set of surveys that must fit: two of one subject, or two ways
// (far less near offset: across, m) and a cross level behind them.
type constraint struct {
	id     int
	of     []int // records
	across float64
	misfit // of the readings as they are
}

type system []constraint

// constraints returns what must fit and has stations enough to tell: neighbours in time of one
// subject, and every cross level with the surveys of the outer ways that are next to it in time.
func constraints(ways []casting.Way, records []survey.Record) (list system) {
	add := func(across float64, of ...int) {
		c := constraint{id: len(list), of: of, across: across}
		if m, ok := c.fit(pick(of, records)); ok {
			c.misfit = m
			list = append(list, c)
		}
	}
	for j := range records {
		for i := j - 1; i >= 0; i-- {
			if records[i].Survey.Subject() == records[j].Survey.Subject() && records[i].Cut == records[j].Cut && records[i].Undisturbed(records[j]) {
				add(0, i, j)
				break
			}
		}
	}
	if len(ways) < 2 {
		return list
	}
	byOffset := func(a, b casting.Way) int { return cmp.Compare(a.Offset, b.Offset) }
	lo, hi := slices.MinFunc(ways, byOffset), slices.MaxFunc(ways, byOffset)
	for c, r := range records {
		if r.Survey.Instrument != survey.CrossLevel || !r.Survey.UpAndDown() {
			continue
		}
		near, far := beside(records, c, lo.Name), beside(records, c, hi.Name)
		if near >= 0 && far >= 0 {
			add(hi.Offset-lo.Offset, near, far, c)
		}
	}
	return list
}

// beside returns the survey of a way, up and down, nearest in time to record c
// with nothing done between; −1 without one.
func beside(records []survey.Record, c int, way string) int {
	for d := 1; d < len(records); d++ {
		for _, i := range []int{c - d, c + d} {
			if i < 0 || i >= len(records) {
				continue
			}
			r := records[i]
			if r.Survey.Way == way && r.Survey.UpAndDown() && r.Undisturbed(records[c]) && r.AnyCut == records[c].AnyCut {
				return i
			}
		}
	}
	return -1
}

func pick(of []int, records []survey.Record) (list []survey.Record) {
	for _, i := range of {
		list = append(list, records[i])
	}
	return list
}

// candidate is a remedy with what it costs: how much worse all constraints fit
// than before, negative as a rule, and which of those open it puts right.
type candidate struct {
	Remedy
	misfit float64
	right  []int
}

// reconcile returns every single change that makes the first of those open hold and breaks
// nothing that holds, those that put most right, best first, and which of them the best puts
// right.
func (all system) reconcile(open []constraint, records []survey.Record) (right []int, remedies []Remedy) {
	found := open[0].warmed(records)
	for _, try := range changes(open, records) {
		if c, ok := all.try(try, open, records); ok {
			found = append(found, c)
		}
	}
	return likeliest(found)
}

// likeliest returns the candidates that put most right, best first, without those under which the
// readings are a thousand times less likely than under the best; and what that puts right.
func likeliest(found []candidate) (right []int, remedies []Remedy) {
	if len(found) == 0 {
		return nil, nil
	}
	slices.SortStableFunc(found, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(len(b.right), len(a.right)), cmp.Compare(a.misfit, b.misfit))
	})
	for _, c := range found {
		if len(c.right) == len(found[0].right) && c.misfit < found[0].misfit+2*math.Log(1000) {
			remedies = append(remedies, c.Remedy)
		}
	}
	return found[0].right, remedies
}

// try makes a change and looks at all constraints that it touches.
func (all system) try(c change, open []constraint, records []survey.Record) (out candidate, ok bool) {
	changed := slices.Clone(records)
	touched := c.apply(changed)
	out.Remedy = c.remedy(records)
	for _, k := range all {
		if !slices.ContainsFunc(k.of, func(i int) bool { return slices.Contains(touched, i) }) {
			continue
		}
		is, compared := k.fit(pick(k.of, changed))
		i := slices.IndexFunc(open, func(o constraint) bool { return o.id == k.id })
		switch holds := compared && is.holds(); {
		case holds && i >= 0:
			out.right = append(out.right, k.id)
		case !holds && i <= 0: // it breaks what held, or leaves the first open
			return out, false
		}
		out.misfit += is.squares - k.squares
	}
	return out, true
}
