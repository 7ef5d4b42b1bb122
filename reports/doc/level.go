package doc

import (
	"fmt"
	"math"

	"footwork/internal/unit"
	"footwork/reports"
)

// levelling says how a bed that was just set down is brought onto all its feet.
func levelling(l *reports.Levelling) List {
	out := List{Title: "From nothing to a level bed, when it has just been set down", Numbered: true}
	if l == nil {
		return out
	}
	if l.Hindered != "" {
		out.Items = []Text{say(l.Hindered)}
		return out
	}
	most := 0.0
	var on []Text
	for _, f := range l.First {
		most = max(most, f.Load)
	}
	force := forceOf(most)
	for _, f := range l.First {
		on = append(on, say(f.Foot, " (", q(force, f.Load), ")"))
	}
	out.Items = append(out.Items, say("Stand the bed on ", joined(on), " alone, the other feet well down but with safe blocking close under the bed, and level it across on these."))
	if len(l.Others) == 0 {
		return out
	}
	out.Items = append(out.Items, say("Bring ", list(l.Others), " up one by one until each just takes load: it stops turning freely, and no instrument moves."))
	for r, turn := range l.Turns {
		var moves []Text
		for _, m := range turn.Moves {
			moves = append(moves, say(m.Foot, " ", turned(m)))
		}
		out.Items = append(out.Items, say(fmt.Sprintf("Share the load, turn %d of %d: ", r+1, len(l.Turns)), joined(moves),
			". Read the levels again; the lightest foot should then carry ", q(force, turn.Lightest), "."))
	}
	out.Items = append(out.Items, say("Survey the ways, look again after some days, and survey again before anything is cut."))
	return out
}

// turned writes a move shortly: "up 5° (6.9 µm)".
func turned(m reports.Turned) Text {
	word, size, kind := "up ", math.Abs(m.Raise), Height
	if m.Raise < 0 {
		word = "down "
	}
	if size >= 1*unit.MM {
		kind = Spot
	}
	if m.Rise > 0 {
		return say(word, fmt.Sprintf("%.0f° (", size/m.Rise*360), q(kind, size), ")")
	}
	return say(word, q(kind, size))
}
