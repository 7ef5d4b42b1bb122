package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The whole way from a job file to the printed JSON, held against closed forms
// and published figures.

// bar is a rectangular steel bar on pairs of rigid feet.
type bar struct {
	length, width, height float64   // m
	feet                  []float64 // m, a pair at each
	gradient              float64   // K, top minus bottom
}

// Steel, as the job file below says it.
const (
	barE, barG, barDensity, barAlpha = 200e9, 80e9, 8000.0, 11e-6
	standardGravity                  = 9.80665 // m/s², ISO 80000-3
)

func (b bar) line() float64  { return barDensity * standardGravity * b.width * b.height } // N/m
func (b bar) ei() float64    { return barE * b.width * math.Pow(b.height, 3) / 12 }
func (b bar) kga() float64   { return barG * b.width * b.height * 5 / 6 }
func (b bar) curve() float64 { return barAlpha * b.gradient / b.height } // free curvature, 1/m

// phi is the share of shear in a span: Φ = 12EI/κGAl².
func (b bar) phi(span float64) float64 { return 12 * b.ei() / (b.kga() * span * span) }

func mm(v float64) string { return fmt.Sprintf("\"%.9g mm\"", v*1e3) }

func (b bar) job() string {
	var s strings.Builder
	fmt.Fprintf(&s, "[bed]\nlength = %s\nmodulus = \"200 GPa\"\nshear_modulus = \"80 GPa\"\ndensity = \"8000 kg/m3\"\nexpansion = \"11e-6 /K\"\n", mm(b.length))
	// by its constants: what a block of plates gives over its feet is in no table of bars
	fmt.Fprintf(&s, "[[bed.section]]\nfrom = \"0 mm\"\nto = %s\narea = \"%.17g m2\"\ninertia = \"%.17g m4\"\nshear_area = \"%.17g m2\"\ntorsion = \"%.17g m4\"\ndepth = %s\n",
		mm(b.length), b.width*b.height, b.width*math.Pow(b.height, 3)/12, 5./6*b.width*b.height, b.width*math.Pow(b.height, 3)/3, mm(b.height))
	fmt.Fprintf(&s, "[[way]]\nname = \"top\"\noffset = \"0 mm\"\n[[standing]]\nname = \"bench\"\ngradient = \"%g K\"\n", b.gradient)
	for i, x := range b.feet {
		for _, side := range []string{"-20", "20"} {
			fmt.Fprintf(&s, "[[standing.foot]]\nname = \"%d at %s\"\nat = %s\noffset = \"%s mm\"\nstiffness = \"rigid\"\n", i+1, side, mm(x), side)
		}
	}
	return s.String()
}

// sagged is the part of sag's JSON that is looked at here.
type sagged struct {
	X      []float64
	Weight float64
	Ways   []struct{ Height []float64 }
	Feet   []struct{ Load float64 }
}

// answer runs a command with --json on a job and the files beside it.
func answer(t testing.TB, into any, command, job string, files map[string]string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		write(t, filepath.Join(dir, name), text)
	}
	file := filepath.Join(dir, "job.toml")
	write(t, file, job)
	var out, notes bytes.Buffer
	if code := run([]string{command, file, "--json"}, &out, &notes); code != exitDone {
		t.Fatalf("%s ended with %d: %s", command, code, &notes)
	}
	if err := json.Unmarshal(out.Bytes(), into); err != nil {
		t.Fatal(err)
	}
}

func write(t testing.TB, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// sag returns how the bar stands. Its feet always carry its weight.
func (b bar) sag(t testing.TB) sagged {
	t.Helper()
	var v struct{ Standings []sagged }
	answer(t, &v, "sag", b.job(), nil)
	s := v.Standings[0]
	var sum float64
	for _, f := range s.Feet {
		sum += f.Load
	}
	near(t, "weight", s.Weight, b.line()*b.length, 1e-9*s.Weight)
	near(t, "sum of the loads", sum, s.Weight, 1e-9*s.Weight)
	return s
}

// pairs returns the load of each pair of feet.
func (s sagged) pairs() (n []float64) {
	for i := 0; i < len(s.Feet); i += 2 {
		n = append(n, s.Feet[i].Load+s.Feet[i+1].Load)
	}
	return n
}

// height returns the way's height at x, which must be a station.
func (s sagged) height(t testing.TB, x float64) float64 {
	t.Helper()
	for i := range s.X {
		if math.Abs(s.X[i]-x) < 1e-9 {
			return s.Ways[0].Height[i]
		}
	}
	t.Fatalf("%g m is no station", x)
	return 0
}

func near(t testing.TB, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.9g, not %.9g", what, got, want)
	}
}

