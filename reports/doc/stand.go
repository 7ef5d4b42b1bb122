package doc

import (
	"fmt"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/reports"
)

// loadCaution goes with loads of feet; common practice, no source.
var loadCaution = Caution{"The loads are estimates: a competent person checks foot and floor loads under the local rules."}

// StateWords says of which bed an answer is.
func StateWords(state reports.State) string {
	switch state {
	case reports.Found:
		return "as found"
	case reports.Planned:
		return "after turning"
	}
	return "as drawn"
}

func (j job) sag(v reports.Sag) []section {
	if len(v.Standings) == 0 {
		return []section{{Answer: say("The job has no standing.")}}
	}
	var out []section
	feet := 0
	for _, st := range v.Standings {
		s := section{Title: st.Name, Answer: j.standAnswer(st)}
		s.add(j.standCurves(st), straightnessTable(say("Out of straight {}{}", StateWords(st.State), parked(st.TableAt)), st.Ways), j.footTable(st), bearingTable(st))
		out = append(out, s)
		feet += len(st.Feet)
	}
	if feet > 0 {
		out[len(out)-1].add(loadCaution)
	}
	return out
}

// standAnswer returns "On “shop floor” as found the front way is 35.4 µm out of
// straight (…), the back way 30.2 µm; every foot carries, B3 least with 0.61 kN."
func (j job) standAnswer(v reports.SagStanding) Text {
	return say("On “{}” {}{} {}; {}.", v.Name, StateWords(v.State), parked(v.TableAt), joined(waysOut("is", v.X, v.Ways)), j.carried(v))
}

// parked says where the table stands, if it is on the bed.
func parked(at *float64) Text {
	return also(at != nil, "{}", tableAt(at))
}

// tableAt says where the table stands, or that it is off.
func tableAt(at *float64) Text {
	if at == nil {
		return say(", table off")
	}
	return say(", table at {spot}", *at)
}

// waysOut returns "the front way is 6.4 µm out of straight (high …)" of each way.
func waysOut(verb string, x []float64, ways []reports.WayShape) []Text {
	var out []Text
	if len(ways) == 2 && alikeWays(x, ways) {
		return []Text{say("both ways {} {height} out of straight{}", map[string]string{"is": "are", "goes": "go"}[verb], ways[0].Straightness.MinimumZone, highAndLow(ways[0].Straightness.MinimumZone, x, ways[0].Height, " at "))}
	}
	for i, w := range ways {
		out = append(out, say("the {} way {} {height}{}{}", w.Name, verb, w.Straightness.MinimumZone, also(i == 0, " out of straight"), highAndLow(w.Straightness.MinimumZone, x, w.Height, " at ")))
	}
	return out
}

// alikeHeights is how near to one another two ways are called the same: the last
// digit that is printed, m.
const alikeHeights = 0.05e-6

// highAndLow returns about where a shape is highest and lowest above the line
// through its ends, and nothing for one that is straight to half a micrometre, or of which it is
// told that it is straight to less than is printed, as of few stations with a hollow between them.
func highAndLow(told float64, x, y []float64, where string) Text {
	const flat, printed = 0.5e-6, 0.005 * unit.Thou
	if len(x) == 0 || told < printed {
		return nil
	}
	d := shape.Shape{X: x, Y: y}.AboutEnds()
	high, low := floats.MaxIdx(d.Y), floats.MinIdx(d.Y)
	if d.Y[high]-d.Y[low] < flat {
		return nil
	}
	return say(" (high{}{spot}, low{}{spot})", where, x[high], where, x[low])
}

// footState is "", "light" or "hangs" of each foot of a standing.
func (j job) footState(v reports.SagStanding) []string {
	out := make([]string, len(v.Feet))
	light := j.light(sumLoads(v.Feet), len(v.Feet))
	for i, f := range v.Feet {
		switch {
		case f.Lifted:
			out[i] = "hangs"
		case f.Load < light:
			out[i] = "light"
		}
	}
	return out
}

func sumLoads(feet []reports.FootLoad) float64 {
	return total(feet, func(f reports.FootLoad) float64 { return f.Load })
}

