package doc

import (
	"strings"
	"testing"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/survey/log"
)

// A step tells what a lock nut is known to bring, and that it stops short so that a nut is
// seen; a trial for which no nut is known tells neither.
func TestCardOfANut(t *testing.T) {
	b := Bench{Setups: []log.Setup{{Name: "front way", Unit: "arcsec", One: unit.ArcSec, Sighted: true}}}
	words := func(c turn.Card) (all string) {
		for _, w := range b.Card(c).Words {
			all += w.In(unit.Metric) + " "
		}
		return strings.ReplaceAll(all, "\u00a0", " ")
	}
	c := turn.Card{Kind: turn.Step, Foot: "F2", Survey: "front way", At: 2.1, Until: 3 * unit.ArcSec, Within: 0.3 * unit.ArcSec, ByNut: 0.6 * unit.ArcSec, Part: true}
	if got := words(c); !strings.Contains(got, "its lock nut brings 0.6 arcsec more") || !strings.Contains(got, "That is part of the way") {
		t.Error(got)
	}
	c.ByNut, c.Part = 0.1*unit.ArcSec, false
	if got := words(c); strings.Contains(got, "nut") {
		t.Error(got)
	}
}
