package doc

import (
	"strings"
	"testing"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/supports"
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

// A screw with a spanner is told by its swing too; how straight the ways are now is told once
// the planner was asked, not as nothing.
func TestCardOfAnAngle(t *testing.T) {
	c := turn.Card{Kind: turn.Angle, Step: 1, Of: 1, Foot: "F2", Raise: 10e-6, By: supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3, Wrench: 0.3},
		News: &turn.News{Foot: "B2", Raised: 5e-6, SD: 1e-6}}
	s := Bench{}.Card(c)
	if got := s.Large; got != "about 2.4°, spanner end about 13\u00a0mm" {
		t.Error(got)
	}
	if got := s.News.In(unit.Metric); strings.Contains(got, "straight") {
		t.Error(got)
	}
	c.News.Zone, c.News.Low, c.News.High = 7e-6, 5e-6, 9e-6
	if got := (Bench{}).Card(c).News.In(unit.Metric); !strings.Contains(got, "7.0\u00a0µm out of straight") {
		t.Error(got)
	}
}
