package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
)

// said puts the levelling into sentences.
func (l *Levelling) said(units unit.System) []string {
	if l == nil {
		return nil
	}
	if l.Hindered != "" {
		return []string{l.Hindered}
	}
	most := 0.0
	for _, f := range l.First {
		most = max(most, f.Load)
	}
	force := units.Force(most)
	var on []string
	for _, f := range l.First {
		on = append(on, fmt.Sprintf("%s (%s)", f.Foot, force.Text(f.Load)))
	}
	out := []string{fmt.Sprintf("Stand the bed on %s alone, the other feet well down but with safe blocking close under the bed, and level it across on these.", strings.Join(on, ", "))}
	if len(l.Others) == 0 {
		return out
	}
	out = append(out, fmt.Sprintf("Bring %s up one by one until each just takes load: it stops turning freely, and no instrument moves.", strings.Join(l.Others, ", ")))
	for r, turn := range l.Turns {
		var moves []string
		for _, m := range turn.Moves {
			moves = append(moves, m.Foot+" "+m.said(units))
		}
		out = append(out, fmt.Sprintf("Share the load, turn %d of %d: %s. Read the levels again; the lightest foot should then carry %s.",
			r+1, len(l.Turns), strings.Join(moves, ", "), force.Text(turn.Lightest)))
	}
	return append(out, "Survey the ways, look again after some days, and survey again before anything is cut.")
}

// said writes a move shortly: "up 5° (6.9 µm)".
func (m Turned) said(units unit.System) string {
	word, size := "up", math.Abs(m.Raise)
	if m.Raise < 0 {
		word = "down"
	}
	text := units.Height().Text(size)
	if size >= 1e-3 {
		text = units.Length().Text(size)
	}
	if m.Rise > 0 {
		return fmt.Sprintf("%s %.0f° (%s)", word, size/m.Rise*360, text)
	}
	return word + " " + text
}
