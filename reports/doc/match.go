package doc

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam/shape"
	"footwork/reports"
)

func (j job) match(v reports.Match) section {
	s := section{Title: "Feet or metal", Answer: append(j.shareAnswer(v), hangingWords(v)...)}
	for _, w := range v.Ways {
		s.add(j.partCurves(v, w))
	}
	s.add(partTable(v), heightTable(v), neighbourWords(v), carriedTable(v), learntTable(v), setTable(v))
	s.add(nextWords(v))
	s.add(onThree(howThree, v.Advice)...)
	return s
}

// partNames say where a share comes from.
var partNames = map[string]string{"feet": "the feet", "sag": "the sag", "heat": "heat", "metal": "the metal", "rest": "what fits none of these"}

// little is the share of what was measured under which a part is not worth a word; nor is
// one that is told to be no more than what is not known of it, unless it is the metal.
const little = 0.02

// shareAnswer returns "Of 35.4 µm out of straight on the front way of “shop
// floor” 22.0 ± 4.0 µm come from the feet, …".
func (j job) shareAnswer(v reports.Match) Text {
	var parts []Text
	var unsure []string
	for _, e := range v.Shares {
		within := math.Abs(e.Value) < e.Wide
		switch name := partNames[e.Part]; {
		case math.Abs(e.Value)+e.Wide < little*v.Zone, e.Told && within && e.Part != "metal":
		case !e.Told && (within || e.Wide > v.Zone) && name != "":
			unsure = append(unsure, name)
		default:
			parts = append(parts, say("{height} {± height} from {}", e.Value, e.Wide, cmp.Or(name, e.Part)))
		}
	}
	if len(v.Shares) == 0 {
		return say("On “{}” nothing was measured that could be parted.", v.Standing)
	}
	tell := say("put {}{}.{}", joined(parts), also(unsure != nil, "; how much comes from {} they cannot say", list(unsure)), finishedWords(v))
	if len(parts) == 0 {
		tell = say("cannot say how much comes from {}.", list(unsure))
	}
	return say("Of {height} out of straight on the {} way of “{}” as found the surveys {}", v.Zone, v.ZoneWay, v.Standing, tell)
}

// finishedWords say what the answer takes from the job alone.
func finishedWords(v reports.Match) Text {
	for _, w := range v.Ways {
		if w.Name == v.ZoneWay && w.FinishedTo > 0 {
			return say(" That rests on its metal being straight to {height}, as the job says.", w.FinishedTo)
		}
	}
	return nil
}

// hanging is how likely a foot hangs that is said to hang, without more (assumed).
const hanging = 0.9

// hangingWords names the feet that carry nothing, and those that more likely do not than do.
func hangingWords(v reports.Match) Text {
	var off, may []Text
	for _, f := range v.Feet {
		switch {
		case f.Carries <= 1-hanging:
			off = append(off, say("{} ({percent} sure)", f.Name, 1-f.Carries))
		case f.Carries < 0.5:
			may = append(may, say("{} ({percent} likely)", f.Name, 1-f.Carries))
		}
	}
	if len(off)+len(may) == 0 {
		return say(" Every foot most likely carries.")
	}
	return slices.Concat(also(off != nil, pick(len(off) == 1, " Foot {} hangs free.", " Feet {} hang free."), joined(off)),
		also(may != nil, pick(len(may) == 1, " Foot {} may hang free: feel it.", " Feet {} may hang free: feel them."), joined(may)))
}

func (j job) partCurves(v reports.Match, w reports.WayParts) *Curves {
	c := j.alongBed(say("The {} way as found: as measured, and the form in its metal, about the line through the ends", w.Name), v.Standing)
	c.curve(w.Name+" measured", Before, w.X, w.Measured)
	c.curve("form in the metal", First, w.X, w.Form).band(w.FormSigma)
	return c
}

func partTable(v reports.Match) *Table {
	t := newTable("The parts, each out of straight by itself (they may cancel one another), each ± in 95\u00a0%, {unit height}", "way", "measured", "feet", "sag", "heat",
		"form", "fits none")
	for _, w := range v.Ways {
		cells := []any{w.Name, bare(Height, shape.Zone(w.X, w.Measured))}
		for _, e := range w.Zones {
			cells = append(cells, say("{bare height} ± {}", e.Value, spread(Height, e.Wide)))
		}
		t.add(cells...)
	}
	return t
}

