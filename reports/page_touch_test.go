package reports

import (
	"strings"
	"testing"

	"footwork/internal/unit"
)

// touching is the invented page with a plan that first brings F3 to touch.
func touching(t *testing.T) Page {
	p := fixture(t)
	plan := &p.Adjust.Plans[p.Adjust.Recommended]
	plan.Moves = []Move{{Foot: "F3", Raise: 40e-6 + 1.5e-3/360*9, Touch: true, Text: "raise until it just takes load, then raise: 9°"}}
	plan.Steps = []Step{
		{Foot: "F3", Raise: 40e-6, Touch: true, Text: "raise until it just takes load: it stops turning freely", Loads: plan.Loads},
		{Foot: "F3", Raise: 1.5e-3 / 360 * 9, Text: "raise: 9°", Loads: plan.Loads},
	}
	return p
}

// A foot that hangs is brought to touch by feel, on page, sheet and in text; the
// degrees are those after it.
func TestTouchFirst(t *testing.T) {
	p := touching(t)
	if got, want := p.turnAnswer(p.plan()).plain(unit.Metric), "F3 up until it just takes load, then up 9° (handle swing 47\u00a0mm)."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	for _, s := range p.sheetSteps(p.plan())[:1] {
		if got := string(s.Far); !strings.HasPrefix(got, "raise until it just takes load: it stops turning freely") || strings.Contains(got, "°") || !strings.Contains(got, "40.0") {
			t.Errorf("the sheet says %q", got)
		}
	}
	var b strings.Builder
	if err := WriteText(&b, p.Adjust, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"F3 up until it just takes load, then up 37.5", "to touch", "From nothing to a level bed", " 2. Bring the others up"} {
		if !strings.Contains(strings.ReplaceAll(strings.Join(strings.Fields(b.String()), " "), "\u00a0", " "), strings.TrimSpace(want)) {
			t.Errorf("the text lacks %q:\n%s", want, b.String())
		}
	}
	page := string(render(t, p))
	for _, want := range []string{`<ol class="steps"><li>Stand the bed on F1`, "it stops turning freely", "95\u00a0% from"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// More than a turn is told in turns and degrees.
func TestTurns(t *testing.T) {
	p := fixture(t)
	for raise, want := range map[float64]string{1.5e-3: "1 turn and 0°", 1.5e-3 * 2.25: "2 turns and 90°", 1.5e-3 * 0.5: "180° (handle swing 942\u00a0mm)"} {
		if got := p.howFar("F2", raise, "").plain(unit.Metric); got != want {
			t.Errorf("%g m: %q, want %q", raise, got, want)
		}
	}
}

// The trial's steps and its plain text say to bring the foot to touch first.
func TestTouchIsStepped(t *testing.T) {
	tab := open(t, render(t, touching(t)), window{width: 1200, height: 800})
	tab.click("#try-next")
	if got := eval[string](tab, `document.getElementById("try-answer").textContent`); !strings.Contains(got, "After step 1 of 2 (F3 up until it just takes load)") {
		t.Errorf("the answer is %q", got)
	}
	tab.click("#try-next")
	if got := eval[string](tab, `document.getElementById("try-text").value`); !strings.Contains(got, "F3: up until it just takes load, then up 9°, +37.5\u00a0µm") {
		t.Errorf("the text is %q", got)
	}
	tab.quiet()
}
