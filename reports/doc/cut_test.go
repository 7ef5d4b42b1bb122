package doc

import (
	"strings"
	"testing"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/reports"
)

// What prints and masters say has words in both units.
func TestWordsForPrints(t *testing.T) {
	mark := reports.PrintDoubted{Line: 4, Way: "front", Master: "edge", From: 1.2, To: 1.5, Air: 6e-6}
	missing := mark
	missing.Air = 0
	for _, c := range []struct {
		words Text
		want  string
	}{
		{Warning(mark), "line 4 of the log: the edge on the front way prints between 1200 mm and 1500 mm where 6.0 µm of air are expected: stone it, wipe it, print again; if it prints again the survey is old, or there is a burr"},
		{Warning(missing), "does not print between 1200 mm and 1500 mm where it should"},
		{Warning(reports.PrintUnlike{Line: 4, Way: "front", Master: "edge", From: 1.2, To: 1.5}), "hardly any bed that the surveys leave possible prints the front way so, 1200 mm to 1500 mm under the edge: stone it"},
		{Warning(reports.HingeUnlike{Line: 4, Way: "front", Master: "edge", Seen: [2]float64{0.5, 0.5}, Foretold: [2]float64{0.29, 0.3}}), "50 % and 50 % from its other end where 29 % and 30 % are expected: a hint of where it bears, and no evidence against a survey"},
		{Warning(reports.OtherHands{By: []string{"", "night shift"}, Lines: []int{4, 9}}), "taken by nobody named (line 4) and night shift (line 9): no two hands print alike"},
		{afterMap(reports.CutWay{Name: "front", Map: []reports.CutRun{{Pass: 1}}, PrintAgain: []beam.Span{{From: 1.2, To: 1.5}}}, "as found", 4e-6), "Stone it, wipe it and print again before anything is cut there: 1200 mm to 1500 mm."},
		{fitWords(0.4), "40 % of those that the surveys leave possible. A print tells only forms shorter than its master"},
	} {
		if got := strings.ReplaceAll(asciiOf(c.words, unit.Metric), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("got %s\nwant %s", got, c.want)
		}
		inch(t, asciiOf(c.words, unit.Inches))
	}
}