// sure is the remark beside an unknown.
func sure(told bool) string { return pick(told, "", "unsure") }

func heightTable(v reports.Match) *Table {
	t := newTable(say("How high each foot stands as found, {unit height} (unsure: the surveys cannot say)"), "foot", "height", "95\u00a0% from", "to", "")
	for _, f := range v.Feet {
		t.add(f.Name, bare(Height, f.Height), bare(Height, f.Low), bare(Height, f.High), sure(f.Told))
	}
	return t
}

// neighbourWords tells feet that surely stand above or below the line through their neighbours.
func neighbourWords(v reports.Match) Text {
	var out []Text
	for _, f := range v.Feet {
		if len(f.Between) < 2 || len(f.Above) < 3 {
			continue
		}
		a := f.Above
		if half := (a[2] - a[1]) / 2; math.Abs(a[0]) >= half {
			out = append(out, say("{} stands {height} {± height} {} the line from {} to {}", f.Name, math.Abs(a[0]), half, pick(a[0] > 0, "above", "below"), f.Between[0], f.Between[1]))
		}
	}
	return also(out != nil, "{}.", joined(out))
}

func carriedTable(v reports.Match) *Table {
	force := forceOf(total(v.Feet, func(f reports.FootEstimate) float64 { return f.Load[0] }))
	t := newTable(say("What each foot carries as found, {}, and how sure it is that it does", UnitOf(force)), "foot", "load", "95\u00a0% from", "to", "carries")
	for _, f := range v.Feet {
		t.add(f.Name, bare(force, f.Load[0]), bare(force, f.Load[1]), bare(force, f.Load[2]), q(percent, f.Carries))
	}
	return t
}

// unlike is how sure it must be that a foot is softer, or stiffer, than the others to be named.
const unlike = 0.95

func learntTable(v reports.Match) *Table {
	t := newTable("What was learnt of the bed", "what", "most likely", "95\u00a0% from", "to", "")
	add := func(name string, k Kind, e reports.Estimate) {
		t.add(name, q(k, e.Factor), bare(k, e.Low), bare(k, e.High), sure(e.Told))
	}
	add("bed, of the stiffness drawn", ratio, v.Stiffness)
	add("bed against twist, of the stiffness drawn", ratio, v.TwistStiffness)
	add("feet, of the stiffness drawn", ratio, v.FootStiffness)
	for _, f := range v.Feet {
		if f.Own.Factor > 0 && (f.Softer > unlike || f.Softer < 1-unlike) {
			add(f.Name+", of the other feet's", ratio, f.Own)
		}
	}
	warm := v.Gradient
	warm.Told = warm.Told || warm.High-warm.Low < 0.2 // K, two ends of thermometers' ± 0.1: surveys add nothing to what they say
	add("top warmer than bottom", kelvin, warm)
	return t
}

// Of sets of feet that may hang so many are listed, none less likely than that (assumed).
const mostSets, leastSet = 6, 0.01

func setTable(v reports.Match) *Table {
	t := newTable("Which feet may hang, and how likely that is", "hanging", "likely")
	for i, c := range v.Sets {
		name := list(c.Hanging)
		if len(c.Hanging) == 0 {
			name = "none"
		}
		if i < mostSets && c.Probability >= leastSet {
			t.add(name, q(percent, c.Probability))
		}
	}
	return t
}

// noCloser is the part of what is not known that a measurement must not leave to be told of (assumed).
const noCloser = 0.9

// nextWords says what to measure next, what it takes and what it brings, and where that does not
// settle it what does; the list begins with the best.
func nextWords(v reports.Match) Text {
	if len(v.Advice) == 0 {
		return nil
	}
	a := v.Advice[0]
	within := func(share float64) Text { return say("±\u00a0{height}", share/2*v.Zone) }
	if a.OfFeet {
		told := say("How much of it is metal is known to {}: enough to go on.", within(a.Before))
		if a.Heights[1] >= noCloser*a.Heights[0] {
			return told
		}
		return say("{} Who wants the feet closer: {}; how high a foot stands is then known to ±\u00a0{height}, now to ±\u00a0{height}.", told, effortWords(a), a.Heights[1]/2, a.Heights[0]/2)
	}
	b := settling(v.Advice)
	return say("Next, {}: how much of it is metal is then known to {}{}, now to {}.{}",
		effortWords(a), within(a.After), also(a.Three == nil && contactOpen(v.Feet), " at best"), within(a.Before),
		also(!a.Settles && b.Settles, " That alone does not settle it: {}, then it is known to {}.", effortWords(b), within(b.After)))
}

