package log

import "slices"

// Change is what was done to one foot over a stretch of history.
type Change struct {
	At
	Raise   float64 // m, all that was meant
	ToTouch bool    // it was also turned until it touched, by an unknown amount
	Locked  bool    // its lock nut was tightened last
}

// Touched returns what was done to each foot after one epoch up to another, in the
// order of the first touch: with those of two entries, what was done between them;
// with those of At and Now, what was done since a day.
func (h History) Touched(after, upTo int) (list []Change) {
	for _, e := range h.Entries {
		if !e.What.Touching() || e.What == Bolts || e.Epoch <= after || e.Epoch > upTo {
			continue
		}
		foot := At{e.Standing, e.Foot}
		k := slices.IndexFunc(list, func(c Change) bool { return c.At == foot })
		if k < 0 {
			list, k = append(list, Change{At: foot}), len(list)
		}
		c := &list[k]
		c.Raise += e.Value
		c.ToTouch = c.ToTouch || e.ToTouch
		c.Locked = e.What == Lock
	}
	return list
}
