package ride

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/beam/casting"
)

// The pressure has the weight as its sum, its resultant at the table's centre of
// weight along and across, pulls nowhere and lies on the ways.
func TestParkedTableBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := casting.Bed{Length: 4}
		for range rapid.IntRange(2, 4).Draw(t, "ways") {
			b.Ways = append(b.Ways, casting.Way{Offset: rapid.Float64Range(-1, 1).Draw(t, "y")})
		}
		table := Table{Length: rapid.Float64Range(0.5, 9).Draw(t, "length"), Weight: 1e4, Offset: rapid.Float64Range(-1, 1).Draw(t, "offset")}
		at := rapid.Float64Range(-table.Length/2+0.01, 4-table.Length/2-0.01).Draw(t, "at")
		lines, err := table.Park(b, at)
		lo, hi := 1.0, -1.0
		for _, w := range b.Ways {
			lo, hi = min(lo, w.Offset), max(hi, w.Offset)
		}
		if math.Abs(table.Offset-lo) < 1e-6 || math.Abs(table.Offset-hi) < 1e-6 {
			t.Skip("on the edge, rounding decides")
		}
		if inside := table.Offset >= lo && table.Offset <= hi; inside != (err == nil) {
			t.Fatalf("weight at %g between %g and %g: %v", table.Offset, lo, hi, err)
		}
		if err != nil {
			return
		}
		var f, fx, fy float64
		for _, q := range lines {
			if q.Start < -1e-6 || q.End < -1e-6 || q.From < -1e-12 || q.To > 4+1e-12 {
				t.Fatalf("pulls or lies off the ways: %+v", q)
			}
			p := (q.Start + q.End) / 2 * (q.To - q.From)
			f += p
			fx += p * (q.From + (q.To-q.From)*(q.Start+2*q.End)/(3*(q.Start+q.End)))
			fy += p * q.Offset
		}
		for _, c := range [][2]float64{{f, 1e4}, {fx / 1e4, at + table.Length/2}} {
			if math.Abs(c[0]-c[1]) > 1e-9*math.Max(1, math.Abs(c[1])) {
				t.Fatalf("resultant %g, want %g", c[0], c[1])
			}
		}
		if len(b.Ways) == 2 && math.Abs(fy/1e4-table.Offset) > 1e-9 {
			t.Fatalf("presses at %g across, want %g", fy/1e4, table.Offset)
		}
	})
}

func TestTableTipsAndNamesTheSide(t *testing.T) {
	b := casting.Bed{Length: 4, Ways: []casting.Way{{Offset: -0.3}, {Offset: 0.2}}}
	for _, c := range []struct {
		offset, at float64
		side       string
		over       float64
	}{
		{0, -1.1, "left end", 0.1},
		{0, 3.2, "right end", 0.2},
		{0.25, 1, "positive-offset side", 0.05},
		{-0.4, 1, "negative-offset side", 0.1},
	} {
		_, err := Table{Length: 2, Weight: 1, Offset: c.offset}.Park(b, c.at)
		var tip *beam.TipError
		if !errors.As(err, &tip) || tip.Side != c.side || math.Abs(tip.Over-c.over) > 1e-12 {
			t.Errorf("at %g, offset %g: %v", c.at, c.offset, err)
		}
	}
}

// A rigid strip on a Winkler bed: the trapezoid, W/l·(1 ± 6e/l), and beyond the
// middle third the triangle of peak 2W/3(l/2−e) (footing pressure, as in any
// foundations text).
func TestPressureOfAnOverhangingTable(t *testing.T) {
	b := casting.Bed{Length: 4, Ways: []casting.Way{{}}}
	table := Table{Length: 2, Weight: 1}
	for _, c := range []struct{ at, from, to, start, end float64 }{
		{1, 1, 3, 0.5, 0.5},
		{-0.2, 0, 1.8, 1 / 1.8 * (1 + 6*0.1/1.8), 1 / 1.8 * (1 - 6*0.1/1.8)},
		{-0.5, 0, 1.5, 4. / 3, 0},
		{-0.8, 0, 0.6, 2 / 0.6, 0},
		{2.8, 3.4, 4, 0, 2 / 0.6},
	} {
		lines, err := table.Park(b, c.at)
		if err != nil {
			t.Fatal(err)
		}
		q := lines[0]
		for i, v := range [][2]float64{{q.From, c.from}, {q.To, c.to}, {q.Start, c.start}, {q.End, c.end}} {
			if math.Abs(v[0]-v[1]) > 1e-9 {
				t.Errorf("at %g, %d: %g, want %g", c.at, i, v[0], v[1])
			}
		}
	}
}

// A single way holds a table whose weight acts within its own width and no farther; ways anywhere across share by
// the lever about their own places, not about the centre line.
func TestSharesOfWaysWhereTheyLie(t *testing.T) {
	one := []casting.Way{{Name: "only", Offset: 0.3, Width: 0.1}}
	for offset, tips := range map[float64]bool{0.3: false, 0.349: false, 0.251: false, 0.352: true, 0.248: true, 0: true} {
		_, err := Table{Offset: offset}.sharesOn(one)
		var tip *beam.TipError
		if errors.As(err, &tip) != tips {
			t.Errorf("weight at %g over a way at 0.3, 0.1 wide: %v", offset, err)
		}
		if tips && math.Abs(tip.Over-(math.Abs(offset-0.3)-0.05)) > 1e-12 {
			t.Errorf("weight at %g: %g m over", offset, tip.Over)
		}
	}
	// It presses under its own weight on a single way, on the middles of several.
	for i, ways := range [][]casting.Way{one, append(one, casting.Way{Offset: 0.4})} {
		lines, err := Table{Length: 1, Weight: 1, Offset: 0.33}.Park(casting.Bed{Length: 2, Ways: ways}, 0.5)
		if want := []float64{0.33, 0.3}[i]; err != nil || lines[0].Offset != want {
			t.Errorf("on %d ways %+v, %v: want it at %g", len(ways), lines, err, want)
		}
	}
	shares, err := Table{Offset: 0.2}.sharesOn([]casting.Way{{Offset: 0.1}, {Offset: 0.4}})
	if err != nil || math.Abs(shares[0]-2./3) > 1e-12 || math.Abs(shares[1]-1./3) > 1e-12 {
		t.Errorf("%v, %v", shares, err)
	}
	// The plane through ways off the centre line: 1 + 0.1x + 0.2y.
	x, ways := []float64{0, 1, 2}, []casting.Way{{Offset: 0.1}, {Offset: 0.4}}
	p := bestPlane(x, ways, [][]float64{{1.02, 1.12, 1.22}, {1.08, 1.18, 1.28}})
	for i, got := range []float64{p.a - 1, p.b - 0.1, p.c - 0.2} {
		if math.Abs(got) > 1e-12 {
			t.Errorf("plane %d off by %g", i, got)
		}
	}
}
