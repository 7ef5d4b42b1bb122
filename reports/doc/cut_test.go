package doc

import (
	"slices"
	"strings"
	"testing"

	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/reports"
)

// What prints and masters say has words in both units.
func TestWordsForPrints(t *testing.T) {
	mark := reports.PrintDoubted{Line: 4, Way: "front", Master: "edge", From: 1.2, To: 1.5, Air: 6e-6}
	missing := mark
	missing.Air = 0
	edge := mark
	edge.Across = "inner"
	for _, c := range []struct {
		words Text
		want  string
	}{
		{Warning(mark), "line 4 of the log: the edge on the front way prints between 1200 mm and 1500 mm where 6.0 µm of air are expected: stone it, wipe it, print again; if it prints again the survey is old, or there is a burr"},
		{Warning(edge), "the edge on the front way prints on its inner edge between 1200 mm and 1500 mm"},
		{Warning(missing), "does not print between 1200 mm and 1500 mm where it should"},
		{Warning(reports.PrintUnlike{Line: 4, Way: "front", Master: "edge", From: 1.2, To: 1.5}), "hardly any bed that the surveys leave possible prints the front way so, 1200 mm to 1500 mm under the edge: stone it"},
		{Warning(reports.HingeUnlike{Line: 4, Way: "front", Master: "edge", Seen: [2]float64{0.5, 0.5}, Foretold: [2]float64{0.29, 0.3}}), "50 % and 50 % from its other end where 29 % and 30 % are expected: a hint of where it bears, and no evidence against a survey"},
		{Warning(reports.OtherHands{By: []string{"", "night shift"}, Lines: []int{4, 9}}), "taken by nobody named (line 4) and night shift (line 9): no two hands print alike"},
		{afterMap(reports.CutWay{Name: "front", Map: []reports.CutRun{{Pass: 1}}, PrintAgain: []shape.Span{{From: 1.2, To: 1.5}}}, "as found", 4e-6), "Stone it, wipe it and print again before anything is cut there: 1200 mm to 1500 mm."},
		{fitWords(0.4), "40 % of those that the surveys leave possible. A print tells only forms shorter than its master"},
	} {
		if got := strings.ReplaceAll(asciiOf(c.words, unit.Metric), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("got %s\nwant %s", got, c.want)
		}
		inch(t, asciiOf(c.words, unit.Inches))
	}
}

// Of a bed as drawn no plan was made, so that nothing is said of what its feet could do.
func TestCutAsDrawn(t *testing.T) {
	if got := cutAdvice(reports.Cut{State: reports.Given}); !strings.Contains(got, "survey it") {
		t.Error(got)
	}
	if got := cutAdvice(reports.Cut{State: reports.Found}); !strings.Contains(got, "no move of the feet helps") {
		t.Error(got)
	}
}

// A flank's strip bears its name and side, and a lane for every pass with what is not cut on each.
func TestStripsOfFlanks(t *testing.T) {
	out := []reports.NamedSpan{{Name: "joint", Span: shape.Span{From: 1, To: 1.1}}}
	var names []string
	for flank := range 3 {
		w := reports.CutWay{Name: "front", Flank: flank, Passes: 2, Map: []reports.CutRun{{Pass: 1, From: 0.2, To: 0.4}, {Pass: 2, From: 0.1, To: 0.5}},
			CannotTell: []shape.Span{{From: 2, To: 3}}, PrintAgain: []shape.Span{{From: 4, To: 5}}, LeftOut: out}
		s := lanesOf(w)
		names = append(names, s.Name)
		for k, lane := range s.Lanes {
			kinds := each(lane, func(m StripMark) stripKind { return m.Kind })
			if len(s.Lanes) != 2 || !slices.Equal(kinds, []stripKind{cuts, Unclear, Unclear, LeftOut}) || lane[0].From != w.Map[k].From {
				t.Errorf("flank %d, lane %d: %+v", flank, k, lane)
			}
		}
		b := reports.BlueWay{Name: "front", Flank: flank, Master: "prism", Length: 1, Steps: []reports.BlueStep{{At: 0}, {At: 0.5}, {At: 1}}, LeftOut: out}
		printed := job{&reports.Page{}}.printed(reports.Blue{Ways: []reports.BlueWay{b}})[0].(*Strips).Rows[0]
		if printed.Name != s.Name || len(printed.Lanes) != 2 || len(printed.Lanes[0]) != 4 {
			t.Errorf("flank %d: %+v", flank, printed)
		}
	}
	if want := []string{"front", "front −", "front +"}; !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
}
