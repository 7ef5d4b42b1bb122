package shop

import (
	"errors"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"footwork/internal/sample"
)

// One bed is its own median and its own ends, to the last digit.
func TestSpreadOfOne(t *testing.T) {
	if s := sample.RangeOf([]float64{0.1}); s != (sample.Range{Value: 0.1, Low: 0.1, High: 0.1}) {
		t.Errorf("%v", s)
	}
	mid, low, high := band([]int{0}, func(int) []float64 { return []float64{1.0 / 3, -2} })
	for _, row := range [][]float64{mid, low, high} {
		if !slices.Equal(row, []float64{1.0 / 3, -2}) {
			t.Errorf("%v", row)
		}
	}
}

// Joint bounds hold all figures of new rows at once in 95 % of them, where bounds of
// each alone would not; a foot that hangs in most beds widens no other's.
func TestJointly(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	row := func() []float64 {
		out := make([]float64, 8)
		for k := range out {
			out[k] = r.NormFloat64()
		}
		out[7] = max(0, out[7]-0.5)
		return out
	}
	rows := make([][]float64, 4000)
	for i := range rows {
		rows[i] = row()
	}
	low, high := jointly(rows)
	in, tries := 0, 20_000
	for range tries {
		one := row()
		if !slices.ContainsFunc([]int{0, 1, 2, 3, 4, 5, 6, 7}, func(k int) bool { return one[k] < low[k] || one[k] > high[k] }) {
			in++
		}
	}
	if share := float64(in) / float64(tries); share < 0.935 || share > 0.96 {
		t.Errorf("%.3f of rows lie within", share)
	}
	if low[7] != 0 {
		t.Errorf("a foot that hangs carries at least %g", low[7])
	}
}

// The order of answers and the error that is told do not hang on the processors.
func TestEachKeepsItsOrder(t *testing.T) {
	first := errors.New("7")
	for _, n := range []int{1, 2, 5} {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		all := make([]int, 100)
		for i := range all {
			all[i] = i
		}
		out, err := atOnce(all, func(i int) (int, error) { return i * i, nil })
		if err != nil || out[99] != 9801 || out[31] != 961 {
			t.Error(out, err)
		}
		_, err = atOnce(all, func(i int) (int, error) {
			if i == 93 {
				return 0, errors.New("93")
			}
			if i == 7 {
				return 0, first
			}
			return i, nil
		})
		if err != first {
			t.Errorf("%v", err)
		}
	}
}

// At every station a band is what a figure's range is.
func TestBandIsTheRange(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	rows := make([][]float64, 90)
	for i := range rows {
		rows[i] = []float64{r.NormFloat64(), r.ExpFloat64(), float64(i)}
	}
	mid, low, high := band(rows, itself)
	for k := range mid {
		if want := over(rows, func(row []float64) float64 { return row[k] }); want != (sample.Range{Value: mid[k], Low: low[k], High: high[k]}) {
			t.Errorf("station %d: %g to %g about %g, as one figure %+v", k, low[k], high[k], mid[k], want)
		}
	}
}
