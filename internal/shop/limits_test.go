package shop

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
	"footwork/survey/log"
	"footwork/survey/match"
)

// What a section leaves open is told from its limit on, and of a box what concerns a box.
func TestWhatAStretchLeavesOpen(t *testing.T) {
	deep := casting.Section{Depth: 0.5}
	for _, c := range []struct {
		of   casting.Stretch
		want []reports.DoubtKind
	}{
		{casting.Stretch{Section: deep, Bare: 1.99, Skew: 0.049}, nil},
		{casting.Stretch{Section: deep, Bare: 2.01, Cells: 1}, []reports.DoubtKind{reports.BoxBare}},
		{casting.Stretch{Section: deep, Skew: 0.051}, []reports.DoubtKind{reports.Lopsided}},
		{casting.Stretch{Section: deep, Unribbed: true}, []reports.DoubtKind{reports.OpenUnribbed}},
		{casting.Stretch{Section: deep, Unribbed: true, Cells: 2}, []reports.DoubtKind{reports.BoxUnribbed}},
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

// What was read before feet were moved is brought up by what the moves did: a tilt of all feet by
// those at the back, which is 480 mm wide, only tilts the bed, each way as far as it lies across,
// and the level across reads it everywhere.
func TestBroughtUpByATilt(t *testing.T) {
	const up = 48e-6
	s, _, m := believed(t, func(text string) string { return text })
	v, err := s.solver("shop floor")
	if err != nil {
		t.Fatal(err)
	}
	back := each([]string{"B1", "B2"}, func(foot string) log.Entry {
		return log.Entry{Act: log.Act{What: log.Turn, Standing: "shop floor", Foot: foot, Value: up}}
	})
	var now beam.Case
	for _, f := range m.standing.Feet {
		now.Heights = append(now.Heights, map[bool]float64{true: up}[f.Offset > 0])
	}
	before := each(m.readings, func(r survey.Record) []float64 { return r.Height })
	cross := m.cross.Height
	if err := m.add(v, now, [][]log.Entry{back, back, back}); err != nil {
		t.Fatal(err)
	}
	for i, r := range m.readings {
		want := up * (m.ways[i].Offset + 0.24) / 0.48
		for k, h := range minus(r.Height, before[i]) {
			if math.Abs(h-want) > 1e-9 {
				t.Errorf("%s at %g m rose by %g m, want %g", m.ways[i].Name, r.X[k], h, want)
			}
		}
	}
	for k, slope := range minus(m.cross.Height, cross) {
		if math.Abs(slope-up/0.48) > 1e-9 {
			t.Errorf("across at %g m it turned by %g, want %g", m.cross.X[k], slope, up/0.48)
		}
	}
}

// A screw is turned to two degrees either way, anything within alike, and an indicator shows the
// nearest of its divisions: half widths over √3 (JCGM 100, 4.3.7 and F.2.2.1); leaves are known to
// two micrometres (common practice, no source).
func TestHowWellAHandMoves(t *testing.T) {
	for a, want := range map[supports.Adjuster]float64{{Kind: supports.Screw, Rise: 1.5e-3}: 1.5e-3 * 2 / 360 / math.Sqrt(3), {Kind: supports.Shim}: 2e-6} {
		if got := moveSD(a); math.Abs(got-want) > 1e-12 {
			t.Errorf("%+v: %g m, want %g", a, got, want)
		}
	}
	s, _, m := believed(t, func(text string) string { return text })
	s.Goal.Indicator = 1e-6
	k := &task{read: m}
	k.Goal = s.goal()
	s.instruments(k)
	if in := k.Instruments[len(k.Instruments)-1]; in.Name != reports.Indicator || math.Abs(in.Noise-0.5e-6/math.Sqrt(3)) > 1e-15 {
		t.Errorf("%+v", in)
	}
	for _, in := range k.Instruments[:len(k.Instruments)-1] { // in the minutes of a step a collimator's zero creeps as one reading scatters
		if sighted := in.Name == "front way"; sighted != (in.Drift > 0) || sighted && in.Drift != in.Noise {
			t.Errorf("%+v", in)
		}
	}
}

// Thread that is used up one way is there the other way.
func TestThreadThatIsLeft(t *testing.T) {
	s, _, _ := believed(t, func(text string) string {
		return strings.Replace(text, "name = \"F2\"\n", "name = \"F2\"\nleft = { up = \"5 mm\", down = \"10 µm\" }\n", 1)
	})
	st, _ := s.Standing("shop floor")
	if left := s.adjusters(st)[1].Left; math.Abs(left.Up-5.02e-3) > 1e-12 || left.Down != 0 { // it was let down by 20 µm
		t.Errorf("%+v", left)
	}
}

// Bolts are tightened from the middle outwards, each foot across from the one before.
func TestCrosswise(t *testing.T) {
	var st job.Standing
	for _, x := range []float64{0, 1, 2, 3} {
		for _, y := range []float64{-1, 1} {
			st.Feet = append(st.Feet, beam.Foot{Name: fmt.Sprint(x, " ", y), At: x, Offset: y})
		}
	}
	got := each(crosswise(st), func(i int) string { return st.Feet[i].Name })
	if want := []string{"1 1", "2 -1", "1 -1", "2 1", "0 1", "3 -1", "0 -1", "3 1"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// The distance of two vees reads the same whichever of them was read against the other.
func TestApartEitherWay(t *testing.T) {
	of := func(way, against string) *Shop {
		r := survey.Record{Survey: survey.Survey{Standing: "floor", Way: way, Against: against}, Profile: survey.Profile{X: []float64{0, 1}, Height: []float64{0, 5e-6}}}
		j := &job.Job{Bed: casting.Bed{Ways: []casting.Way{{Name: "front", Offset: -0.2}, {Name: "back", Offset: 0.2}}}}
		return &Shop{Job: j, Records: func() []survey.Record { return []survey.Record{r} }}
	}
	for _, s := range []*Shop{of("front", "back"), of("back", "front")} {
		if got := s.apart("floor", 0, 1); got.Y[1] != 5e-6 { // further apart is further towards positive offset
			t.Errorf("%v", got.Y)
		}
	}
}

// A foot most likely hangs that carries on fewer than half of the beds.
func TestWhenAFootHangs(t *testing.T) {
	for lifted, want := range map[int]bool{2: false, 3: true} {
		all := make([]stood, 5)
		for i := range all {
			all[i].feet = []beam.FootState{{Foot: beam.Foot{Name: "F1"}, Lifted: i < lifted}}
		}
		if got := footLoads(all)[0]; got.Lifted != want || math.Abs(got.Carries-1+float64(lifted)/5) > 1e-12 {
			t.Errorf("lifted on %d of 5: %+v", lifted, got)
		}
	}
}

// Metal is in doubt that may be a third of what was measured.
func TestMetalInDoubt(t *testing.T) {
	for high, want := range map[float64]bool{3.1e-6: true, 2.9e-6: false} {
		var s Shop
		m := match.Result{Zone: 9e-6}
		m.Shares[match.OfMetal].High = high
		if _, err := s.known.get("floor", func() (known, error) { return known{matched: m}, nil }); err != nil || s.metalInDoubt("floor") != want {
			t.Errorf("%g of 9e-6: %v", high, !want)
		}
	}
}

// Feet of which each has its own ± spread by a factor of e to the mean of their relative ones;
// where one has none, as the floor does.
func TestSpreadOfFeet(t *testing.T) {
	all := []string{`"0.9 kN/µm"`, `"0.9 kN/µm ± 0.18 kN/µm"`, `"rigid"` + "\nadjust", `"1 kN/µm ± 0.1 kN/µm"` + "\nadjust", `"900 kN/mm"`, `"900 kN/mm ± 90 kN/mm"`}
	for n, want := range map[int]float64{6: math.Exp(0.15), 4: 1.7} {
		_, in, _ := believed(t, func(text string) string {
			return strings.NewReplacer(append(all[:n:n], "stiffness_factor = 3", "stiffness_factor = 1.7")...).Replace(text)
		})
		if got := in.Standings[in.Asked].Factor; math.Abs(got-want) > 1e-9 {
			t.Errorf("%g, want %g", got, want)
		}
	}
}

// The feet to be tried on the page are light under the same load as in its pictures: a tenth of the mean where
// nobody asks for more.
func TestLightWhereTried(t *testing.T) {
	text, err := os.ReadFile("../../testdata/jobs/plain/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read("job.toml", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		goal  *supports.Goal
		share float64
	}{{nil, 0.1}, {&supports.Goal{}, 0.1}, {&supports.Goal{LeastLoad: 0.3}, 0.3}} {
		j.Goal = c.goal
		got, err := Open(j).try(j.Standings[0])
		if want := c.share * got.B[0] / float64(len(got.Feet)); err != nil || math.Abs(got.LeastLoad-want) > 1e-6*want {
			t.Errorf("%+v: %g N, not %g; %v", c.goal, got.LeastLoad, want, err)
		}
	}
}
