package match

import (
	"math"
	"testing"

	"footwork/beam"
)

// A foot's neighbours are the nearest that carry in its row; one at an end has none.
func TestBetween(t *testing.T) {
	var feet []beam.Foot // front and back by turns
	for i := range 8 {
		feet = append(feet, beam.Foot{At: float64(i/2) * 1.1, Offset: float64(i%2) * 0.6})
	}
	ref := []int{0, 1, 3, 4, 5, 6, 7} // the second of the front hangs
	for foot, want := range map[int][2]int{0: {-1, -1}, 2: {0, 4}, 4: {0, 6}, 3: {1, 5}, 7: {-1, -1}} {
		if got := between(feet, ref, foot); got != want {
			t.Errorf("foot %d stands between %v, not %v", foot, got, want)
		}
	}
	m := &model{}
	p := &point{bed: bed{heights: []float64{0, 0, 5, 0, 3, 0, 3, 0}}}
	if h := m.overLine(feet, 4, [2]int{0, 6})(p); h < 0.999 || h > 1.001 {
		t.Errorf("a foot 3 high between feet 0 and 3 high at two thirds stands %g over their line, not 1", h)
	}
}

// An estimate is the median with the ends of the middle 95 %: of 1 to 100 in any order, 0.025 and 0.975 of 101;
// it is told where three tenths were taken off the prior's deviation, of 29.0 beyond 41.4.
func TestEstimate(t *testing.T) {
	var v []float64
	for i := range 100 {
		v = append(v, float64(1+i*37%100))
	}
	for prior, told := range map[float64]bool{41: false, 42: true} {
		if got := estimate(v, prior); math.Abs(got.Low-2.525)+math.Abs(got.High-98.475) > 1e-9 || got.Value != 50.5 || got.Told != told {
			t.Errorf("of 1 to 100, %g before: %+v", prior, got)
		}
	}
}

// A slope answers as the heights at its ends do, and one across as those of two ways.
func TestTaps(t *testing.T) {
	m := example(t, false)
	s := m.states[0]
	check := func(what string, slope, to, from answer, apart float64) {
		for i := range slope.bent {
			for _, v := range [][3]float64{{slope.bent[i], to.bent[i], from.bent[i]}, {slope.twisted[i], to.twisted[i], from.twisted[i]}, {slope.loaded, to.loaded, from.loaded},
				{slope.turned, to.turned, from.turned}, {slope.bowed, to.bowed, from.bowed}} {
				if want := (v[1] - v[2]) / apart; math.Abs(v[0]-want) > 1e-9*max(math.Abs(v[1]), math.Abs(v[2])) {
					t.Fatalf("%s answers with %g, its ends with %g", what, v[0], want)
				}
			}
		}
	}
	at := func(way int, x, base float64) answer { return m.answer(s, spot{0, way, x, base}) }
	check("a slope", at(0, 0.5, 0.2), at(0, 0.7, 0), at(0, 0.5, 0), 0.2)
	ways := m.in.Bed.Ways
	check("a slope across", at(-1, 0.5, 0), at(1, 0.5, 0), at(0, 0.5, 0), ways[1].Offset-ways[0].Offset)
}