// carried says what the feet carry: those that hang, those that are light, or
// else the one that carries least.
func (j job) carried(v reports.SagStanding) Text {
	force := forceOf(v.Weight)
	if len(v.Feet) == 0 {
		return say("{} lies on {}", q(force, v.Weight), plural(len(v.Bearings), "bearing", "bearings"))
	}
	var hang, light []string
	var gap, most float64
	least := v.Feet[0]
	for i, state := range j.footState(v) {
		f := v.Feet[i]
		if f.Load < least.Load {
			least = f
		}
		switch state {
		case "hangs":
			hang, gap = append(hang, f.Name), max(gap, f.Gap)
		case "light":
			light, most = append(light, f.Name), max(most, f.Load)
		}
	}
	var said []Text
	if hang != nil {
		said = append(said, say("{} {fine height} clear", feetWords(hang, "carries nothing: it hangs", "carry nothing: they hang up to"), gap))
	}
	if light != nil {
		said = append(said, say("{} {}", feetWords(light, "is light: it carries", "are light: they carry at most"), q(force, most)))
	}
	if said == nil {
		return say("every foot carries, {} least with {}", least.Name, q(force, least.Load))
	}
	return joined(said)
}

// feetWords returns "foot B3 carries" or "feet B3 and F4 carry".
func feetWords(feet []string, one, many string) string {
	return pick(len(feet) == 1, "foot ", "feet ") + list(feet) + " " + pick(len(feet) == 1, one, many)
}

func (j job) standCurves(v reports.SagStanding) *Curves {
	c := j.alongBed(say("Height about the line through the ends, {}{}", StateWords(v.State), parked(v.TableAt)), "")
	c.ways(v.X, v.Ways)
	for i, state := range j.footState(v) {
		c.Feet = append(c.Feet, FootMark{Name: v.Feet[i].Name, At: v.Feet[i].At, Off: state == "hangs"})
	}
	return c
}

// ways adds each way about the line through its ends, as profiles are usually
// drawn (common practice, no source).
func (c *Curves) ways(x []float64, ways []reports.WayShape) {
	for i, w := range ways {
		c.curve(w.Name, wayStyles[i%len(wayStyles)], x, w.Height)
	}
	c.tell()
}

// curve adds a curve about the line through its ends.
func (c *Curves) curve(name string, style Style, x, y []float64) *Series {
	c.Series = append(c.Series, Series{Name: name, Style: style, X: x, Y: shape.Shape{X: x, Y: y}.AboutEnds().Y})
	return &c.Series[len(c.Series)-1]
}

func (j job) footTable(v reports.SagStanding) *Table {
	force := forceOf(v.Weight)
	t := newTable(say("What each foot carries {}{}", StateWords(v.State), parked(v.TableAt)), "foot", "at, {unit along}", "offset, {unit along}", column("load", force),
		"of the mean", "stands")
	mean := sumLoads(v.Feet) / float64(max(1, len(v.Feet)))
	for i, state := range j.footState(v) {
		f := v.Feet[i]
		share, stands := any(""), any("firm")
		if mean > 0 {
			share = q(percent, f.Load/mean)
		}
		switch state {
		case "hangs":
			stands = say("hangs {fine height}", f.Gap)
		case "light":
			stands = "light"
		}
		t.add(f.Name, bare(Along, f.At), bare(Along, f.Offset), bare(force, f.Load), share, stands)
	}
	return t
}

func bearingTable(v reports.SagStanding) *Table {
	force := forceOf(v.Weight)
	t := newTable(say("What each bearing carries {}{}", StateWords(v.State), parked(v.TableAt)), "bearing", column("load", force))
	for i, b := range v.Bearings {
		t.add(fmt.Sprint(i+1), bare(force, b.Load))
	}
	return t
}

// straightnessTable sets the ways about the three reference lines.
func straightnessTable(title Text, ways []reports.WayShape) *Table {
	t := newTable(say("{}, {unit height}", title), "way", "through the ends", "least squares", "minimum zone")
	for _, w := range ways {
		t.add(w.Name, bare(Height, w.Straightness.Ends), bare(Height, w.Straightness.LeastSquares), bare(Height, w.Straightness.MinimumZone))
	}
	return t
}

func (j job) change(v reports.Change) section {
	s := section{Title: "Change", Answer: say("From “{}” to “{}” {} {}, with no metal at fault.", v.From, v.To, StateWords(v.State), joined(waysOut("goes", v.X, v.Ways)))}
	c := j.alongBed(say("What moving it from “{}” to “{}” does {}, about the line through the ends", v.From, v.To, StateWords(v.State)), v.To)
	c.ways(v.X, v.Ways)
	s.add(c, straightnessTable(say("The change about each reference line, {}", StateWords(v.State)), v.Ways))
	return s
}
