package reports

import (
	"math"
	"time"
)

// words says how one way fared: from where to where, when cutting stopped
// paying, what drifted though nothing was done.
func (h WayHistory) words() prose {
	n := len(h.Marks)
	if n < 2 {
		return nil
	}
	out := say("The ", h.Way, " way went from ", q(Height, h.Marks[0].Zone), " to ", q(Height, h.Marks[n-1].Zone), " out of straight in ", plural(n, "survey", "surveys"))
	out = append(out, h.stopped()...)
	for k, m := range h.Marks {
		if m.Kind == "drift" && math.Abs(m.Change) > 2*m.Unsure {
			out = append(out, "; ", weeksWords(h.Marks[k-1].Date, m.Date), " it went from ", q(Height, h.Marks[k-1].Zone), " to ", q(Height, m.Zone),
				" (±\u00a0", give(Height, m.Unsure), ") though nothing was cut or moved: the feet have settled or the heat differs")
		}
	}
	return append(out, ".")
}

// stopped says since when cutting takes off no more than the surveys can tell.
func (h WayHistory) stopped() prose {
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
	m := h.Marks[since]
	return say("; cutting stopped paying after pass ", h.Marks[since-1].Pass, ", from there it takes off no more than the surveys can tell (±\u00a0", give(Height, m.Unsure), "): look at the feet")
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
func (m Landmark) did() string {
	switch m.Kind {
	case "pass":
		return "metal cut"
	case "move":
		return "feet moved"
	case "drift":
		return "nothing"
	}
	return ""
}

// here returns the histories of the standing that the page is about.
func (p *Page) here() []WayHistory {
	var out []WayHistory
	for _, h := range p.Survey.History {
		if len(h.Marks) > 1 && (p.Standing == "" || h.Standing == p.Standing) {
			out = append(out, h)
		}
	}
	return out
}

// historyFigure shows straightness against the pass, or against the order of
// surveys when no metal was cut; nil without a history.
func (p *Page) historyFigure() *figure {
	all := p.here()
	if len(all) == 0 {
		return nil
	}
	x, by := axis{Name: "surveys, in order"}, func(k int, _ Landmark) float64 { return float64(k + 1) }
	for _, h := range all {
		if h.Marks[len(h.Marks)-1].Pass != h.Marks[0].Pass {
			x, by = axis{Name: "scraping passes done"}, func(_ int, m Landmark) float64 { return float64(m.Pass) }
		}
	}
	c := newChart(x, axis{Name: "out of straight", Kind: Height})
	c.Height = 220
	caption := say("Out of straight over the passes, with its band (about 95\u00a0%). ")
	for _, h := range all {
		i := p.wayIndex(h.Way)
		n := note{Way: h.Way, Style: []string{"first", "second"}[i%2], Points: true, ByLine: &byLine{}}
		var at, zone []float64
		for k, m := range h.Marks {
			at, zone, n.Sigma = append(at, by(k, m)), append(zone, m.Zone), append(n.Sigma, m.Sigma)
			n.ByLine.add(p.straightnessOf(m))
		}
		c.curve(h.Way, at, zone, n)
		caption = append(append(caption, h.words()...), " ")
	}
	return &figure{id: "history", chart: c.finish(), caption: caption, label: caption.plain(p.Units)}
}

// straightnessOf returns the straightness of the survey of a landmark.
func (p *Page) straightnessOf(m Landmark) Straightness {
	for _, v := range p.Survey.Surveys {
		if v.Name == m.Survey {
			return v.Straightness
		}
	}
	return Straightness{Ends: m.Zone, LeastSquares: m.Zone, MinimumZone: m.Zone}
}

func (p *Page) historyTable() table {
	t := table{caption: say("How each way fared, minimum zone in ", unitOf(Height)), head: []prose{say("Way"), say("Survey"), say("Date"), say("Pass"),
		say("Out of straight"), say("±\u00a0(95\u00a0%)"), say("Before it"), say("Change"), say("±\u00a0(95\u00a0%)")}}
	for _, h := range p.here() {
		for k, m := range h.Marks {
			change, unsure := any(""), any("")
			if k > 0 {
				change, unsure = raised(m.Change), bareGive(Height, m.Unsure)
			}
			t.addFor(h.Way, h.Way, m.Survey, m.Date, q(Count, float64(m.Pass)), bare(Height, m.Zone), bareGive(Height, m.Sigma), m.did(), change, unsure)
		}
	}
	return t
}
