package survey

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// Landmark is one survey in the history of a way.
type Landmark struct {
	Survey, Date string
	Pass         int
	Zone, Sigma  float64 // m, minimum zone and its standard uncertainty
	Change       float64 // m of zone against the survey before; 0 for the first
	Unsure       float64 // m, standard uncertainty of Change
	Kind         string  // "" first, "pass" metal was cut, "move" feet were moved, "drift" neither
}

// Record is the history of one way in one standing.
type Record struct {
	Standing, Way string
	Marks         []Landmark
	Notes         []string // what the marks say, each with its number
}

// History returns straightness against pass and date for every way and standing
// with two surveys or more, what each pass took off and since when passes no
// longer pay: when the zone falls by less than twice the uncertainty of its
// change. Without pass and move between two surveys the change is drift.
func History(surveys []Survey, profiles []Profile, moves []Move) (list []Record) {
	if len(surveys) != len(profiles) {
		panic("survey: a profile for every survey")
	}
	order := make([]int, len(surveys))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if surveys[a].Pass != surveys[b].Pass {
			return surveys[a].Pass - surveys[b].Pass
		}
		if surveys[a].Date < surveys[b].Date {
			return -1
		} else if surveys[a].Date > surveys[b].Date {
			return 1
		}
		return 0
	})
	for _, i := range order {
		s := surveys[i]
		if s.Instrument == CrossLevel {
			continue
		}
		k := slices.IndexFunc(list, func(r Record) bool { return r.Standing == s.Standing && r.Way == s.Way })
		if k < 0 {
			list, k = append(list, Record{Standing: s.Standing, Way: s.Way}), len(list)
		}
		list[k].add(s, profiles[i], moves)
	}
	list = slices.DeleteFunc(list, func(r Record) bool { return len(r.Marks) < 2 })
	for k := range list {
		list[k].note()
	}
	return list
}

// add appends a survey to the record.
func (r *Record) add(s Survey, p Profile, moves []Move) {
	m := Landmark{Survey: s.Name, Date: s.Date, Pass: s.Pass, Zone: beam.Zone(p.X, p.Height), Sigma: zoneSigma(p)}
	if len(r.Marks) > 0 {
		before := r.Marks[len(r.Marks)-1]
		m.Change, m.Unsure, m.Kind = m.Zone-before.Zone, math.Hypot(m.Sigma, before.Sigma), "drift"
		switch {
		case s.Pass != before.Pass:
			m.Kind = "pass"
		case movedBetween(moves, before, s):
			m.Kind = "move"
		}
	}
	r.Marks = append(r.Marks, m)
}

// movedBetween tells whether a foot of the standing was moved between two surveys.
func movedBetween(moves []Move, before Landmark, s Survey) bool {
	return slices.ContainsFunc(moves, func(v Move) bool {
		if v.Standing != s.Standing {
			return false
		}
		was, err := after(before.Date, before.Pass, v)
		is, err2 := after(s.Date, s.Pass, v)
		return err == nil && err2 == nil && !was && is
	})
}

// zoneSigma returns the standard uncertainty of a profile's minimum zone: it is the
// height of one station over the line through two others.
func zoneSigma(p Profile) float64 {
	c := beam.ZoneContacts(p.X, p.Height)
	t := (p.X[c.At] - p.X[c.Left]) / (p.X[c.Right] - p.X[c.Left])
	w := mat.NewVecDense(len(p.X), nil)
	w.SetVec(c.At, 1)
	w.SetVec(c.Left, w.AtVec(c.Left)-(1-t))
	w.SetVec(c.Right, w.AtVec(c.Right)-t)
	return math.Sqrt(max(0, mat.Inner(w, p.Cov, w)))
}

// note says what passes brought and what drifted.
func (r *Record) note() {
	idle := ""
	for k, m := range r.Marks {
		if k == 0 {
			continue
		}
		before := r.Marks[k-1]
		switch {
		case m.Kind == "pass" && m.Change < -2*m.Unsure:
			idle = ""
			r.Notes = append(r.Notes, fmt.Sprintf("pass %d to %d took the zone from %.1f to %.1f µm (± %.1f)", before.Pass, m.Pass, before.Zone*1e6, m.Zone*1e6, 2*m.Unsure*1e6))
		case m.Kind == "pass" && idle == "":
			idle = fmt.Sprintf("from pass %d on the zone falls by no more than the surveys can tell (%.1f µm): scraping no longer pays, look at the feet", before.Pass, 2*m.Unsure*1e6)
		case m.Kind == "drift" && math.Abs(m.Change) > 2*m.Unsure:
			r.Notes = append(r.Notes, fmt.Sprintf("%s: the zone went from %.1f to %.1f µm (± %.1f) though nothing was cut or moved: the standing has settled or the heat differs", m.Survey, before.Zone*1e6, m.Zone*1e6, 2*m.Unsure*1e6))
		}
	}
	if idle != "" {
		r.Notes = append(r.Notes, idle)
	}
}