// A bar on two pairs with overhangs: centre wl²(5l²−24c²)/384EI, end
// wc(3c²(c+2l)−l³)/24EI (AISC Manual, overhanging beam, from memory) and the
// shear wl²/8κGA and wc²/2κGA. The model's own error is bounded by 1e-5.
func TestBarOnTwoPairs(t *testing.T) {
	for name, spacing := range map[string]float64{
		"ends": 1, "Airy": 1 / math.Sqrt(3), "Bessel": 0.559380, "least sag": 0.553702, "level centre": 0.522774,
	} {
		t.Run(name, func(t *testing.T) {
			b := bar{length: 2, width: 0.05, height: 0.1}
			l := spacing * b.length
			c := (b.length - l) / 2
			b.feet = []float64{c, c + l}
			s := b.sag(t)
			w := b.line()
			centre := w*l*l*(5*l*l-24*c*c)/(384*b.ei()) + w*l*l/(8*b.kga())
			end := w*c*(3*c*c*(c+2*l)-l*l*l)/(24*b.ei()) + w*c*c/(2*b.kga())
			scale := 5*w*math.Pow(l, 4)/(384*b.ei()) + w*l*l/(8*b.kga())
			near(t, "centre", s.height(t, b.length/2), -centre, 1e-5*scale)
			near(t, "left end", s.height(t, 0), -end, 1e-5*scale)
			near(t, "right end", s.height(t, b.length), -end, 1e-5*scale)
		})
	}
}

// On feet L/√3 apart the end faces are parallel: the axis is level at the ends
// (Airy, Mem. R. Astron. Soc. 15, 1846). Shear leaves that alone, as no force
// passes the end.
func TestAiryEndsAreLevel(t *testing.T) {
	b := bar{length: 2, width: 0.05, height: 0.1}
	c := b.length * (1 - 1/math.Sqrt(3)) / 2
	b.feet = []float64{c, b.length - c}
	s := b.sag(t)
	n := len(s.X) - 1
	slope := (s.Ways[0].Height[n] - s.Ways[0].Height[n-1]) / (s.X[n] - s.X[n-1])
	near(t, "slope of the end", slope, 0, 1e-4*b.line()*math.Pow(b.length, 3)/(24*b.ei()))
}

// Reactions of equal spans under uniform load (Hicks, Civil Engineering
// Formulas, Table 2.1). The bar is slender: Φ is 5e-5 and shifts the loads by
// about Φ/16 of one.
func TestBarOnThreeToSixPairs(t *testing.T) {
	for spans, table := range map[int][]float64{
		2: {3. / 8, 10. / 8, 3. / 8},
		3: {4. / 10, 11. / 10, 11. / 10, 4. / 10},
		4: {11. / 28, 32. / 28, 26. / 28, 32. / 28, 11. / 28},
		5: {15. / 38, 43. / 38, 37. / 38, 37. / 38, 43. / 38, 15. / 38},
	} {
		t.Run(fmt.Sprint(spans, " spans"), func(t *testing.T) {
			b := bar{length: 0.5 * float64(spans), width: 0.05, height: 0.002}
			for i := range spans + 1 {
				b.feet = append(b.feet, 0.5*float64(i))
			}
			for i, n := range b.sag(t).pairs() {
				near(t, fmt.Sprintf("pair %d", i+1), n/(b.line()*0.5), table[i], 2e-5)
			}
		})
	}
}

