package shop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports/cut"
)

// Scraping is not said to reach what the survey cannot see: two standard deviations, nor less
// than a pass or what may be left; moves are weighed alike, and no route makes it worse.
func TestRoutes(t *testing.T) {
	beds := func(zone, sigma float64) (out []cut.Result) { // 95 % of them within two sigma
		for k := range 400 {
			out = append(out, cut.Result{Zone: zone + 2*sigma*(float64(k)-199.5)/190})
		}
		return out
	}
	wish := cut.Options{DepthPerPass: 3e-6}
	for _, c := range []struct {
		what, route string
		now, after  []cut.Result
		until, want float64
	}{
		{"as far as it can be told", "scrape", beds(30e-6, 4e-6), nil, 0, 8e-6},
		{"a pass", "scrape", beds(30e-6, 1e-6), nil, 0, 3e-6},
		{"what may be left", "scrape", beds(30e-6, 1e-6), nil, 6e-6, 6e-6},
		{"within it already", "scrape", beds(2e-6, 0.9e-6), nil, 0, 2e-6},
		{"moves alone", "move feet", beds(30e-6, 4e-6), beds(12e-6, 2.5e-6), 0, 12e-6},
		{"both", "both", beds(30e-6, 4e-6), beds(12e-6, 2.5e-6), 0, 5e-6},
	} {
		for i := range c.now {
			c.now[i].Faces = []cut.Face{{Hours: 9}}
		}
		for i := range c.after {
			c.after[i].Faces = []cut.Face{{Hours: 4}}
		}
		wish.Until = c.until
		found := false
		for _, r := range routes(c.now, c.after, wish) {
			found = found || r.Name == c.route
			if r.Name == c.route && math.Abs(r.Zone-c.want) > 0.02*c.want {
				t.Errorf("%s: %g, want %g", c.what, r.Zone, c.want)
			}
			if hours := map[string]float64{"scrape": 9, "both": 4}[r.Name]; r.Hours != hours {
				t.Errorf("%s: %g h to %s", c.what, r.Hours, r.Name)
			}
		}
		if !found {
			t.Errorf("no route %q", c.route)
		}
	}
}

// longBed is a bed as drawn on two pairs of feet, far enough apart to sag.
const longBed = `title = "Long bed"
[bed]
length = "3 m"
material = "grey iron 30"
[[bed.section]]
from = "0 mm"
to = "3 m"
plates = [ { width = "500 mm", height = "330 mm", offset = "0 mm", bottom = "0 mm" } ]
[[way]]
name = "front"
offset = "-200 mm"
width = "100 mm"
WAY
[[master]]
name = "edge"
length = "1.5 m"
depth = "180 mm"
FLANKS
[[standing]]
name = "floor"
FEET
[adjust]
tolerance = "4 µm"
[cut]
depth_per_pass = "3 µm"
time_per_pass = "50 min"
[log]
file = "log.csv"
`

// longShop opens the long bed · extra stands at its end; side.csv is a way that lies 20 µm
// aside in its middle, face.csv a master 9 µm proud in its middle, log.csv holds acts.
func longShop(t *testing.T, way, flanks, acts string, extra ...string) *Shop {
	t.Helper()
	feet := ""
	for i, at := range []string{"400 mm", "2600 mm"} {
		for k, y := range []string{"-200 mm", "200 mm"} {
			feet += fmt.Sprintf("[[standing.foot]]\nname = \"F%d%d\"\nat = %q\noffset = %q\nheight = \"0 mm\"\nstiffness = \"1 kN/µm\"\n", i, k, at, y)
		}
	}
	text := strings.NewReplacer("WAY", way, "FLANKS", flanks, "FEET", feet).Replace(longBed)
	j, err := job.Read("bed.toml", []byte(text+strings.Join(extra, "")), func(name string) ([]byte, error) {
		switch name {
		case "side.csv":
			return []byte("x,run 1\n0,0\n750,15\n1500,20\n2250,15\n3000,0\n"), nil
		case "face.csv":
			return []byte("x,run 1\n0,0\n375,4\n750,9\n1125,4\n1500,0\n"), nil
		}
		return []byte("when,what,where,value,note\n" + acts), nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return Open(j)
}

// A map goes on where the log has it: after some of its passes, each as deep as the level at
// its marks has shown, the rest of it is left, on a flat and on both flanks of a vee.
func TestMapGoesOn(t *testing.T) {
	for _, c := range []struct{ way, flanks string }{{"", ""}, {`shape = "vee"`, `flanks = ["45°", "45°"]`}, {"shape = \"vee\"\ninverted = true\nflanks = [\"30°\", \"30°\"]", `flanks = ["30°", "30°"]`}} {
		whole := cutOf(t, longShop(t, c.way, c.flanks, ""))
		acts, done := "", 2
		for _, w := range whole.Ways {
			where := "front" + map[int]string{1: " negative flank", 2: " positive flank"}[w.Flank]
			for _, r := range w.Map {
				if r.Pass <= done {
					acts += fmt.Sprintf("2026-03-02,scrape,%s,\"%.4f..%.4f mm 1 pass, 3.0 µm\",\n", where, r.From*1e3, r.To*1e3)
				}
			}
		}
		rest := cutOf(t, longShop(t, c.way, c.flanks, acts))
		for k, w := range rest.Ways {
			before := whole.Ways[k]
			if before.Passes < 4 {
				t.Fatalf("%v passes: the test wants more", before.Passes)
			}
			if w.Passes != before.Passes-float64(done) {
				t.Errorf("%q flank %d: %v passes, then %v", c.way, w.Flank, before.Passes, w.Passes)
			}
			if got, want := w.Shows[len(w.Shows)-1].Zone, before.Shows[len(before.Shows)-1].Zone; math.Abs(got-want) > 0.4e-6 {
				t.Errorf("%q flank %d: ends at %g, without the stop at %g", c.way, w.Flank, got, want)
			}
		}
	}
}

func cutOf(t *testing.T, s *Shop) *reports.Cut {
	t.Helper()
	v, err := s.Cut("")
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// facesOf is what is to come off each face, without what it then shows.
func facesOf(t *testing.T, s *Shop) (faces []reports.CutWay) {
	t.Helper()
	c, err := s.cuts("floor", "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range c.results[0].Faces {
		faces = append(faces, c.summed(i))
	}
	return faces
}

const aSide = `[[survey]]
name = "to the side"
standing = "floor"
way = "front"
plane = "sideways"
instrument = "heights"
reading = "µm"
uncertainty = "0.5 µm"
file = "side.csv"
`

// Of a vee that lies aside, one flank scraped brings it down and to its side: what then is
// left is what was left without it less that, whichever flank it was.
func TestFlankScraped(t *testing.T) {
	for _, inverted := range []string{"", "inverted = true\n"} {
		way := "shape = \"vee\"\n" + inverted
		s := longShop(t, way, `flanks = ["45°", "45°"]`, "", aSide)
		whole := facesOf(t, s)
		for flank, name := range []string{"negative", "positive"} {
			w := whole[flank]
			if w.Passes < 2 {
				t.Fatalf("flank %d: %v passes", w.Flank, w.Passes)
			}
			after := facesOf(t, longShop(t, way, `flanks = ["45°", "45°"]`, "2026-03-02,scrape,front "+name+" flank,\"2 passes, 6 µm\",\n", aSide))
			// All of a flank by one depth moves the rider and bends nothing.
			for k := range after {
				if math.Abs(after[k].Volume-whole[k].Volume) > 1e-4*whole[k].Volume {
					t.Errorf("%s flank: of flank %d %g m³ were to come off, then %g", name, k+1, whole[k].Volume, after[k].Volume)
				}
			}
			// Where it is highest, by what is too much there, it leaves that much less of it alone.
			i := slices.Index(w.Depth, slices.Max(w.Depth))
			half := math.Abs(w.X[1]-w.X[0]) / 2
			act := fmt.Sprintf("2026-03-02,scrape,front %s flank,\"%.1f..%.1f mm 1 pass, 2.0 µm\",\n", name, max(0, w.X[i]-half)*1e3, min(3, w.X[i]+half)*1e3)
			after = facesOf(t, longShop(t, way, `flanks = ["45°", "45°"]`, act, aSide))
			for k := range after {
				want := whole[k].Depth[i]
				if k == flank {
					want -= 2e-6
				}
				if math.Abs(after[k].Depth[i]-want) > 0.2e-6 {
					t.Errorf("%s flank, %sat %g m: %g left of flank %d, want %g", name, inverted, w.X[i], after[k].Depth[i], k+1, want)
				}
			}
		}
	}
}

// A flank of slope θ lies tan θ higher for what its vee lies aside, towards it or from it,
// and 1/cos θ deeper for what was taken off it.
func TestMetalOfAFlank(t *testing.T) {
	s := longShop(t, "shape = \"vee\"\nflanks = [\"30°\", \"50°\"]", `flanks = ["30°", "50°"]`, "2026-03-02,scrape,front negative flank,\"2 passes, 6 µm\",\n", aSide)
	where := s.sideways("floor")
	prints, _ := s.printings()
	if len(prints) != 1 {
		t.Fatal(prints)
	}
	rad := math.Pi / 180
	for k, want := range []float64{20e-6*math.Tan(30*rad) - 6e-6/math.Cos(30*rad), -20e-6 * math.Tan(50*rad)} {
		if got := s.metal(beam.Draw{}, prints[0], k, where, nil).At(1.5); math.Abs(got-want) > 1e-9 {
			t.Errorf("flank %d lies %g up, want %g", k+1, got, want)
		}
	}
}

// A prism's flanks rise where the vee's do, on a ridge the other way, and tilt by what their
// angles differ; either end of it may point either way.
func TestFacesOfAVee(t *testing.T) {
	tan := func(degrees float64) float64 { return math.Tan(degrees * math.Pi / 180) }
	for _, c := range []struct {
		inverted, flanks string
		slope, tilt      [2]float64
	}{
		{"", `["35°", "49.5°"]`, [2]float64{-tan(35), tan(50)}, [2]float64{0, tan(50) - tan(49.5)}},
		{"", `["50°", "35.5°"]`, [2]float64{-tan(35), tan(50)}, [2]float64{-tan(35) + tan(35.5), 0}},
		{"\ninverted = true", `["35°", "49.5°"]`, [2]float64{tan(35), -tan(50)}, [2]float64{0, -tan(50) + tan(49.5)}},
	} {
		s := longShop(t, "shape = \"vee\"\nflanks = [\"35°\", \"50°\"]"+c.inverted, "flanks = "+c.flanks, "")
		prints, left := s.printings()
		if len(prints) != 1 || len(left) > 0 {
			t.Fatal(prints, left)
		}
		for k, f := range prints[0].faces {
			if math.Abs(f.Slope-c.slope[k]) > 1e-12 || math.Abs(f.Tilt-c.tilt[k]) > 1e-12 {
				t.Errorf("%s%s, flank %d: slope %g and tilt %g, want %g and %g", c.flanks, c.inverted, k+1, f.Slope, f.Tilt, c.slope[k], c.tilt[k])
			}
		}
	}
	if _, left := longShop(t, "shape = \"vee\"", `flanks = ["45°", "47°"]`, "").printings(); len(left) != 1 {
		t.Error("a prism of another angle fits")
	}
}

// Of two ways whose distance is known, the second takes its line from the first, and one that
// was not surveyed is the other with the distance.
func TestTie(t *testing.T) {
	x := shape.Even(0, 3, 7)
	of := func(f func(x float64) float64) (out shape.Shape) {
		out.X = x
		for _, x := range x {
			out.Y = append(out.Y, f(x))
		}
		return out
	}
	first, second := of(func(x float64) float64 { return x * x }), of(func(x float64) float64 { return 2*x*x - 5*x + 1 })
	apart, want := of(func(x float64) float64 { return x*x + 3*x }), of(func(x float64) float64 { return 2*x*x + 3*x })
	for _, c := range []struct {
		what string
		o    aside
		way  int
		want shape.Shape
	}{
		{"both", aside{of: []shape.Shape{first, second}}, 1, want}, {"the first", aside{of: []shape.Shape{first, {}}}, 1, want}, {"the second", aside{of: []shape.Shape{{}, want}}, 0, first},
	} {
		c.o.tie(0, 1, apart)
		for i, x := range x {
			if got := c.o.of[c.way].At(x); !c.o.parallel || math.Abs(got-c.want.Y[i]) > 1e-9 {
				t.Errorf("%s known: at %g %g, want %g", c.what, x, got, c.want.Y[i])
			}
		}
	}
}

// What is left of how far the table may come down, and what a pass of 3 µm does to a carriage
// of 150 mm astride its mark: 20 µm/m, 4.13 seconds of arc, 8.25 where they are read double.
func TestSinkAndAstride(t *testing.T) {
	s := longShop(t, "", "", "", "[[survey]]\nname = \"front\"\nstanding = \"floor\"\nway = \"front\"\ninstrument = \"autocollimator\"\nbase = \"150 mm\"\nreading = \"arcsec\"\ndoubled = true\n")
	s.MaySink, s.OwnSink = 100e-6, 30e-6
	sink := s.sink(cutting{results: []cut.Result{{Sink: 8e-6}}})
	if math.Abs(*sink.Left-62e-6) > 1e-12 {
		t.Errorf("%g left", *sink.Left)
	}
	a := astrideOf(s.SetUps[0], 3e-6)
	if math.Abs(a.Change-8.251) > 1e-3 || a.Unit != "arcsec" {
		t.Errorf("it reads %g %s less", a.Change, a.Unit)
	}
}

// Pass by pass the way gets straighter, within what may be left at last, and then most of
// it prints.
func TestWhatShows(t *testing.T) {
	v := cutOf(t, longShop(t, "", "", ""))
	w := v.Ways[0]
	last := w.Shows[len(w.Shows)-1]
	if last.Zone > 4.1e-6 || w.Shows[0].Zone < last.Zone {
		t.Errorf("out of straight %g at first, %g at last", w.Shows[0].Zone, last.Zone)
	}
	sum := 0.0
	for _, p := range last.Prints {
		sum += p.To - p.From
	}
	if sum < 0.7*3 {
		t.Errorf("at last %g m of 3 print", sum)
	}
}
