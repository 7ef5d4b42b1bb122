package reports

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footwork/internal/unit"
)

// A load that falls straight from 10 N to nothing over 1 m and comes back is
// under 4 N from 0.6 m to 1.4 m (similar triangles).
func TestLightRuns(t *testing.T) {
	var at, load []float64
	for i := range 21 {
		x := 0.1 * float64(i)
		at, load = append(at, x), append(load, 10*math.Abs(1-x))
	}
	runs := lightRuns(at, load, 4)
	want := []lightRun{{0.6, 0.95, "light"}, {0.95, 1.05, "off"}, {1.05, 1.4, "light"}}
	if len(runs) != len(want) {
		t.Fatalf("%v, want %v", runs, want)
	}
	for i, r := range runs {
		if math.Abs(r.from-want[i].from) > 1e-9 || math.Abs(r.to-want[i].to) > 1e-9 || r.state != want[i].state {
			t.Errorf("%v, want %v", r, want[i])
		}
	}
}

// Whatever the loads, the stretches are in order, within the stroke, and every
// place lies in one exactly when its load is under light.
func TestLightRunsCoverThePlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load := rapid.SliceOfN(rapid.Float64Range(0, 10), 1, 40).Draw(t, "load")
		at := make([]float64, len(load))
		for i := range at {
			at[i] = float64(i)
		}
		runs := lightRuns(at, load, 4)
		end := at[0]
		for _, r := range runs {
			if r.from < end || r.to < r.from || r.to > at[len(at)-1] {
				t.Fatalf("%v after %g", r, end)
			}
			end = r.to
		}
		for i, l := range load {
			under := false
			for _, r := range runs {
				under = under || r.from <= at[i] && at[i] <= r.to
			}
			if l != 4 && under != (l < 4) { // at 4 N a stretch ends
				t.Fatalf("place %d, %g N, in %v", i, l, runs)
			}
		}
	})
}

// The page draws the map when a foot goes light, and says so when none does.
func TestLightFeetOverTheStroke(t *testing.T) {
	p := fixture(t)
	for _, loads := range p.Travel.FootLoads {
		for f := range loads {
			loads[f] = 1600 + 10*float64(f)
		}
	}
	page := string(render(t, p))
	if strings.Contains(page, `id="fig-light"`) || !strings.Contains(page, "Every foot keeps its load over the whole stroke; F1 comes down to") {
		t.Error("no foot is light, and the page does not say so")
	}
	p.Travel.FootLoads[3][2] = 0
	if m := p.lightMap(); m == nil || len(m.runs[2]) == 0 || !strings.Contains(m.words().plain(unit.Metric), "F2 carries nothing from") {
		t.Errorf("the map lacks F2 without load: %v", m)
	}
	if !strings.Contains(string(render(t, p)), `id="fig-light"`) {
		t.Error("F2 carries nothing at one place, and the map is missing")
	}
}

func TestWhereTheTablePresses(t *testing.T) {
	v := Travel{TableAt: []float64{0, 0.5}, PressureX: []float64{0, 1}, Pressure: [][]float64{{1000, 1000}, {1000, 3000}}}
	if got, want := v.pressWords().plain(unit.Metric), " It presses most at 1500\u00a0mm along the bed, 3.00\u00a0N/mm on both ways together, with its left end at 500\u00a0mm: 2.0 times the mean. The ways are likely to wear there first."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
