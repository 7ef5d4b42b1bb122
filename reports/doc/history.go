package doc

import (
	"math"
	"time"

	"footwork/reports"
)

// historyWords says how one way fared: from where to where, when cutting stopped
// paying, what drifted though nothing was done.
func historyWords(h reports.WayHistory) Text {
	n := len(h.Marks)
	if n < 2 {
		return nil
	}
	out := say("The ", h.Way, " way went from ", q(Height, h.Marks[0].Zone), " to ", q(Height, h.Marks[n-1].Zone), " out of straight in ", plural(n, "survey", "surveys"))
	out = append(out, stoppedWords(h)...)
	for k, m := range h.Marks {
		if m.Kind == "drift" && math.Abs(m.Change) > 2*m.Unsure {
			out = append(out, "; ", weeksWords(h.Marks[k-1].Date, m.Date), " it went from ", q(Height, h.Marks[k-1].Zone), " to ", q(Height, m.Zone),
				" (", give(Height, 2*m.Unsure), ") though nothing was cut or moved: the feet have settled or the heat differs")
		}
	}
	return append(out, ".")
}

// stoppedWords says since when cutting takes off no more than the surveys can tell.
func stoppedWords(h reports.WayHistory) Text {
	since := -1
	for k, m := range h.Marks {
		switch {
		case m.Kind == "pass" && m.Change < -2*m.Unsure:
			since = -1
		case m.Kind == "pass" && since < 0:
			since = k
		}
	}
	if since < 0 {
		return nil
	}
	return say("; cutting stopped paying after pass ", h.Marks[since-1].Pass, ", from there it takes off no more than the surveys can tell (",
		give(Height, 2*h.Marks[since].Unsure), "): look at the feet")
}

// weeksWords returns "within 28 days" between two dates, or what is known of it.
func weeksWords(from, to string) string {
	a, err := time.Parse(time.DateOnly, from)
	b, err2 := time.Parse(time.DateOnly, to)
	switch days := int(b.Sub(a).Hours() / 24); {
	case err != nil || err2 != nil:
		return "later"
	case days == 0:
		return "the same day"
	default:
		return "within " + plural(days, "day", "days")
	}
}

// did says what was done before a survey.
var did = map[string]string{"pass": "metal cut", "move": "feet moved", "drift": "nothing"}

func historyTable(h reports.WayHistory) *Table {
	t := newTable(say("How the ", h.Way, " way fared on ", quoted(h.Standing)), say("pass"), say("date"), say("before it"), say("out of straight, ", UnitOf(Height)),
		say("± (95\u00a0%)"), say("change, ", UnitOf(Height)), say("± (95\u00a0%)"))
	if len(h.Marks) < 2 {
		return nil
	}
	for k, m := range h.Marks {
		change, unsure := any(""), any("")
		if k > 0 {
			change, unsure = raised(m.Change), spread(Height, 2*m.Unsure)
		}
		t.add(count(m.Pass), m.Date, did[m.Kind], bare(Height, m.Zone), spread(Height, 2*m.Sigma), change, unsure)
	}
	return t
}
