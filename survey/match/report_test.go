package match

import (
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
