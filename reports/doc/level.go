package doc

import (
	"fmt"
	"math"
	"slices"

	"footwork/internal/unit"
	"footwork/reports"
)

// levelling says how a bed that was just set down is brought onto all its feet.
func levelling(l *reports.Levelling) List {
	out := List{Title: "From nothing to a level bed, when it has just been set down", Numbered: true}
	if l == nil {
		return out
	}
	if l.Unsafe {
		out.Items = []Text{say("Its weight lies too near to a side to stand it on a pair and a centre block: keep it on rated blocking while its feet are set, or give it a foot nearer to its middle.")}
		return out
	}
	if len(l.On) < 3 {
		return out
	}
	force := forceOf(l.On[2].Load)
	rest := func(r reports.Rest) Text {
		if r.Foot != "" {
			return say(r.Foot, " (", q(force, r.Load), ")")
		}
		return say("a block at ", q(Spot, r.At), ", ", q(Spot, r.Offset), " across (", q(force, r.Load), ")")
	}
	out.Items = append(out.Items,
		say("Two people, the table off. Stand the bed on a pair, ", rest(l.On[0]), " and ", rest(l.On[1]), ", and on a block or rocking bar under its centre line and under a web at ",
			q(Spot, l.On[2].At), " (", q(force, l.On[2].Load), "): never on three corners, over which it twists. All other feet well down, safe blocking close under the bed; level it across on the pair."))
	if len(l.Short) > 0 {
		out.Items = append(out.Items, say("The thread of ", list(l.Short), " is less than what it is raised by here: put packing under first, so that its screw has room up and down."))
	}
	if len(l.Others) == 0 {
		return out
	}
	out.Items = append(out.Items, sharing(l, force)...)
	return out
}

// sharing brings the other feet up and shares the load out in rounds.
func sharing(l *reports.Levelling, force Kind) []Text {
	out := []Text{say("Bring ", list(l.Others), " up one by one until each just takes load: it stops turning freely, and no instrument moves.")}
	for first := 0; first < len(l.Turns); {
		alike := slices.IndexFunc(l.Turns[first:], func(t reports.LevelTurn) bool { return !slices.EqualFunc(t.Moves, l.Turns[first].Moves, sameTurn) })
		if alike < 0 {
			alike = len(l.Turns) - first
		}
		out = append(out, shareWords(l, first, first+alike, force))
		first += alike
	}
	return append(out, say("The blocks are now free by some ", q(leaf, l.Clear), ": draw them out when a foil goes in. Survey the ways, look again after some days, and survey again before anything is cut."))
}

// sameTurn: nobody turns a screw differently for less than 10 nm.
func sameTurn(a, b reports.Turned) bool {
	return a.Foot == b.Foot && math.Abs(a.Raise-b.Raise) < 1e-8
}

// shareWords says what the turns from first to before after do, which move the feet alike.
func shareWords(l *reports.Levelling, first, after int, force Kind) Text {
	moves := each(l.Turns[first].Moves, func(m reports.Turned) Text { return say(m.Foot, " ", turned(m)) })
	lightest := each(l.Turns[first:after], func(t reports.LevelTurn) Text { return say(q(force, t.Lightest)) })
	which, read := fmt.Sprintf("turn %d of %d: ", first+1, len(l.Turns)), ". Read the levels again; the lightest foot should then carry "
	if after-first > 1 {
		which, read = fmt.Sprintf("turns %d to %d of %d, each: ", first+1, after, len(l.Turns)), ". Read the levels after each; the lightest foot should then carry "
	}
	return say("Share the load, ", which, joined(moves), read, joined(lightest), ".")
}

// turned writes a move shortly: "up 5° (6.9 µm)".
func turned(m reports.Turned) Text {
	word, size, kind := upOrDown(m.Raise)+" ", math.Abs(m.Raise), Height
	if size >= 1*unit.MM {
		kind = Spot
	}
	if m.Rise > 0 {
		return say(word, fmt.Sprintf("%.0f° (", size/m.Rise*360), q(kind, size), ")")
	}
	return say(word, q(kind, size))
}