// A deep bar on three pairs: the middle carries (5+Φ)/(4+Φ) of wl, and no longer
// 5/4, because shear gives way there (derived by the force method).
func TestShearMovesLoad(t *testing.T) {
	b := bar{length: 2, width: 0.05, height: 0.4, feet: []float64{0, 1, 2}}
	phi := b.phi(1)
	n := b.sag(t).pairs()
	near(t, "middle", n[1]/b.line(), (5+phi)/(4+phi), 1e-5)
	near(t, "end", n[0]/b.line(), (2-(5+phi)/(4+phi))/2, 1e-5)
}

// A bar whose top is 1 K warmer than its underside rises αΔTL²/8h in the middle
// (any strength text); 11e-6 /K, 3 m and 0.5 m give 24.75 µm. On a third pair in
// the middle, which holds by the bar's weight, 3EIκ/l(1+Φ/4) less lies there.
func TestWarmTopBowsTheBar(t *testing.T) {
	cold := bar{length: 3, width: 0.4, height: 0.5, feet: []float64{0, 3}}
	warm := cold
	warm.gradient = 1
	rise := warm.sag(t).height(t, 1.5) - cold.sag(t).height(t, 1.5)
	near(t, "rise", rise, 24.75e-6, 24.75e-11)

	cold = bar{length: 3, width: 0.05, height: 0.05, feet: []float64{0, 1.5, 3}}
	warm = cold
	warm.gradient = 0.1
	less := cold.sag(t).pairs()[1] - warm.sag(t).pairs()[1]
	want := 3 * warm.ei() * warm.curve() / (1.5 * (1 + warm.phi(1.5)/4))
	near(t, "less on the middle", less, want, 1e-5*want)
}

// What the demo's bed weighs (1.75 t weighed, 140 kg of gearbox, 850 kg of table)
// is what feet and bearings carry, at standard gravity.
func TestDemoLoadsAreItsWeight(t *testing.T) {
	dir := t.TempDir()
	if err := writeDemo(dir); err != nil {
		t.Fatal(err)
	}
	for parked, kg := range map[string]float64{"": 1890, "700 mm": 1890 + 850} {
		var out, notes bytes.Buffer
		if code := run([]string{"sag", filepath.Join(dir, demoName), "--json", "--state", "given", "--table-at", parked}, &out, &notes); code != exitDone {
			t.Fatal(&notes)
		}
		var v struct {
			Standings []struct {
				Name           string
				Feet, Bearings []struct{ Load float64 }
			}
		}
		if err := json.Unmarshal(out.Bytes(), &v); err != nil {
			t.Fatal(err)
		}
		for _, s := range v.Standings {
			var sum float64
			for _, p := range append(s.Feet, s.Bearings...) {
				sum += p.Load
			}
			near(t, "loads of "+s.Name, sum, kg*standardGravity, 1e-8*kg*standardGravity)
		}
	}
}

// Two supports under a uniform bar stand best 0.554 of its length apart (texts on
// straightedges; 0.5537 derived, where end and middle sag alike). Three rigid ones
// stand 0.1424 of it from the ends (derived with a finite-element beam).
func TestBestPlacesOfABar(t *testing.T) {
	for pairs, want := range map[int]float64{2: 0.2231, 3: 0.1424} {
		b := bar{length: 1, width: 0.05, height: 0.008, feet: []float64{0, 1}}
		job := b.job() + fmt.Sprintf("[place]\nfeet = [%d]\noffsets = [\"-20 mm\", \"20 mm\"]\n", pairs)
		var v struct {
			Placements []struct {
				Pairs int
				At    []float64
			}
		}
		answer(t, &v, "place", job, nil)
		for _, p := range v.Placements {
			if p.Pairs == pairs {
				near(t, fmt.Sprintf("first of %d", pairs), p.At[0], want, 2e-4)
				near(t, fmt.Sprintf("last of %d", pairs), 1-p.At[pairs-1], want, 2e-4)
			}
		}
		if len(v.Placements) == 0 {
			t.Errorf("no place for %d pairs", pairs)
		}
	}
}
