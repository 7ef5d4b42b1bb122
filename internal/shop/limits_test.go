package shop

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/reports"
	"footwork/survey"
	"footwork/survey/log"
	"footwork/survey/match"
)

// What a section leaves open is told from its limit on, and of a box what concerns a box.
func TestWhatAStretchLeavesOpen(t *testing.T) {
	deep := beam.Section{Depth: 0.5}
	for _, c := range []struct {
		of   beam.Stretch
		want []reports.DoubtKind
	}{
		{beam.Stretch{Section: deep, Bare: 1.99, Skew: 0.049}, nil},
		{beam.Stretch{Section: deep, Bare: 2.01, Cells: 1}, []reports.DoubtKind{reports.BoxBare}},
		{beam.Stretch{Section: deep, Skew: 0.051}, []reports.DoubtKind{reports.Lopsided}},
		{beam.Stretch{Section: deep, Unribbed: true}, []reports.DoubtKind{reports.OpenUnribbed}},
		{beam.Stretch{Section: deep, Unribbed: true, Cells: 2}, []reports.DoubtKind{reports.BoxUnribbed}},
	} {
		if got := each(stretchDoubts(c.of), func(d reports.CheckDoubt) reports.DoubtKind { return d.Kind }); !slices.Equal(got, c.want) {
			t.Errorf("%+v: %v, want %v", c.of, got, c.want)
		}
	}
}

// A prism lies on a vee of its own angles to a degree, whichever end points left.
func TestPrismOnItsVee(t *testing.T) {
	const degree = math.Pi / 180
	vee := [2]float64{30 * degree, 60 * degree}
	for _, c := range []struct {
		prism, as [2]float64
		fits      bool
	}{{[2]float64{30, 60}, [2]float64{30, 60}, true}, {[2]float64{60, 30}, [2]float64{30, 60}, true}, {[2]float64{30.9, 59.1}, [2]float64{30.9, 59.1}, true},
		{[2]float64{30, 61.1}, [2]float64{30, 61.1}, false}, {[2]float64{45, 45}, [2]float64{45, 45}, false}} {
		own, fits := asLaid([2]float64{c.prism[0] * degree, c.prism[1] * degree}, vee)
		if fits != c.fits || math.Abs(own[0]/degree-c.as[0]) > 1e-9 || math.Abs(own[1]/degree-c.as[1]) > 1e-9 {
			t.Errorf("%v: lies as %v, fits %v", c.prism, own, fits)
		}
	}
}

// Every command repeats what makes a profile wrong most likely: runs that scatter ten times as
// much as their uncertainty, and none that scatter less.
func TestGraveWarnings(t *testing.T) {
	for w, want := range map[survey.Warning]bool{
		{Kind: survey.Scattered, Size: 10.1, Other: 1}: true, {Kind: survey.Scattered, Size: 9.9, Other: 1}: false,
		{Kind: survey.TurnedSign}: true, {Kind: survey.Drifted}: false,
	} {
		if isGrave(w) != want {
			t.Errorf("%+v: %v", w, !want)
		}
	}
}

// A gradient that is only said is known to half a kelvin, as help has it, a measured one to a
// tenth where nobody says better; one a standing, day and value.
func TestHeats(t *testing.T) {
	s, in, _ := believed(t, func(text string) string { return text })
	k := in.Asked
	d := diary{Shop: s}
	said, own := s.Standings[k].Gradient, 0.3
	day := func(day string, measured *log.Act) log.Entry {
		return log.Entry{Act: log.Act{When: log.Moment{Day: day}}, In: s.StandingNames()[k], Heat: measured}
	}
	warm := &log.Act{Value: 0.7, Sigma: 0.04}
	order := []int{d.heat(day("2026-03-01", nil), nil, 0), d.heat(day("2026-03-01", nil), &own, 0), d.heat(day("2026-03-02", warm), nil, 0),
		d.heat(day("2026-03-02", warm), &own, 0.2), d.heat(day("2026-03-01", nil), nil, 0), d.heat(day("2026-03-03", nil), nil, 0)}
	want := []match.Heat{{Mean: said, SD: 0.5}, {Mean: own, SD: 0.1}, {Mean: 0.7, SD: 0.04}, {Mean: own, SD: 0.2}, {Mean: said, SD: 0.5}}
	if fmt.Sprint(d.in.Heats) != fmt.Sprint(want) || !slices.Equal(order, []int{0, 1, 2, 3, 0, 4}) {
		t.Errorf("%v, want %v; %v", d.in.Heats, want, order)
	}
}
