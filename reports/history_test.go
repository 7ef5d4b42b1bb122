package reports

import (
	"strings"
	"testing"

	"footwork/internal/unit"
)

func history() WayHistory {
	um := 1e-6
	return WayHistory{Standing: "shop floor", Way: "front", Marks: []Landmark{
		{Survey: "a", Date: "2026-02-02", Zone: 14 * um, Sigma: 0.2 * um},
		{Survey: "b", Date: "2026-02-03", Pass: 1, Zone: 9 * um, Sigma: 0.2 * um, Change: -5 * um, Unsure: 0.3 * um, Kind: "pass"},
		{Survey: "c", Date: "2026-02-04", Pass: 2, Zone: 5 * um, Sigma: 0.2 * um, Change: -4 * um, Unsure: 0.3 * um, Kind: "pass"},
		{Survey: "d", Date: "2026-02-05", Pass: 3, Zone: 4.8 * um, Sigma: 0.2 * um, Change: -0.2 * um, Unsure: 0.3 * um, Kind: "pass"},
		{Survey: "e", Date: "2026-03-05", Pass: 3, Zone: 7 * um, Sigma: 0.2 * um, Change: 2.2 * um, Unsure: 0.3 * um, Kind: "drift"},
	}}
}

// Cutting stopped paying after pass 2, and 28 days on (February 2026 has 28) the
// bed has moved; both in sentences, in page and text, in both systems.
func TestHistoryIsTold(t *testing.T) {
	h := history()
	want := "The front way went from 14.0\u00a0µm to 7.0\u00a0µm out of straight in 5 surveys; cutting stopped paying after pass 2, from there it takes off no more than the surveys can tell (±\u00a00.6\u00a0µm): look at the feet" +
		"; within 28 days it went from 4.8\u00a0µm to 7.0\u00a0µm (±\u00a00.6\u00a0µm) though nothing was cut or moved: the feet have settled or the heat differs."
	if got := h.words().plain(unit.Metric); got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
	var b strings.Builder
	if err := WriteText(&b, Survey{History: []WayHistory{h}}, TextOptions{Units: unit.Inches}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"How the front way fared", "metal cut", "nothing", "0.6", "stopped paying after pass 2"} {
		if !strings.Contains(strings.Join(strings.Fields(b.String()), " "), want) {
			t.Errorf("the text lacks %q:\n%s", want, b.String())
		}
	}
}

// While every pass still takes off more than the surveys' doubt, nothing has stopped.
func TestCuttingStillPays(t *testing.T) {
	h := history()
	h.Marks = h.Marks[:3]
	if w := h.stopped(); w != nil {
		t.Errorf("said %q", w.plain(unit.Metric))
	}
	h.Marks = append(h.Marks, history().Marks[3], Landmark{Pass: 4, Change: -3e-6, Unsure: 0.3e-6, Kind: "pass"})
	if w := h.stopped(); w != nil {
		t.Errorf("a pass that paid after one that did not: said %q", w.plain(unit.Metric))
	}
}

func TestHistoryOnThePage(t *testing.T) {
	p := fixture(t)
	page := string(render(t, p))
	for _, want := range []string{`id="fig-history"`, "How each way fared", "cutting stopped paying after pass 2", "within 27 days"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	p.Survey.History = nil
	if strings.Contains(string(render(t, p)), `id="fig-history"`) {
		t.Error("without a history there is a picture of one")
	}
}
