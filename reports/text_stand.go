package reports

import (
	"fmt"
	"strings"
)

// textLight is the share of the mean load under which a foot is called light
// (common practice, no source).
const textLight = 0.1

func (v Sag) textOn(s *textSheet) {
	if len(v.Standings) == 0 {
		s.answer("The job has no standing.")
	}
	feet := 0
	for _, st := range v.Standings {
		st.textOn(s)
		feet += len(st.Feet)
	}
	if feet > 0 {
		s.say(textLoads)
	}
}

func (v SagStanding) textOn(s *textSheet) {
	s.answer("On %s %s; %s.", textName(v.Name), list(s.waysOut("is", v.X, v.Ways)), v.carried(s))
	p := plot{curves: plotWays(v.X, v.Ways), about: plotEnds}
	for _, f := range v.Feet {
		p.feet = append(p.feet, plotFoot{textClean(f.Name), f.At, f.Lifted})
	}
	s.plot(p)
	s.straightness("Out of straight", v.Ways)
	s.table("What each foot carries", v.feet(s))
	s.table("What each bearing carries", v.bearings(s))
}

// waysOut returns "the front way is 6.4 µm out of straight (high …)" of each way.
func (s *textSheet) waysOut(verb string, x []float64, ways []WayShape) []string {
	var out []string
	for i, w := range ways {
		words := fmt.Sprintf("the %s way %s %s", textClean(w.Name), verb, s.height(w.Straightness.MinimumZone))
		if i == 0 {
			words += " out of straight"
		}
		out = append(out, words+s.where(x, w.Height))
	}
	return out
}

// carried returns what the feet carry: those that stand clear, those that are
// light, or else the one that carries least.
func (v SagStanding) carried(s *textSheet) string {
	if len(v.Feet) == 0 {
		return fmt.Sprintf("%s lies on %s", s.force(v.Weight), plural(len(v.Bearings), "bearing", "bearings"))
	}
	var clear, light, said []string
	var gap, most float64
	least := v.Feet[0]
	for _, f := range v.Feet {
		if f.Load < least.Load {
			least = f
		}
		switch {
		case f.Lifted:
			clear, gap = append(clear, textClean(f.Name)), max(gap, f.Gap)
		case v.light(f):
			light, most = append(light, textClean(f.Name)), max(most, f.Load)
		}
	}
	if clear != nil {
		said = append(said, textFew(clear, "carries nothing: it stands", "carry nothing: they stand up to")+" "+s.height(gap)+" clear")
	}
	if light != nil {
		said = append(said, textFew(light, "is light: it carries", "are light: they carry at most")+" "+s.force(most))
	}
	if said == nil {
		return fmt.Sprintf("every foot carries, %s least with %s", textClean(least.Name), s.force(least.Load))
	}
	return strings.Join(said, "; ")
}

// light reports whether a foot carries much less than its share.
func (v SagStanding) light(f FootLoad) bool { return f.Load < textLight*meanLoad(v.Feet) }

// textFew returns "foot B3 carries" or "feet B3 and F4 carry".
func textFew(feet []string, one, many string) string {
	if len(feet) == 1 {
		return "foot " + feet[0] + " " + one
	}
	return "feet " + list(feet) + " " + many
}

func (v SagStanding) feet(s *textSheet) *textTable {
	var places, offsets []float64
	for _, f := range v.Feet {
		places, offsets = append(places, f.At), append(offsets, f.Offset)
	}
	at, across := textEven(s.Units.Length(), places), textEven(s.Units.Length(), offsets)
	load, gap := s.Units.Force(v.Weight), s.Units.Height()
	t := newTextTable("<foot", "at, "+at.Unit, "offset, "+at.Unit, "load, "+load.Unit, "of the mean", "<stands")
	mean := meanLoad(v.Feet)
	for _, f := range v.Feet {
		share, stands := "", "firm"
		if mean > 0 {
			share = textShare(f.Load / mean)
		}
		switch {
		case f.Lifted:
			stands = textQuantity(gap, f.Gap) + " clear"
		case v.light(f):
			stands = "light"
		}
		t.add(textClean(f.Name), textNumber(at, f.At), textNumber(across, f.Offset), textNumber(load, f.Load), share, stands)
	}
	return t
}

func (v SagStanding) bearings(s *textSheet) *textTable {
	load := s.Units.Force(v.Weight)
	t := newTextTable("bearing", "load, "+load.Unit)
	for i, b := range v.Bearings {
		t.add(fmt.Sprint(i+1), textNumber(load, b.Load))
	}
	return t
}

