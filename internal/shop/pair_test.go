package shop

import (
	"math"
	"testing"

	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports/cut"
)

const backWay = "[[way]]\nname = \"back\"\noffset = \"200 mm\"\nwidth = \"100 mm\"\n"

// A pass over a vee of 30° and 60° lets the table down by (sin 30° + sin 60°)/sin 90° of it,
// over a flat beside it by all of it: the more of both leans it over the distance of the ways,
// whichever of them comes first, and of what it comes down each flank loses its cosine.
func TestPairWithAVee(t *testing.T) {
	const vee, flanks = "shape = \"vee\"\nflanks = [\"30°\", \"60°\"]", `flanks = ["30°", "60°"]`
	want := 3e-6 * (0.5 + math.Sqrt(3)/2) / 0.4
	s := longShop(t, vee, flanks, "", backWay)
	s.Goal.Gauge = 0.6
	v := cutOf(t, s)
	if p := v.Pair; p == nil || math.Abs(p.Lean-want) > 1e-12 || p.Gauge != 0.6 {
		t.Errorf("pair %+v, want a lean of %g", v.Pair, want)
	}
	for k, degrees := range []float64{30, 60} {
		if want := math.Cos(degrees * math.Pi / 180); math.Abs(v.Ways[k].Skim-want) > 1e-12 {
			t.Errorf("flank %d loses %g, want %g", k+1, v.Ways[k].Skim, want)
		}
	}
}

// The shortest stretch of the last pass wants six stations; a bed as drawn has none to set.
func TestStationsThatTheMapWants(t *testing.T) {
	c := cutting{state: reports.Found, task: cut.Task{Ways: []cut.Way{{X: shape.Even(0, 3, 13)}}}}
	ways := []reports.CutWay{{Map: []reports.CutRun{{Pass: 1, From: 1, To: 1.3}, {Pass: 2, From: 0, To: 2}, {Pass: 2, From: 2.1, To: 3}}}}
	if s := c.stations(ways); s == nil || math.Abs(s.Apart-0.25) > 1e-12 || math.Abs(s.Wants-0.15) > 1e-12 {
		t.Errorf("%+v", s)
	}
	c.state = reports.Given
	if s := c.stations(ways); s != nil {
		t.Errorf("as drawn: %+v", s)
	}
}

// A master with a form, partly carried, is told free and as it lies; it hides less by what is
// carried; a joint neither bears nor prints and is named.
func TestMasterAsDescribed(t *testing.T) {
	const joint = "leave_out = [ { name = \"joint\", from = \"700 mm\", to = \"760 mm\" } ]"
	plain := blueOf(t, longShop(t, "", "", ""))
	w := blueOf(t, longShop(t, joint, "carried = { at = [\"330 mm\", \"1170 mm\"], share = \"80 %\" }\nform = \"face.csv\"", ""))
	if math.Abs(w.Free-9e-6) > 1e-12 {
		t.Errorf("free %g", w.Free)
	}
	seated := w.Steps[0].Seated
	if seated < 1e-6 || math.Abs(seated-w.Free) < 0.05e-6 || plain.Free != 0 || plain.Steps[0].Seated < 1e-7 {
		t.Errorf("as it lies %g, a straight one %g", seated, plain.Steps[0].Seated)
	}
	if w.Hides > 0.6*plain.Hides || w.WayZone < 1e-6 || math.Abs(w.WayZone-plain.WayZone) > 1e-12 {
		t.Errorf("hides %g, laid down %g, the way %g", w.Hides, plain.Hides, w.WayZone)
	}
	if len(w.LeftOut) != 1 || w.LeftOut[0].Name != "joint" || len(plain.LeftOut) != 0 {
		t.Errorf("left out %v", w.LeftOut)
	}
	for _, s := range w.Steps {
		for _, p := range s.Prints {
			if p.From < 0.76-1e-9 && p.To > 0.7+1e-9 {
				t.Errorf("prints over the joint from %g to %g", p.From, p.To)
			}
		}
	}
}

func blueOf(t *testing.T, s *Shop) reports.BlueWay {
	t.Helper()
	v, err := s.Blue("floor", "", "")
	if err != nil {
		t.Fatal(err)
	}
	return v.Ways[0]
}

// The table lies with the form of its own way as it was surveyed, and straight without.
func TestTableAsSurveyed(t *testing.T) {
	const table = "[table]\nlength = \"1.5 m\"\nweight = \"300 kg\"\n"
	const own = "[[survey]]\nname = \"under the table\"\nstanding = \"floor\"\nway = \"front\"\nof = \"table\"\ninstrument = \"heights\"\nreading = \"µm\"\nfile = \"face.csv\"\n"
	for extra, want := range map[string]float64{"": 0, own: 9e-6} {
		v, err := longShop(t, "", "", "", table, extra).Blue("floor", reports.Given, job.TableMaster)
		if err != nil {
			t.Fatal(err)
		}
		if got := v.Ways[0].Free; math.Abs(got-want) > 1e-12 {
			t.Errorf("free, the table's way is %g out of straight, want %g", got, want)
		}
	}
}
