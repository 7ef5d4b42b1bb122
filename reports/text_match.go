package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/beam"
	"footwork/internal/unit"
)

func (v Match) textOn(s *textSheet) {
	s.answer("%s", v.explained(s)+v.hanging())
	for _, w := range v.Ways {
		s.plot(plot{about: plotEnds, curves: []plotCurve{
			plotAboutEnds(w.Name+" measured", w.X, w.Measured), plotAboutEnds("form in the metal", w.X, w.Form)}})
	}
	s.table("The parts, each out of straight by itself; they may cancel one another", v.parts(s))
	s.table("Foot heights", v.heights(s))
	s.table("What each foot carries, and how sure it is that it does", v.loads(s))
	s.table("What was learnt of the bed", v.learnt(s))
	s.table("Which feet may hang free, and how likely that is", v.sets())
	s.table("What each known move did at its foot", v.responses(s))
	s.table("What these surveys cannot tell apart", v.tied())
	if len(v.Advice) > 0 {
		s.say("Next, %s: that is expected to tell most.", v.Advice[0].words(s))
	}
}

// explained returns "On “shop floor”, of 31 µm on the back way, feet explain 22 ± 4, …".
func (v Match) explained(s *textSheet) string {
	h := s.Units.Height()
	var parts []string
	for _, e := range v.Explained {
		part := textClean(e.Part)
		verb := part
		if len(parts) == 0 {
			verb += " explain" + map[bool]string{true: "", false: "s"}[e.Part == "feet"]
		}
		switch {
		case !e.Told && math.Abs(e.Value) < e.Wide:
			parts = append(parts, part+" is not told")
		default:
			parts = append(parts, fmt.Sprintf("%s %s\u00a0±\u00a0%s", verb, textNumber(h, e.Value), textNumber(h, e.Wide)))
		}
	}
	if len(parts) == 0 {
		return "On " + textName(v.Standing) + " nothing was measured that could be parted."
	}
	return fmt.Sprintf("On %s, of %s out of straight on the %s way, %s.", textName(v.Standing), s.height(v.Zone), textClean(v.ZoneWay), strings.Join(parts, ", "))
}

// hanging names the feet that most likely carry nothing.
func (v Match) hanging() string {
	var off []string
	for _, f := range v.Feet {
		if f.Carries < 0.5 {
			off = append(off, fmt.Sprintf("%s (%s sure)", textClean(f.Name), textShare(1-f.Carries)))
		}
	}
	switch len(off) {
	case 0:
		return " Every foot most likely carries."
	case 1:
		return " Foot " + off[0] + " hangs free."
	}
	return " Feet " + list(off) + " hang free."
}

func (v Match) heights(s *textSheet) *textTable {
	h := s.Units.Height()
	t := newTextTable("<foot", "height, "+h.Unit, "95\u00a0% from", "to", "<")
	for _, f := range v.Feet {
		t.add(textClean(f.Name), textNumber(h, f.Height), textNumber(h, f.Low), textNumber(h, f.High), textTold(f.Told))
	}
	return t
}

func (v Match) loads(s *textSheet) *textTable {
	most := 0.0
	for _, f := range v.Feet {
		most = max(most, f.Load[2])
	}
	n := s.Units.Force(most)
	t := newTextTable("<foot", "load, "+n.Unit, "95\u00a0% from", "to", "carries")
	for _, f := range v.Feet {
		t.add(textClean(f.Name), textNumber(n, f.Load[0]), textNumber(n, f.Load[1]), textNumber(n, f.Load[2]), textShare(f.Carries))
	}
	return t
}

// tied lists the strongest of what cannot be told apart.
func (v Match) tied() *textTable {
	t := newTextTable("<this", "<and this", "correlation")
	for i, p := range v.Tied {
		if i < 6 {
			t.add(textClean(p.A), textClean(p.B), fmt.Sprintf("%.2f", p.Correlation))
		}
	}
	return t
}

func (v Match) sets() *textTable {
	t := newTextTable("<hanging free", "likely")
	for i, c := range v.Sets {
		name := list(c.Hanging)
		if len(c.Hanging) == 0 {
			name = "none"
		}
		if i < 6 && c.Probability >= 0.01 {
			t.add(textClean(name), textShare(c.Probability))
		}
	}
	return t
}

func (v Match) responses(s *textSheet) *textTable {
	h := s.Units.Height()
	t := newTextTable("<foot", "<survey", "moved, "+h.Unit, "predicted", "±", "observed")
	for _, r := range v.Responses {
		t.add(textClean(r.Foot), textClean(r.Survey), textNumber(h, r.Raise), textNumber(h, r.Predicted), textSpread(h, r.Sigma), textNumber(h, r.Observed))
	}
	return t
}

// words says what to do for one more measurement.
func (a Advice) words(s *textSheet) string {
	switch {
	case a.Feel:
		return "feel whether foot " + textClean(a.Foot) + " is loose or tight and add a [[felt]]"
	case a.Other != "":
		return "survey the standing " + textName(a.Other)
	}
	word := "raise"
	if a.Raise < 0 {
		word = "lower"
	}
	return fmt.Sprintf("%s foot %s by %s, survey again and add a [[move]]", word, textClean(a.Foot), s.height(math.Abs(a.Raise)))
}

func (v Match) parts(s *textSheet) *textTable {
	h := s.Units.Height()
	t := newTextTable("<way", "measured, "+h.Unit, "sag", "feet", "heat", "form", "rest")
	for _, w := range v.Ways {
		cells := []string{textClean(w.Name)}
		for _, part := range [][]float64{w.Measured, w.Sag, w.Feet, w.Heat, w.Form, w.Rest} {
			cells = append(cells, textNumber(h, beam.Zone(w.X, part)))
		}
		t.add(cells...)
	}
	return t
}

func textTold(told bool) string {
	if told {
		return "told"
	}
	return "not told by this survey"
}

func (v Match) learnt(s *textSheet) *textTable {
	factor := unit.Display{Unit: "times", One: 1, Decimals: 2}
	t := newTextTable("<what", "best", "95\u00a0% from", "to", "<")
	add := func(name string, d unit.Display, e Estimate) {
		t.add(name, textQuantity(d, e.Factor), textNumber(d, e.Low), textNumber(d, e.High), textTold(e.Told))
	}
	add("stiffness of the bed", factor, v.Stiffness)
	add("stiffness of the feet", factor, v.FootStiffness)
	add("top warmer than bottom", s.Units.TempDiff(), v.Gradient)
	return t
}
