package doc

import (
	"strings"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
)

// Curves that lie on one another within a hundredth of the picture's height are one line with
// both names.
func TestCurvesOnOneAnother(t *testing.T) {
	for apart, want := range map[float64]int{0.009: 1, 0.011: 2} {
		c := Curves{Series: []Series{{Name: "a", X: []float64{0, 1}, Y: []float64{0, 1}}, {Name: "b", X: []float64{0, 1}, Y: []float64{apart, 1}}}}
		if c.tell(); len(c.Series) != want || want == 1 && c.Series[0].Name != "a = b" {
			t.Errorf("%g apart: %d curves, %q", apart, len(c.Series), c.Series[0].Name)
		}
	}
}

// A part is drawn that is more than a tenth of what matters, the tolerance or what was measured,
// and named else.
func TestPartsThatAreDrawn(t *testing.T) {
	x, flat := []float64{0, 1, 2}, []float64{0, 0, 0}
	bow := func(high float64) []float64 { return []float64{0, high, 0} }
	w := reports.WayParts{Name: "front", X: x, Measured: bow(10e-6), Sag: bow(1.1e-6), Feet: bow(0.9e-6), Heat: flat, Form: bow(8e-6), FormSigma: flat, Rest: flat}
	for k, part := range []string{"feet", "sag", "heat", "metal", "rest"} {
		w.Zones[k].Part = part
	}
	for goal, want := range map[*supports.Goal]int{nil: 3, {Tolerance: 8e-6}: 4, {Tolerance: 12e-6}: 2} {
		if c, small := (job{&reports.Page{Goal: goal}}).partsOf(reports.Match{}, w); len(c.Series) != want || !strings.Contains(small.In(unit.Metric), "heat") {
			t.Errorf("%+v: %d curves, %q", goal, len(c.Series), small.In(unit.Metric))
		}
	}
}

// A foot is named that is softer or stiffer than the others by nineteen chances in twenty.
func TestFeetUnlikeTheOthers(t *testing.T) {
	v := reports.Match{Feet: []reports.FootEstimate{{Name: "A", Softer: 0.951}, {Name: "B", Softer: 0.949}, {Name: "C", Softer: 0.051}, {Name: "D", Softer: 0.049}}}
	var named []string
	for i := range v.Feet {
		v.Feet[i].Own.Factor = 1
	}
	for _, row := range learntTable(v).Rows {
		if name, _, ok := strings.Cut(row[0].(string), ", of the other"); ok {
			named = append(named, name)
		}
	}
	if got := strings.Join(named, ""); got != "AD" {
		t.Errorf("named %s", got)
	}
}

// Cutting stops to pay, and a way has drifted, where the change is less or more than the two
// standard uncertainties that an interval of 95 % has to either side.
func TestWhenAChangeCounts(t *testing.T) {
	for change, stopped := range map[float64]bool{-1.9: true, -2.1: false} {
		h := reports.WayHistory{Marks: []reports.Landmark{{}, {Landmark: survey.Landmark{Kind: "pass", Change: change, Unsure: 1}}}}
		if (stoppedWords(h) != nil) != stopped {
			t.Errorf("a pass of %g σ: stopped %v", change, !stopped)
		}
	}
	for change, drifted := range map[float64]bool{1.9: false, -2.1: true} {
		h := reports.WayHistory{Marks: []reports.Landmark{{}, {Landmark: survey.Landmark{Kind: "drift", Change: change, Unsure: 1}}}}
		if strings.Contains(historyWords(h).In(unit.Metric), "nothing was cut") != drifted {
			t.Errorf("a change of %g σ: drifted %v", change, !drifted)
		}
	}
}

// A print is sure that shows over half of its length at least whatever the bed may be.
func TestSurePrints(t *testing.T) {
	for sure, mark := range map[float64]bool{0.51: false, 0.49: true} {
		w := reports.BlueWay{Name: "front", Length: 2, Steps: []reports.BlueStep{{Prints: []reports.BluePrint{{From: 0.5, To: 1.5}}, Sure: []shape.Span{{From: 0.5, To: 0.5 + sure}}}}}
		if got := blueTable(w).Rows[0][1].(Text).In(unit.Metric); strings.HasSuffix(got, "?") != mark {
			t.Errorf("sure over %g of it: %q", sure, got)
		}
	}
}

// Of a casting that weighs a tenth more or less than is drawn it is told by how much.
func TestWhatIsNotDrawn(t *testing.T) {
	for weighed, want := range map[float64]string{109e3: "counts.", 111e3: "11.00 kN of it is not drawn.", 91.5e3: "counts.", 90.5e3: "9.50 kN less than is drawn."} {
		if got := asciiOf(job{&reports.Page{}}.check(reports.Check{Plates: 100e3, Weighed: weighed}).Answer, unit.Metric); !strings.HasSuffix(got, want) {
			t.Errorf("%g N of 100 kN: %q", weighed, got)
		}
	}
}

// A foot is light under a tenth of the mean load where nobody says which share (common practice,
// no source).
func TestLightFeet(t *testing.T) {
	for goal, want := range map[*supports.Goal]float64{nil: 10, {LeastLoad: 0.2}: 20, {}: 10} {
		if got := (job{&reports.Page{Goal: goal}}).light(400, 4); got != want {
			t.Errorf("%+v: light under %g N of 100 on the mean, want %g", goal, got, want)
		}
	}
}

// What a pass shows is the share of the bed that prints.
func TestShareThatPrints(t *testing.T) {
	j := job{&reports.Page{Bed: casting.Bed{Length: 4}}}
	if got := j.shownWords(reports.CutWay{}, reports.CutShow{Master: "edge", Prints: []shape.Span{{From: 0, To: 0.5}, {From: 1, To: 1.5}}}); got != q(percent, 0.25) {
		t.Errorf("%v", got)
	}
	joint := reports.CutWay{LeftOut: []reports.NamedSpan{{Name: "joint", Span: shape.Span{From: 2, To: 3.5}}, {Name: "groove", Span: shape.Span{From: 3, To: 4}}}}
	if got := j.shownWords(joint, reports.CutShow{Master: "edge", Prints: []shape.Span{{From: 0, To: 2}}}); got != q(percent, 1) {
		t.Errorf("all that bears prints: %v", got)
	}
}

// Of a number that would take more than nine signs three figures are told.
func TestLongNumbers(t *testing.T) {
	for v, want := range map[float64]string{1234567.8: "1234567.8", 12345678.9: "1.23e+07"} {
		if got := q(volume, v*1e-6).Digits(volume.In(unit.Metric)); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
