package beam

import (
	"fmt"
	"math"
)

// TipError says that no set of pushing supports balances the bed, and which
// way it falls.
type TipError struct {
	Side string  // "left end", "right end", "positive-offset side" or "negative-offset side"
	Over float64 // m, by how much the weight's line stands beyond the supports
}

func (e *TipError) Error() string {
	return fmt.Sprintf("the bed would tip: its weight acts %.0f mm beyond its supports towards the %s; put a foot there, or hold one down (held = true) elsewhere", e.Over*1e3, e.Side)
}

// tips finds the side on which the weight lies outside all supports: of the
// directions in which it lies beyond every one of them, the one in which it
// lies farthest.
func (p *contact) tips() *TipError {
	x, y := p.b[1]/p.b[0], p.b[2]/p.b[0]
	best, dx, dy := math.Inf(-1), 0.0, 0.0
	for i := range 3600 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 3600)
		over := math.Inf(1)
		for _, e := range p.e {
			over = min(over, c*(x-e[1])+s*(y-e[2]))
		}
		if over > best {
			best, dx, dy = over, c, s
		}
	}
	e := &TipError{Over: max(best, 0)}
	switch {
	case math.Abs(dx) >= math.Abs(dy) && dx > 0:
		e.Side = "right end"
	case math.Abs(dx) >= math.Abs(dy):
		e.Side = "left end"
	case dy > 0:
		e.Side = "positive-offset side"
	default:
		e.Side = "negative-offset side"
	}
	return e
}
