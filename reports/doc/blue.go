package doc

import (
	"slices"

	"footwork/beam/shape"
	"footwork/reports"
)

// blue says what the masters print.
func (j job) blue(v reports.Blue) section {
	s := section{Title: "What the blue will show", Answer: blueAnswer(v)}
	s.add(blueTables(v)...)
	s.add(blueAdvice)
	return s
}

// blueTables lists what every master prints, with what it does itself after its last face.
func blueTables(v reports.Blue) (out []Block) {
	for k, w := range v.Ways {
		out = append(out, blueTable(w))
		if k == len(v.Ways)-1 || v.Ways[k+1].Master != w.Master || v.Ways[k+1].Flank != 2 {
			out = append(out, masterWords(w))
		}
	}
	return said(out...)
}

// blueAdvice holds for every print (common practice, no source).
var blueAdvice = Text{"First words always: stone it, wipe it, print again. Prints of another film, stroke or hand are not like these. A print is even, or a little stronger at the ends, when it is right; " +
	"the middle of a rubbed print marks plainest. Blue tells of no more than the master's own length, and points to the inch of nothing but the last thousandths of it: the long form is the survey's. " +
	"A print marked ? is not sure. A master hinges at a third (29 %) from the far end where it bears evenly, in the middle on a hump, at its end over a hollow."}

// blueAnswer says of every master how much of each way it prints.
func blueAnswer(v reports.Blue) Text {
	var masters []string
	parts := map[string][]Text{}
	for _, w := range v.Ways {
		if parts[w.Master] == nil {
			masters = append(masters, w.Master)
		}
		parts[w.Master] = append(parts[w.Master], say("{percent} of {}", printed(w), faceName(w.Name, w.Flank)))
	}
	all := each(masters, func(m string) Text { return say("the {} prints {}", m, joined(parts[m])) })
	return say("On “{}” {} {}.", v.Standing, StateWords(v.State), joined(all))
}

// faceName is a way in a sentence, or one flank of it.
func faceName(way string, flank int) string {
	return "the " + way + " way" + map[int]string{1: "'s flank towards negative offset", 2: "'s flank towards positive offset"}[flank]
}

// printed returns the share of what lies under the master, over all steps, that prints.
func printed(w reports.BlueWay) float64 {
	printed, all := 0.0, 0.0
	for _, s := range w.Steps {
		lo, hi := s.At, s.At+w.Length
		all += bearing(lo, hi, w.LeftOut)
		printed += total(s.Prints, func(p reports.BluePrint) float64 { return max(0, min(p.To, hi)-max(p.From, lo)) })
	}
	if all <= 0 {
		return 0
	}
	return min(1, printed/all)
}

// bearing is how much of a stretch of a way is there to bear.
func bearing(from, to float64, leftOut []reports.NamedSpan) float64 {
	out := each(leftOut, func(l reports.NamedSpan) shape.Span { return l.Span })
	return total(shape.Less([]shape.Span{{From: from, To: to}}, out), length)
}

func length(s shape.Span) float64 { return s.To - s.From }

// air returns the most air under the master where the way is there to bear.
func air(w reports.BlueWay, s reports.BlueStep) (most float64) {
	for i, g := range s.Gap {
		if !slices.ContainsFunc(w.LeftOut, func(out reports.NamedSpan) bool { return s.X[i] >= out.From && s.X[i] <= out.To }) {
			most = max(most, g)
		}
	}
	return most
}

// blueTable lists the prints of every step with the air between them and the hinges.
func blueTable(w reports.BlueWay) *Table {
	t := newTable(say("The {} on {}, film {height}", w.Master, faceName(w.Name, w.Flank), w.Film), "at, {unit spot}", "prints, {unit spot}", "across", "bears",
		"most air, {unit height}", "hinges, pushed left, right")
	for _, s := range w.Steps {
		at, gap, hinge := any(bare(Spot, s.At)), any(bare(Height, air(w, s))), any(swing(s.Hinge[0])+", "+swing(s.Hinge[1]))
		for _, p := range s.Prints {
			if min(p.To, s.At+w.Length) <= max(p.From, s.At) {
				continue // it begins where the master was moved to
			}
			mark := pick(surely(p, s.Sure) >= (p.To-p.From)/2, "", " ?")
			t.add(at, say("{bare spot} to {bare spot}{}", max(p.From, s.At), min(p.To, s.At+w.Length), mark), p.Across, q(percent, p.Bears), gap, hinge)
			at, gap, hinge = "", "", ""
		}
	}
	return t
}

// surely returns how much of a print shows whatever the bed may be.
func surely(p reports.BluePrint, sure []shape.Span) float64 {
	return total(sure, func(s shape.Span) float64 { return max(0, min(s.To, p.To)-max(s.From, p.From)) })
}

// swing is where a master swings in the words of the log: the place nearest to a share of
// its length.
func swing(share float64) string {
	for _, s := range []struct {
		most float64
		word string
	}{{1. / 8, "end"}, {7. / 24, "quarter"}, {5. / 12, "third"}} {
		if share <= s.most {
			return s.word
		}
	}
	return "middle"
}

// masterWords says what the master itself does to its print.
func masterWords(w reports.BlueWay) Text {
	var hides Text
	if w.Hides >= alikeHeights {
		hides = say("Laid down, the {} closes a hollow of {height} by its weight and droops over a hump of {height}{}{}.{}", w.Master, w.Hides, w.HidesHump,
			also(w.Degree > 0, "; one degree between its top and its face bows it {height}", w.Degree),
			also(len(w.Steps) > 1, "; stepped with {spot} of overlap it may add a bow of {height} over the way, which only a survey shows", w.Overlap, 2*w.SteppingBow),
			also(w.Hides > w.WayZone, " The way is {height} out of straight, less than this master hides: carry most of its weight at two points, or use a shorter one.", w.WayZone))
	}
	seated, under := 0.0, 0.0
	for _, s := range w.Steps {
		seated, under = max(seated, s.Seated), max(under, s.WaySeated)
	}
	return slices.Concat(hides, also(w.Free > 0, " Free, its own face is {height} out of straight, as it lies up to {height}.", w.Free, seated),
		stretches(" Left out: ", w.LeftOut), also(under > 0, " Where it lies the way under it is up to {height} out of straight.", under))
}