// straightness writes the ways about the three reference lines.
func (s *textSheet) straightness(title string, ways []WayShape) {
	h := s.Units.Height()
	t := newTextTable("<way", "ends, "+h.Unit, "least squares", "minimum zone")
	for _, w := range ways {
		t.add(textClean(w.Name), textNumber(h, w.Straightness.Ends), textNumber(h, w.Straightness.LeastSquares), textNumber(h, w.Straightness.MinimumZone))
	}
	s.table(title, t)
}

// plotWays returns the ways about the lines through their ends, as profiles are
// usually drawn (common practice, no source).
func plotWays(x []float64, ways []WayShape) []plotCurve {
	var out []plotCurve
	for _, w := range ways {
		out = append(out, plotAboutEnds(w.Name, x, w.Height))
	}
	return out
}

func (v Change) textOn(s *textSheet) {
	s.answer("From %s to %s %s, with no metal at fault.", textName(v.From), textName(v.To), list(s.waysOut("goes", v.X, v.Ways)))
	s.plot(plot{curves: plotWays(v.X, v.Ways), about: plotEnds})
	s.straightness("The change about each reference line", v.Ways)
}

func (v Travel) textOn(s *textSheet) {
	at, height := v.work()
	s.answer("On %s the work under the tool goes %s out of straight over the journey of the table's left end%s%s.",
		textName(v.Standing), s.height(v.AtToolStraightness), s.where(at, height), v.lightest(s))
	s.plot(plot{curves: []plotCurve{plotAboutEnds("work under the tool", at, height)}, about: plotEnds, along: "place of the table's left end"})
	s.table("The journey", v.journey(s))
	if v.footCount() > 0 {
		s.table("Foot loads over the journey, with the table's left end where they occur", v.loads(s))
		s.say(textLoads)
	}
}

func (v Travel) footName(i int) string {
	if i < len(v.Feet) {
		return textClean(v.Feet[i])
	}
	return fmt.Sprint(i + 1)
}

// extremes returns the places where a foot carries least and most.
func (v Travel) extremes(foot int) (least, most int) {
	for i, loads := range v.FootLoads {
		if loads[foot] < v.FootLoads[least][foot] {
			least = i
		}
		if loads[foot] > v.FootLoads[most][foot] {
			most = i
		}
	}
	return least, most
}

// footCount returns the number of feet whose loads are given.
func (v Travel) footCount() int {
	if len(v.FootLoads) == 0 {
		return 0
	}
	return len(v.FootLoads[0])
}

// lightest returns the end of the answer: the foot that is ever the lightest.
func (v Travel) lightest(s *textSheet) string {
	foot, place := 0, 0
	for f := range v.footCount() {
		if i, _ := v.extremes(f); v.FootLoads[i][f] < v.FootLoads[place][foot] {
			foot, place = f, i
		}
	}
	if v.footCount() == 0 {
		return ""
	}
	return fmt.Sprintf("; foot %s comes down to %s at %s",
		v.footName(foot), s.force(v.FootLoads[place][foot]), s.length(v.TableAt[place]))
}

func (v Travel) journey(s *textSheet) *textTable {
	at, h, a := textEven(s.Units.Length(), v.TableAt), s.Units.Height(), s.Units.Angle()
	t := newTextTable("table at, "+at.Unit, "table height, "+h.Unit, "pitch, "+a.Unit, "roll, "+a.Unit, "at the tool, "+h.Unit)
	for _, i := range spread(len(v.Path), 9) {
		p := v.Path[i]
		t.add(textNumber(at, v.TableAt[i]), textNumber(h, p.Height), textNumber(a, p.Pitch), textNumber(a, p.Roll), textNumber(h, p.AtTool))
	}
	return t
}

func (v Travel) loads(s *textSheet) *textTable {
	largest := 0.0
	for _, loads := range v.FootLoads {
		for _, l := range loads {
			largest = max(largest, l)
		}
	}
	at, load := textEven(s.Units.Length(), v.TableAt), s.Units.Force(largest)
	t := newTextTable("<foot", "least, "+load.Unit, "at, "+at.Unit, "most, "+load.Unit, "at, "+at.Unit)
	for f := range v.footCount() {
		i, k := v.extremes(f)
		t.add(v.footName(f), textNumber(load, v.FootLoads[i][f]), textNumber(at, v.TableAt[i]), textNumber(load, v.FootLoads[k][f]), textNumber(at, v.TableAt[k]))
	}
	return t
}
