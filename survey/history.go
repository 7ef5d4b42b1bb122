package survey

import (
	"math"
	"slices"

	"footwork/beam/shape"
)

// Landmark is one survey in the history of a way.
type Landmark struct {
	Survey, Date string
	Pass         int
	Zone, Sigma  float64 // m, minimum zone and its standard uncertainty
	Change       float64 // m of zone against the survey before; 0 for the first
	Unsure       float64 // m, standard uncertainty of Change
	Epoch        int     // how often the bed's feet had been touched
	Kind         string  // "" first, "pass" metal was cut, "move" feet were touched, "drift" neither
}

// Account is how one way fared in one standing.
type Account struct {
	Subject
	Marks []Landmark
}

// History returns straightness from survey to survey for every way and standing
// with two or more · records in time order. What changes without cut and touch
// between two surveys is drift.
func History(records []Record) (list []Account) {
	last := map[Subject]Record{}
	for _, r := range records {
		if r.Survey.Instrument == CrossLevel || r.Survey.Against != "" {
			continue
		}
		subject := r.Survey.Subject()
		m := Landmark{Survey: r.Survey.Name, Date: r.Survey.Date, Pass: r.Survey.Pass, Epoch: r.Epoch,
			Zone: shape.Zone(r.Profile.X, r.Profile.Height), Sigma: r.Profile.ZoneSigma()}
		k := slices.IndexFunc(list, func(a Account) bool { return a.Subject == subject })
		if k < 0 {
			list, k = append(list, Account{Subject: subject}), len(list)
		} else {
			before := list[k].Marks[len(list[k].Marks)-1]
			m.Change, m.Unsure, m.Kind = m.Zone-before.Zone, math.Hypot(m.Sigma, before.Sigma), done(last[subject], r)
		}
		list[k].Marks = append(list[k].Marks, m)
		last[subject] = r
	}
	return slices.DeleteFunc(list, func(a Account) bool { return len(a.Marks) < 2 })
}

// done tells what was done between two surveys.
func done(before, after Record) string {
	switch {
	case after.Cut != before.Cut:
		return "pass"
	case after.Epoch != before.Epoch:
		return "move"
	}
	return "drift"
}
