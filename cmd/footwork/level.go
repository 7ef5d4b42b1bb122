package main

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/job"
	"footwork/supports"
)

// levelling puts into sentences how a bed that was just set down is brought onto
// all its feet; none when its feet do not allow it.
func (s *shop) levelling(st job.Standing) []string {
	v, err := s.solver(st.Name)
	if err != nil || len(st.Bearings) > 0 {
		return nil
	}
	l, err := supports.Level(v, st.Standing)
	if err != nil {
		return []string{err.Error()}
	}
	var on, others []string
	force := s.units.Force(most(l.Loads))
	for _, i := range l.Three {
		on = append(on, fmt.Sprintf("%s (%s)", st.Feet[i].Name, force.Text(l.Loads[i])))
	}
	for i, f := range st.Feet {
		if i != l.Three[0] && i != l.Three[1] && i != l.Three[2] {
			others = append(others, f.Name)
		}
	}
	out := []string{
		fmt.Sprintf("Stand the bed on %s alone, the other feet well down but with safe blocking close under the bed, and level it across on these.", strings.Join(on, ", ")),
	}
	if len(others) == 0 {
		return out
	}
	out = append(out, fmt.Sprintf("Bring %s up one by one until each just takes load: it stops turning freely, and no instrument moves.", strings.Join(others, ", ")))
	for r, turn := range l.Turns {
		var moves []string
		least := math.Inf(1)
		for i, raise := range turn.Raise {
			if math.Abs(raise) > telling {
				moves = append(moves, st.Feet[i].Name+" "+s.turned(st.Adjusters[i], raise))
			}
			least = min(least, turn.Loads[i])
		}
		out = append(out, fmt.Sprintf("Share the load, turn %d of %d: %s. Read the levels again; the lightest foot should then carry %s.",
			r+1, len(l.Turns), strings.Join(moves, ", "), force.Text(least)))
	}
	return append(out, "Survey the ways, look again after some days, and survey again before anything is cut.")
}

// telling is the least raise that a person is asked for, m.
const telling = 0.5e-6

// turned writes a move shortly: "up 5° (6.9 µm)".
func (s *shop) turned(a supports.Adjuster, raise float64) string {
	word := "up"
	if raise < 0 {
		word = "down"
	}
	size := s.amount(math.Abs(raise))
	if a.Kind == supports.Screw {
		return fmt.Sprintf("%s %.0f° (%s)", word, math.Abs(raise)/a.Rise*360, size)
	}
	return word + " " + size
}

func most(v []float64) (m float64) {
	for _, x := range v {
		m = max(m, x)
	}
	return m
}