// contactOpen: of a foot it is not known whether it carries. What a measurement brings is reckoned as if it were, which
// only a pair and a block, on which loads follow from balance alone, make true (a worn patch, feet in doubt, the
// gradient measured: ± 2.3 µm foretold, ± 11.9 µm then).
func contactOpen(feet []reports.FootEstimate) bool {
	return slices.ContainsFunc(feet, func(f reports.FootEstimate) bool { return f.Carries > 1-known && f.Carries < known })
}

// known is how likely a foot carries of which that is taken as known (assumed).
const known = 0.95

// settling is the best measurement that tells how much is metal, else the best.
func settling(list []reports.Advice) reports.Advice {
	return list[max(0, slices.IndexFunc(list, func(a reports.Advice) bool { return a.Settles }))]
}

// effortWords says what to do for one more measurement, and what it takes.
func effortWords(a reports.Advice) Text {
	return say("{} (about {%.0f} min{})", adviceWords(a), a.Minutes, pick(a.People > 1, ", two people", ""))
}

const howThree = "How to stand it on a pair and a block"

// onThree says how to stand a bed on a pair and a block, where that is to be done next, and how
// the job file has it.
func onThree(title string, list []reports.Advice) []Block {
	if len(list) == 0 || settling(list).Three == nil {
		return nil
	}
	t := settling(list).Three
	force := forceOf(t.Loads[0] + t.Loads[1] + t.Loads[2])
	spot := func(k int) Text {
		return say("at {spot}, {spot} across ({})", t.At[k][0], t.At[k][1], q(force, t.Loads[k]))
	}
	pair := say("a pair of blocks {} and {}", spot(0), spot(1))
	if len(t.Stay) == 2 {
		pair = say("the feet {} ({}) and {} ({})", t.Stay[0], q(force, t.Loads[0]), t.Stay[1], q(force, t.Loads[1]))
	}
	out := List{Title: title, Numbered: true}
	out.Items = append(out.Items, say("Two people; the drive isolated, the table off or parked at a mark and locked, nobody's hand or foot under it. It stands on {} and on a block or "+
		"rocking bar under a web {}: its weight is then {spot} inside the three, and {percent} of it on the lightest (a sixth at least).",
		pair, spot(2), t.Margin, t.Least))
	down := each(t.Feet, func(f reports.LetDown) Text {
		return say("{} by {leaf} (packing {leaf} clear)", f.Foot, f.Down, f.Packing)
	})
	if down != nil {
		out.Items = append(out.Items, say("Keep rated packing close under the bed at every other foot, then let the foot down: {}. None of them may touch: a foil slides under each.",
			joined(down)))
	}
	out.Items = append(out.Items, say("Read top and bottom with two contact thermometers, swapped once. Survey each way and across, both ways out and back."),
		say("Stand it on its feet again and survey again: a hand misses by more than this tells."))
	return said(out, say("Lines for the job file; each survey taken so is a [[survey]] like that on its feet, with this standing and a name and file of its own:"), Lines(t.Lines))
}

// adviceWords says what to do for one more measurement.
func adviceWords(a reports.Advice) Text {
	switch a.Do {
	case "stand on three":
		return say("stand the bed on a pair and a block and survey it there")
	case "survey":
		return say("survey the standing “{}”", a.Other)
	case "survey again":
		return say("survey again on another day")
	case "heat":
		return say("survey again with two contact thermometers, on top and below, swapped once")
	case "load":
		return say("weigh foot {} with a jack and a gauge", a.Foot)
	case "gap":
		return say("find with a feeler how far foot {} stands clear", a.Foot)
	}
	return say("{} foot {} by {height}, survey again and write the move down", pick(a.Raise < 0, "lower", "raise"), a.Foot, math.Abs(a.Raise))
}
