package match

import (
	"math"
	"testing"
)

// TestDiagnosis: a small set of two chains, worked by the formulas of Vehtari and others
// (Bayesian Analysis 16 (2021) 667–718) with a program of its own.
func TestDiagnosis(t *testing.T) {
	v := [][]float64{{.1, .9, -.4, 1.3, .2, -1.1, .5, .7}, {-.3, .4, 1.1, -.8, .6, 0, -.5, 1.6}}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-5 {
			t.Errorf("%s is %.6f, want %.6f", what, got, want)
		}
	}
	h := split(v)
	near("split R̂", plainRhat(h), 0.902512)
	z, _ := ranked(h)
	near("rank-normalised split R̂", plainRhat(z), 0.903453)
	near("effective size at its cap", effective(h), 16*math.Log10(16))
}

// One quantity of many that is not settled is found wherever it stands, and is judged first from then on;
// draws that lack are foretold in proportion.
func TestDiagnosisFindsTheWorst(t *testing.T) {
	list := make([][][]float64, 3)
	for k := range list {
		for c := range chains {
			v := make([]float64, 200)
			for i := range v {
				v[i] = normal(math.Mod(0.5+0.6180339887*float64(i+200*c), 1))
			}
			list[k] = append(list[k], v)
		}
	}
	worst := 0
	if d := diagnose(list, false, &worst); !d.settled() {
		t.Errorf("level draws have R̂ %.3f and a size of %.0f", d.rhat, d.ess)
	}
	worst = 0
	for i := range list[2][0] {
		list[2][0][i] += 3
	}
	for range 2 {
		if d := diagnose(list, false, &worst); d.settled() || worst != 2 {
			t.Errorf("quantity 2 is off, but %d is taken for the worst, settled %v", worst, d.settled())
		}
	}
	for _, c := range []struct {
		diagnosis
		want int
	}{{diagnosis{1.01, 350}, 40}, {diagnosis{1.01, 399}, 20}, {diagnosis{1.01, 4}, 100}, {diagnosis{1.3, 4}, 50}} {
		if n := c.more(200); n != c.want {
			t.Errorf("after 200 draws and %+v so many more: %d, want %d", c.diagnosis, n, c.want)
		}
	}
}

// A chain that lies elsewhere is seen by its mean, one that is wider by its folded values.
func TestDiagnosisSees(t *testing.T) {
	var shifted, wide [][]float64
	for c := range 4 {
		s := uint64(c + 1)
		x := 0.0
		var a, b []float64
		for i := range 250 {
			s = (1103515245*s + 12345) % (1 << 31)
			x = 0.5*x + math.Sqrt(0.75)*normal((float64(s)+.5)/(1<<31))
			if i < 50 {
				continue
			}
			a, b = append(a, x), append(b, x)
			if c == 3 {
				a[len(a)-1] += 2
				b[len(b)-1] *= 4
			}
		}
		shifted, wide = append(shifted, a), append(wide, b)
	}
	if r, _ := judge(shifted); r < 1.2 {
		t.Errorf("a chain 2 deviations off has R̂ %.3f", r)
	}
	if r := plainRhat(split(wide)); r > 1.05 {
		t.Errorf("a wide chain has a plain R̂ of %.3f", r)
	}
	if r, _ := judge(wide); r < 1.15 {
		t.Errorf("a chain four times as wide has R̂ %.3f", r)
	}
}

// normal is the inverse of the normal distribution.
func normal(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }
