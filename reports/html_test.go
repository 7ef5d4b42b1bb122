package reports

import (
	"bytes"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/internal/unit"
)

func render(tb testing.TB, p Page) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, p); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// TestKeepPage writes the invented page to the file named by KEEP_PAGE.
func TestKeepPage(t *testing.T) {
	name := os.Getenv("KEEP_PAGE")
	if name == "" {
		t.Skip("KEEP_PAGE names no file")
	}
	if err := os.WriteFile(name, render(t, fixture(t)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// The page must fit a stick and an e-mail: 2.5 MB.
func TestPageIsSmall(t *testing.T) {
	if n := len(render(t, fixture(t))); n > 2_500_000 {
		t.Errorf("the page has %d bytes", n)
	}
}

func TestSectionWithoutDataSaysWhatToAdd(t *testing.T) {
	page := string(render(t, Page{Title: "bare", Bed: beam.Bed{Length: 2}}))
	for _, want := range []string{"[[standing]]", "[[survey]]", "[adjust]", "[place]", "[cut]"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say to add %s", want)
		}
	}
	if n := strings.Count(page, `class="missing"`); n != 8 {
		t.Errorf("%d sections are left out, want all but the last", n)
	}
}

func TestEverySectionShowsWithData(t *testing.T) {
	page := string(render(t, fixture(t)))
	if strings.Contains(page, `class="missing"`) {
		t.Error("a section is left out though it has data")
	}
	for _, words := range cautions {
		if !strings.Contains(page, strings.ReplaceAll(words, "'", "&#39;")) {
			t.Errorf("the page lacks the caution %q", words)
		}
	}
}

func TestIDsAreUnique(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(string(render(t, fixture(t))), -1) {
		if seen[m[1]] {
			t.Errorf("two elements are called %q", m[1])
		}
		seen[m[1]] = true
	}
}

func TestNumbersThatAreNoneAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Page){
		"sag":   func(p *Page) { p.Sag.Standings[1].Ways[0].Height[3] = math.NaN() },
		"trial": func(p *Page) { p.Try.H[0][0] = math.Inf(1) },
		"cut":   func(p *Page) { p.Cut.Ways[0].Depth[0] = math.NaN() },
		"load":  func(p *Page) { p.Sag.Standings[1].Feet[0].Load = math.NaN() },
		"fact":  func(p *Page) { p.Inputs[0].Value = math.NaN() },
	} {
		p := fixture(t)
		spoil(&p)
		if err := WriteHTML(io.Discard, p); err == nil {
			t.Errorf("%s: a number that is none went into the page", name)
		}
	}
}

// Thinning keeps both ends, the extremes and the order.
func TestThin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-1, 1), 2, 2000).Draw(t, "y")
		keep := thin(y, 160)
		if len(keep) > 160 || keep[0] != 0 || keep[len(keep)-1] != len(y)-1 || !slices.IsSorted(keep) {
			t.Fatalf("kept %v of %d", keep, len(y))
		}
		kept := pick(y, keep)
		if math.Abs(slices.Max(kept)-slices.Max(y)) > 1e-6 || math.Abs(slices.Min(kept)-slices.Min(y)) > 1e-6 {
			t.Fatal("an extreme is lost")
		}
	})
}

func TestFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		if got := figures(v, 10); math.Abs(got-v) > 1e-9*math.Abs(v)+1e-300 {
			t.Fatalf("figures(%g) = %g", v, got)
		}
	})
}

// Factors of NIST Special Publication 811 (2008), appendix B.8, seven figures.
func TestUnitsAgainstNIST(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		si   float64 // of one inch-system unit
	}{
		{Height, 2.54e-5}, {Along, 2.54e-2}, {Force, 4.448222}, {Pressure, 1.751268e2}, {Stiffness, 1.751268e5},
		{Volume, 1.638706e-5}, {Modulus, 6.894757e9}, {Density, 2.767990e4}, {AreaOf, 6.4516e-4}, {Inertia, 4.162314e-7}, {Slope, 4.848137e-6},
	} {
		if got := c.kind.in(unit.Inches).One; math.Abs(got/c.si-1) > 4e-7 {
			t.Errorf("%s: one is %g SI, NIST gives %g", c.kind, got, c.si)
		}
	}
}

func TestQuantityText(t *testing.T) {
	for _, c := range []struct {
		q     quantity
		units unit.System
		want  string
	}{
		{q(Height, 8.36e-6), unit.Metric, "8.4\u00a0µm"},
		{q(Height, 8.36e-6), unit.Inches, "0.3\u00a0thou"},
		{signed(Height, -12.5e-6), unit.Metric, "−12.5\u00a0µm"},
		{signed(Height, 12.5e-6), unit.Metric, "+12.5\u00a0µm"},
		{signed(Height, -1e-9), unit.Metric, "0.0\u00a0µm"},
		{q(Degrees, math.Pi/15), unit.Metric, "12°"},
		{give(Height, 0.01e-6), unit.Metric, "0.02\u00a0µm"},
		{give(Height, 0.02e-6), unit.Inches, "0.002\u00a0thou"},
		{give(Height, 0), unit.Metric, "0.0\u00a0µm"},
		{bare(Force, 3104), unit.Metric, "3.10"},
	} {
		if got := c.q.text(c.units); got != c.want {
			t.Errorf("%v: %q, want %q", c.q, got, c.want)
		}
	}
}

// A screw of 1.5 mm a turn raises 1.5/360 mm a degree (4.167 µm), and a handle
// of 300 mm swings 300·π/180 mm a degree.
func TestMoveInTheAdjustersUnits(t *testing.T) {
	p := fixture(t)
	if got, want := p.moveWords(Plan{}, Move{Foot: "F2", Raise: 1.5e-3 / 360 * 12}).plain(unit.Metric), "F2 up 12° (handle swing 63\u00a0mm)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := p.moveWords(Plan{}, Move{Foot: "unknown", Raise: -7e-6}).plain(unit.Metric), "unknown down 7.0\u00a0µm"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestMostChangedReadings(t *testing.T) {
	r := Reading{X: []float64{0, 1, 2, 3}, Value: []float64{5, 1, 9, -8}}
	before := []Reading{{Value: []float64{5, 1.5, 8.9, 0}}}
	if got := mostChanged(r, before, 0, 2); !slices.Equal(got, []int{1, 3}) {
		t.Errorf("stations %v, want 1 and 3", got)
	}
}

func TestNiceStep(t *testing.T) {
	for range 1000 {
		least := math.Exp(20 * (rand.Float64() - 0.5))
		if s := niceStep(least); s < least*(1-1e-9) || s > 2.5*least*(1+1e-9) {
			t.Fatalf("step %g for %g", s, least)
		}
	}
}

func BenchmarkWriteHTML(b *testing.B) {
	p := fixture(b)
	for b.Loop() {
		if err := WriteHTML(io.Discard, p); err != nil {
			b.Fatal(err)
		}
	}
}

func systemOf(name string) unit.System {
	if name == "inch" {
		return unit.Inches
	}
	return unit.Metric
}

// In short says what is feet and what is metal, and where that is too little to tell.
func TestShortSaysFeetAndMetal(t *testing.T) {
	p := fixture(t)
	p.Match.Zone, p.Match.Explained = 9e-6, []Share{{"feet", 8.6e-6, 1e-6, true}, {"sag", 0.6e-6, 0.1e-6, true}, {"metal", -0.2e-6, 0.5e-6, false}}
	if got, want := p.short().plain(unit.Metric), " Of the 9.0\u00a0µm on the back way: feet 8.6\u00a0µm (±\u00a01.0\u00a0µm) and metal too little to tell (±\u00a00.5\u00a0µm)."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want at the end %q", got, want)
	}
}
