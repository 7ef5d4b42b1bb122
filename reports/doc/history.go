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
	var drifts Text
	for k, m := range h.Marks {
		if m.Kind == "drift" && math.Abs(m.Change) > 2*m.Unsure {
			drifts = append(drifts, say("; {} it went from {height} to {height} ({± height}) though nothing was cut or moved: the feet have settled or the heat differs",
				weeksWords(h.Marks[k-1].Date, m.Date), h.Marks[k-1].Zone, m.Zone, 2*m.Unsure))
		}
	}
	return say("The {}{} went from {height} to {height} out of straight in {}{}{}.",
		wayWords(h.Way, h.OfTable), sideways(h), h.Marks[0].Zone, h.Marks[n-1].Zone, plural(n, "survey", "surveys"), stoppedWords(h), drifts)
}

// stoppedWords says since when cutting takes off no more than the surveys can tell.
func stoppedWords(h reports.WayHistory) Text {
	since := -1
	for k, m := range h.Marks {
		if m.Kind == "pass" {
			since = pick(m.Change < -2*m.Unsure, -1, pick(since < 0, k, since))
		}
	}
	if since < 0 {
		return nil
	}
	return say("; cutting stopped paying after pass {}, from there it takes off no more than the surveys can tell ({± height}): look at the feet",
		h.Marks[since-1].Pass, 2*h.Marks[since].Unsure)
}

// weeksWords returns "within 28 days" between two dates, or what is known of it.
func weeksWords(from, to string) string {
	a, err := time.Parse(time.DateOnly, day(from))
	b, err2 := time.Parse(time.DateOnly, day(to))
	switch days := int(b.Sub(a).Hours() / 24); {
	case err != nil || err2 != nil:
		return "later"
	case days == 0:
		return "the same day"
	default:
		return "within " + plural(days, "day", "days")
	}
}

// day returns a date without its time of day.
func day(date string) string { return date[:min(len(date), len(time.DateOnly))] }

// sideways says that a way was looked at from above.
func sideways(h reports.WayHistory) string { return pick(h.Sideways, ", sideways,", "") }

// didWords says what was done before a survey.
func didWords(before, m reports.Landmark) Text {
	var said []Text
	if m.Kind == "pass" {
		n := m.Pass - before.Pass
		said = []Text{{pick(n > 0, plural(n, "pass", "passes"), "metal cut")}}
	}
	var again []string
	for _, f := range m.Moved {
		if f.Again {
			again = append(again, f.Foot)
		} else {
			said = append(said, movedWords(f))
		}
	}
	if again != nil {
		said = append(said, say("{} let down and raised again", list(again)))
	}
	if said == nil {
		return Text{pick(m.Kind == "move", "feet touched", "nothing")}
	}
	return parted(said, ", ", ", ")
}

// lately is how many lines of the log are shown.
const lately = 30

// diaryTable shows the last lines of the log in the words of who wrote them.
func diaryTable(diary []reports.Deed) *Table {
	t := newTable("What was done and read, by the log", "when", "what", "where", "value", "note")
	for _, d := range diary[max(0, len(diary)-lately):] {
		t.add(d.When, d.What, d.Where, d.Value, d.Note)
	}
	return t
}

// movedWords returns "F2 up 20.0 µm", "B1 to touch, up 4.0 µm" or "F3 locked".
func movedWords(f reports.Moved) Text {
	return say("{}{}{}{}", f.Foot, also(f.ToTouch, " to touch"), also(f.Raise != 0, " {}", amount(f.Raise)), also(f.Locked, " locked"))
}

func historyTable(h reports.WayHistory) *Table {
	t := newTable(say("How the {}{} fared on “{}”", wayWords(h.Way, h.OfTable), sideways(h), h.Standing), "pass", "date", "before it", "out of straight, {unit height}",
		"± (95\u00a0%)", "change, {unit height}", "± (95\u00a0%)")
	if len(h.Marks) < 2 {
		return nil
	}
	for k, m := range h.Marks {
		change, unsure, did := any(""), any(""), Text(nil)
		if k > 0 {
			did = didWords(h.Marks[k-1], m)
			change, unsure = raised(m.Change), spread(Height, 2*m.Unsure)
		}
		t.add(count(m.Pass), m.Date, did, bare(Height, m.Zone), spread(Height, 2*m.Sigma), change, unsure)
	}
	return t
}
