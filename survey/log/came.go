package log

import "slices"

// SummedUp returns the entries with each line of how far a foot came where its standing was touched last, in place of
// what it sums up: turns and nuts of the foot since the survey, since it touched or its last such line, and what was
// read and felt until then. What was read after that tells of turns to come.
func (h History) SummedUp() (out []Entry) {
	for _, e := range h.Entries {
		if e.What == Came {
			out = e.summed(out)
		} else {
			out = append(out, e)
		}
	}
	return out
}

// summed puts how far a foot came in place of what it sums up.
func (came Entry) summed(list []Entry) []Entry {
	here := func(e Entry, acts ...What) bool { return e.In == came.In && slices.Contains(acts, e.What) }
	moves := func(e Entry) bool { return here(e, Turn, Shim, Lock, StoodAgain) }
	last := func(list []Entry, is func(e Entry) bool) int { // one after it
		for i, e := range slices.Backward(list) {
			if is(e) {
				return i + 1
			}
		}
		return 0
	}
	end := last(list, func(e Entry) bool { return moves(e) || here(e, Came) })
	begin := last(list[:end], func(e Entry) bool { return here(e, Survey) })
	known := last(list[:end], func(e Entry) bool { return e.Foot == came.Foot && (e.ToTouch || here(e, Came, StoodAgain)) })
	moved := false
	out := slices.Clone(list[:begin])
	for i, e := range list[begin:end] {
		own := moves(e) && e.Foot == came.Foot && begin+i >= known
		if moved = moved || moves(e); !own && !here(e, Read) && !(moved && here(e, Feel, Gap, Load)) {
			out = append(out, e)
		}
	}
	return slices.Concat(out, []Entry{came}, list[end:])
}
