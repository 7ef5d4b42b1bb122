package doc

import (
	"math"
	"slices"

	"footwork/internal/unit"
	"footwork/reports"
)

// levelling says how a bed that was just set down is brought onto all its feet.
func levelling(l *reports.Levelling) List {
	out := List{Title: "From nothing to a level bed, when it has just been set down", Numbered: true}
	switch {
	case l == nil:
		return out
	case l.Unsafe:
		out.Items = []Text{say("Its weight lies too near to a side to stand it on a pair and a centre block: keep it on rated blocking while its feet are set, or give it a foot nearer to its middle.")}
		return out
	case len(l.On) < 3:
		return out
	}
	force := forceOf(l.On[2].Load)
	rest := func(r reports.Rest) Text {
		if r.Foot != "" {
			return say("{} ({})", r.Foot, q(force, r.Load))
		}
		return say("a block at {spot}, {spot} across ({})", r.At, r.Offset, q(force, r.Load))
	}
	out.Items = append(out.Items,
		say("Two people, the table off. Stand the bed on a pair, {} and {}, and on a block or rocking bar under its centre line and under a web at {spot} ({}): "+
			"never on three corners, over which it twists. All other feet well down, safe blocking close under the bed; level it across on the pair.",
			rest(l.On[0]), rest(l.On[1]), l.On[2].At, q(force, l.On[2].Load)))
	if len(l.Short) > 0 {
		out.Items = append(out.Items, say("The thread of {} is less than what it is raised by here: put packing under first, so that its screw has room up and down.", list(l.Short)))
	}
	if len(l.Others) > 0 {
		out.Items = append(out.Items, sharing(l, force)...)
	}
	return out
}

// sharing brings the other feet up and shares the load out in rounds.
func sharing(l *reports.Levelling, force Kind) []Text {
	out := []Text{say("Bring {} up one by one until each just takes load: it stops turning freely, and no instrument moves.", list(l.Others))}
	for first := 0; first < len(l.Turns); {
		alike := slices.IndexFunc(l.Turns[first:], func(t reports.LevelTurn) bool { return !slices.EqualFunc(t.Moves, l.Turns[first].Moves, sameTurn) })
		if alike < 0 {
			alike = len(l.Turns) - first
		}
		out = append(out, shareWords(l, first, first+alike, force))
		first += alike
	}
	return append(out, say("The blocks are now free by some {leaf}: draw them out when a foil goes in. Survey the ways, look again after some days, and survey again before anything is cut.",
		l.Clear))
}

// sameTurn: nobody turns a screw differently for less than 10 nm.
func sameTurn(a, b reports.Turned) bool {
	return a.Foot == b.Foot && math.Abs(a.Raise-b.Raise) < 1e-8
}

// shareWords says what the turns from first to before after do, which move the feet alike.
func shareWords(l *reports.Levelling, first, after int, force Kind) Text {
	moves := each(l.Turns[first].Moves, func(m reports.Turned) Text { return say("{} {}", m.Foot, turned(m)) })
	lightest := each(l.Turns[first:after], func(t reports.LevelTurn) Text { return Text{q(force, t.Lightest)} })
	which, read := say("turn {%d} of {%d}", first+1, len(l.Turns)), "again"
	if after-first > 1 {
		which, read = say("turns {%d} to {%d} of {%d}, each", first+1, after, len(l.Turns)), "after each"
	}
	return say("Share the load, {}: {}. Read the levels {}; the lightest foot should then carry {}.", which, joined(moves), read, joined(lightest))
}

// turned writes a move shortly: "up 5° (6.9 µm)".
func turned(m reports.Turned) Text {
	size := math.Abs(m.Raise)
	high := q(pick(size >= 1*unit.MM, Spot, Height), size)
	if m.Rise > 0 {
		return say("{} {%.0f}° ({})", upOrDown(m.Raise), size/m.Rise*360, high)
	}
	return say("{} {}", upOrDown(m.Raise), high)
}
