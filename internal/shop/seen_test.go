package shop

import (
	"math"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports/blue"
	"footwork/survey/log"
)

// printed is a bed on three feet whose way was surveyed with its hump in the
// middle, and what was written into its log.
func printed(t *testing.T, sigma string, acts ...string) *reports.Cut {
	t.Helper()
	return cutOf(t, humped(t, sigma, acts...))
}

func humped(t *testing.T, sigma string, acts ...string) *Shop {
	t.Helper()
	text := strings.NewReplacer("WAY", "", "FLANKS", `film = "thin"`, "FEET", threeFeet, "SIGMA", sigma).Replace(longBed + surveyedHump)
	j, err := job.Read("bed.toml", []byte(text), func(name string) ([]byte, error) {
		if name == "hump.csv" {
			return []byte("x,run 1\n0,0\n250,1\n500,-1\n750,2\n1000,1\n1250,7\n1500,14\n1750,6\n2000,0\n2250,-1\n2500,1\n2750,2\n3000,0\n"), nil
		}
		return []byte("when,what,where,value,note\n" + strings.Join(acts, "")), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return Open(j)
}

const threeFeet = `[[standing.foot]]
name = "A"
at = "600 mm"
offset = "-200 mm"
height = "0 mm"
stiffness = "1 kN/µm"
[[standing.foot]]
name = "B"
at = "600 mm"
offset = "200 mm"
height = "0 mm"
stiffness = "1 kN/µm"
[[standing.foot]]
name = "C"
at = "2400 mm"
offset = "0 mm"
height = "0 mm"
stiffness = "1 kN/µm"
`

const surveyedHump = `[[survey]]
name = "front"
standing = "floor"
way = "front"
instrument = "heights"
reading = "µm"
uncertainty = "SIGMA"
file = "hump.csv"
`

// A print changes where the map runs and nothing of how far out of straight the way is said
// to be: one that leaves the top of the hump bare shortens the first pass over it, one as the
// beds make it changes nothing, and one that contradicts what is foretold stops all passes
// where it does until it was taken again.
func TestPrintsChangeTheMap(t *testing.T) {
	print := func(marks string) string { return "2026-12-01,print,front,\"edge at 750 mm: " + marks + "\",\n" }
	first := func(v *reports.Cut) float64 { return v.Ways[0].Map[0].To - v.Ways[0].Map[0].From }
	onTop, off := print("750..900 bright, 1350..1600 bright, 2100..2250 grey"), print("750..900 bright, 1350..1600 bright, 1900..2100 grey")
	none, on, bare := printed(t, "3 µm"), printed(t, "3 µm", onTop), printed(t, "3 µm", print("750..1150 bright, 1850..2250 grey"))
	for _, v := range []*reports.Cut{on, bare} {
		if v.Routes[1] != none.Routes[1] || v.Ways[0].Volume != none.Ways[0].Volume {
			t.Errorf("%v and %g m³ with a print, %v and %g without", v.Routes[1], v.Ways[0].Volume, none.Routes[1], none.Ways[0].Volume)
		}
	}
	if on.PrintsFit < 0.95 || math.Abs(first(on)-first(none)) > 0.02 { // some beds that print otherwise are left out
		t.Errorf("%g of the beds print so, the first pass is %g m, without a print %g", on.PrintsFit, first(on), first(none))
	}
	if bare.PrintsFit < fewFit || bare.PrintsFit > 0.7 || first(bare) > 0.95*first(none) {
		t.Errorf("%g of the beds leave the hump bare, the first pass over it is %g m, without a print %g", bare.PrintsFit, first(bare), first(none))
	}
	w := printed(t, "1.5 µm", off).Ways[0]
	if len(w.PrintAgain) != 1 || math.Abs(w.PrintAgain[0].From-1.9) > 1e-9 || math.Abs(w.PrintAgain[0].To-2.1) > 1e-9 {
		t.Fatalf("to be printed again at %v", w.PrintAgain)
	}
	for _, r := range w.Map {
		if r.From < 2.1-1e-9 && r.To > 1.9+1e-9 {
			t.Errorf("pass %d runs from %g to %g m", r.Pass, r.From, r.To)
		}
	}
	for _, r := range printed(t, "1.5 µm", off, strings.Replace(onTop, "750 mm", "755 mm", 1)).Ways[0].PrintAgain {
		if r.To > 1.9 {
			t.Errorf("still to be printed again at %v", r)
		}
	}
}

// Which edge of a face took colour is heard.
func TestMarksOf(t *testing.T) {
	for word, want := range map[string]blue.Across{"full": blue.Full, "inner": blue.Inner, "outer": blue.Outer} {
		if got := marksOf([]log.Mark{{From: 1, To: 2, Across: word}}); len(got) != 1 || got[0].Span != (shape.Span{From: 1, To: 2}) || got[0].Across != want {
			t.Errorf("%s: %v", word, got)
		}
	}
}

// Of beds whose hump is higher and higher a print that leaves it bare keeps those where it is
// low, also on a flank, as high square to it; what hardly any of them makes is printed again. Nothing
// is looked at beyond the bed or where a face is left out.
func TestNarrow(t *testing.T) {
	for way, square := range map[string]float64{"": 1, "shape = \"vee\"\nflanks = [\"60°\", \"60°\"]": 0.5} {
		flanks, flank := "", 0
		if way != "" {
			flanks, flank = `flanks = ["60°", "60°"]`, 1
		}
		s := longShop(t, way, flanks, "")
		var b bench
		for i := range 40 {
			hump := shape.Shape{X: []float64{0, 1.4, 1.5, 1.6, 3}, Y: []float64{0, 0, 0.2e-6 * float64(i) / square, 0, 0}}
			b.all.draws = append(b.all.draws, beam.Draw{Form: []shape.Shape{hump}})
		}
		var err error
		if b.all.stood, err = s.standAll("floor", b.all.draws, nil); err != nil {
			t.Fatal(err)
		}
		b.where = s.sideways("floor")
		prints, _ := s.printings()
		p := prints[0]
		face := p.face(0, flank)
		act := log.Act{What: log.Print, Way: "front", Master: "edge", Flank: flank*2 - 3, At: 0.75}
		act.Marks = []log.Mark{{From: 0.75, To: 1.38, Across: "full"}, {From: 1.62, To: 2.25, Across: "full"}}
		var e seen
		e.again = map[onFlank][]shape.Span{}
		s.narrow(&e, b, p, face, act)
		// Marked and bare may lie 2.5 µm of film and 1 µm of bending off the face each: 7 µm, and a little bow.
		if n := len(e.fit); n < 35 || n > 38 || e.fit[n-1] != n-1 {
			t.Errorf("%q: %d beds are kept: %v", way, n, e.fit)
		}
		for i := range b.all.draws { // all of them far too high
			b.all.draws[i].Form[0].Y[2] += 30e-6
		}
		before := len(e.fit)
		s.narrow(&e, b, p, face, act)
		again := e.again[onFlank{0, flank}]
		p.faces[face].LeaveOut = []shape.Span{{From: 0.2, To: 0.4}}
		if x, _ := s.under(b, p, face, -0.5); len(x) == 0 || x[0] < 0 || slices.ContainsFunc(x, func(x float64) bool { return x >= 0.2 && x <= 0.4 }) || x[len(x)-1] < 0.9 {
			t.Errorf("%q: looked at %v", way, x)
		}
		if len(e.fit) != before || len(e.warnings) != 1 || len(again) != 1 || again[0] != (shape.Span{From: 0.75, To: 2.25}) {
			t.Errorf("%q: %d beds, %v, again at %v", way, len(e.fit), e.warnings, again)
		}
	}
}

// A print is held beside what its own film and stroke make, and prints of several hands are
// told apart.
func TestHowAPrintWasTaken(t *testing.T) {
	m := as(blue.Master{Film: 2.5e-6, Stroke: 20e-3}, log.Act{Film: 1e-6})
	if m.Film != 1e-6 || m.Stroke != 20e-3 {
		t.Errorf("%+v", m)
	}
	acts := []log.Act{{What: log.Print, Line: 2}, {What: log.Hinge, Line: 3, By: "day"}, {What: log.Print, Line: 4, By: "night"}, {What: log.Print, Line: 5}}
	got := otherHands(acts)
	if len(got) != 1 || !slices.Equal(got[0].(reports.OtherHands).Lines, []int{2, 4}) {
		t.Errorf("%v", got)
	}
	if got := otherHands(acts[2:3]); got != nil {
		t.Errorf("of one hand %v", got)
	}
}

// A hinge is a hint where every bed foretells it elsewhere by more than a sixth of the master,
// at either end; a place that is written as a length is a share of the master's.
func TestHingeUnlike(t *testing.T) {
	type swing = struct{ Share, Length float64 }
	p := printing{name: "edge", master: blue.Master{Length: 1.5}}
	steps := []blue.Step{{Hinge: [2]float64{0.3, 0.3}}, {Hinge: [2]float64{0.1, 0.3}}}
	for _, c := range []struct {
		left, right swing
		unlike      bool
	}{
		{swing{Share: 1. / 3}, swing{Share: 1. / 3}, false}, {swing{Share: 0}, swing{Share: 1. / 3}, false},
		{swing{Share: 0.5}, swing{Share: 1. / 3}, true}, {swing{Share: 1. / 3}, swing{Share: 0}, true},
		{swing{Length: 0.45}, swing{Length: 0.5}, false}, {swing{Length: 0.45}, swing{Length: 0.75}, true},
	} {
		got := hingeSeen(p, log.Act{Line: 4, Way: "front", Swings: [2]swing{c.left, c.right}}, steps)
		if (len(got) > 0) != c.unlike {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
