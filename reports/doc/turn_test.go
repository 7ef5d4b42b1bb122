package doc

import (
	"strings"
	"testing"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
)

// A step tells what a lock nut is known to bring, and that it stops short so that a nut is
// seen; a trial for which no nut is known tells neither.
func TestCardOfANut(t *testing.T) {
	b := Bench{Setups: []survey.Survey{{Name: "front way", Unit: "arcsec", Scale: unit.ArcSec, Instrument: survey.Autocollimator}}}
	words := func(c turn.Card) (all string) {
		for _, w := range b.Card(c).Words {
			all += w.In(unit.Metric) + " "
		}
		return strings.ReplaceAll(all, "\u00a0", " ")
	}
	c := turn.Card{Kind: turn.Step, Foot: "F2", Survey: "front way", At: 2.1, Until: 3 * unit.ArcSec, Within: 0.3 * unit.ArcSec, ByNut: 0.6 * unit.ArcSec, Part: true}
	if got := words(c); !strings.Contains(got, "its lock nut then brings it to 3.6 arcsec") || !strings.Contains(got, "That is part of the way") {
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

// A turn of a quarter of a millimetre is followed by a rest, at the bed as on the sheet; what all
// turns did since the survey is told when it is over, and too many of them as what they are.
func TestCardOfARest(t *testing.T) {
	words := func(c turn.Card) (all string) {
		s := Bench{}.Card(c)
		for _, w := range append(s.Words, s.Head) {
			all += w.In(unit.Metric) + " "
		}
		return strings.ReplaceAll(all, "\u00a0", " ")
	}
	if got := words(turn.Card{Kind: turn.Angle, Foot: "F2", Raise: turn.AtOnce, Settle: true}); !strings.Contains(got, "let the bed settle") {
		t.Error(got)
	}
	if got := words(turn.Card{Kind: turn.Touch, Foot: "F2", Down: true}); !strings.Contains(got, "let it down until it turns freely, then raise it until it nips") || strings.Contains(got, "solid") {
		t.Error(got)
	}
	if got := words(turn.Card{Kind: turn.Two, Foot: "F2", Down: true}); !strings.Contains(got, "To let F2 down needs two people") {
		t.Error(got)
	}
	if got := words(turn.Card{Kind: turn.Step, Foot: "F2", Raise: -4e-6, Lightened: "F3"}); !strings.Contains(got, "F3 went light: that lets it carry") {
		t.Error(got)
	}
	row := job{&reports.Page{}}.visit(reports.Step{Foot: "F2", Raise: 2 * turn.AtOnce, Loads: []reports.NamedLoad{{Foot: "F2"}}})
	if got := row.Feel.In(unit.Metric); !strings.Contains(got, "at once, then let it settle") {
		t.Error(got)
	}
	if got := (job{&reports.Page{}}).visit(reports.Step{Foot: "F2", Touch: true}).Do.In(unit.Metric); got != "to touch" {
		t.Error(got)
	}
	if got := words(turn.Card{Kind: turn.Resurvey, Surveys: []string{"back way"}}); !strings.Contains(got, "Survey back way too") {
		t.Error(got)
	}
	c := turn.Card{Kind: turn.Resurvey, Surveys: []string{"front way"}, Now: 9e-6, Came: []turn.News{{Foot: "F1", Raised: 12e-6, SD: 1e-6}, {Foot: "B2", Raised: -3e-6, SD: 2e-6}}}
	if got := words(c); !strings.Contains(got, "After so many turns only a survey tells more") || !strings.Contains(got, "F1 came up 12.0 µm ± 2.0 µm and B2 came down 3.0 µm ± 4.0 µm") {
		t.Error(got)
	}
	if c.Few = true; !strings.Contains(words(c), "Hardly any bed that the last survey left possible reads as was read since, so only a survey tells more") {
		t.Error(words(c))
	}
	if c.Known = 4e-6; !strings.Contains(words(c), "to about 4.0 µm") {
		t.Error(words(c))
	}
}
