package supports

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// limiting: what is not known limits a zone when its standard deviation is more
// than this share of it, or feet hang by unknown gaps, and slips of the hand do not
// explain half of it.
const limiting = 0.25

// say fills in the texts of the plan and whether doubt limits it · slips standard
// deviation of the zone, m, that slips of the hand alone leave.
func (o *outlook) say(c *Careful, feet []Adjuster, slips float64) {
	most := -1.0
	for k := range c.Moves {
		m := &c.Moves[k]
		f := o.footNamed(m.Foot)
		m.Text = turnText(*m, feet[f])
		if worth := o.hangs[f] + math.Abs(m.Raise)/1e-3; worth > most { // an unknown gap first, then the larger move
			most, c.First = worth, k
		}
	}
	gaps := slices.ContainsFunc(o.hangs, func(p float64) bool { return p > doubtful })
	c.Limited = len(c.Moves) > 0 && c.ZoneSigma > 2*slips && (gaps || c.ZoneSigma > limiting*c.Zone)
	switch {
	case len(c.Moves) == 0:
		c.Text = "leave the feet alone: no move makes the zone less than the slip of its own screw makes it more"
	case c.Limited:
		c.Text = fmt.Sprintf("what is not known limits the result to %s ± %s: make a first move, %s, and survey again before the rest",
			metric(c.Zone), metric(2*c.ZoneSigma), c.Moves[c.First].Text)
	default:
		var parts []string
		for _, m := range c.Moves {
			parts = append(parts, m.Text)
		}
		c.Text = strings.Join(parts, "; ")
	}
}

func (o *outlook) footNamed(name string) int {
	for i, f := range o.Standing.Feet {
		if f.Name == name {
			return i
		}
	}
	panic("supports: no such foot")
}

// turnText says a move in the adjuster's own terms.
func turnText(m CarefulMove, a Adjuster) string {
	how, by := "raise", metric(math.Abs(m.Raise))
	if m.Raise < 0 {
		how = "lower"
	}
	if a.Kind == Screw && a.Rise > 0 {
		by = fmt.Sprintf("%.0f° (%s)", math.Abs(m.Raise)/a.Rise*360, by)
	}
	switch {
	case m.Touch && m.Raise == 0:
		return fmt.Sprintf("raise %s until it just takes load", m.Foot)
	case m.Touch:
		return fmt.Sprintf("raise %s until it just takes load, then %s it by %s", m.Foot, how, by)
	}
	return fmt.Sprintf("%s %s by %s", how, m.Foot, by)
}
