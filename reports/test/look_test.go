package test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/supports"

	"github.com/chromedp/cdproto/emulation"
)

// The invented page, opened once, is looked at in turn: how long it is, what its switches show, how wide it is, what is typed at the
// bed and its solver. Meanwhile it asks for nothing and says nothing. Then it is made small, for what reads every element.
func TestOnePage(t *testing.T) {
	t.Parallel()
	tab := open(t, written(t, invented()), wide)
	t.Run("length", func(t *testing.T) { length(t, tab) })
	t.Run("switches", func(t *testing.T) { switches(t, tab) })
	t.Run("windows", func(t *testing.T) { windows(t, tab) })
	t.Run("at the bed", func(t *testing.T) { atTheBed(t, tab) })
	t.Run("trial against Go", func(t *testing.T) { trialAgainstGo(t, tab) })
	tab.quiet()
	t.Run("accessibility", func(t *testing.T) { accessibility(t, tab) })
}

var wide = window{width: 1400, height: 900}

// The page is no wider than its window.
func windows(t *testing.T, tab *tab) {
	for _, win := range []window{wide, {width: 820, height: 900, dark: true}, {width: 390, height: 800}, {width: 320, height: 700}} {
		tab.resize(win)
		if w := eval[int64](tab, `document.documentElement.scrollWidth`); w > win.width {
			t.Errorf("%d px wide in a window of %d: %s", w, win.width, eval[string](tab, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > %d + 1 && !e.closest(".scroll"))
				.map((e) => e.tagName + "." + (e.className.baseVal ?? e.className) + "#" + e.id).slice(0, 6).join(" ")`, win.width)))
		}
	}
}

// crowded returns the invented page of a bed on nine pairs, of which each is turned.
func crowded() *reports.Page {
	p := invented()
	var feet []reports.FootLoad
	for i := range 18 {
		feet = append(feet, reports.FootLoad{Name: fmt.Sprint(string("FB"[i%2]), i/2+1), At: 0.25 + 0.425*float64(i/2), Offset: []float64{-0.24, 0.24}[i%2], Load: 1370, Lifted: i == 14})
	}
	p.Standings[0].Feet = nil
	plan := &p.Adjust.Plans[p.Adjust.Recommended]
	plan.Moves, plan.Loads = nil, nil
	for _, f := range feet {
		p.Standings[0].Feet = append(p.Standings[0].Feet, beam.Foot{Name: f.Name, At: f.At, Offset: f.Offset})
		p.Adjusters[f.Name] = supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3}
		plan.Moves = append(plan.Moves, reports.Move{Foot: f.Name, Touch: true, Raise: 12.5e-6})
		plan.Loads = append(plan.Loads, reports.NamedLoad{Foot: f.Name, Load: f.Load})
	}
	for i := range p.States {
		p.States[i].Bare.Feet, p.States[i].Under, p.States[i].Travel = feet, nil, nil
	}
	return p
}

// met are words of the feet, on plans, under loads and under curves, that lie on one another's.
const met = `(() => { const out = []; for (const box of document.querySelectorAll(".plan svg, .bars svg, .feet")) {
	const words = [...box.querySelectorAll("text.name, text.amount, span")].filter((e) => e.checkVisibility()).map((e) => [e.textContent, e.getBoundingClientRect()]).filter(([, r]) => r.width > 0);
	for (const [i, [a, r]] of words.entries()) for (const [b, q] of words.slice(i + 1))
		if (Math.min(r.right, q.right) - Math.max(r.left, q.left) > 1 && Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top) > 4) out.push(a + " and " + b);
	} return out; })()`

// The words of nine pairs of feet are apart, also on a phone, in either units.
func TestWordsOfFeetApart(t *testing.T) {
	t.Parallel()
	tab := open(t, written(t, crowded()), wide)
	for _, wide := range []int64{wide.width, 390} {
		if wide == 390 {
			tab.resize(window{width: wide, height: 800})
		}
		for _, units := range []string{"metric", "inch"} {
			tab.choose("units", units)
			tab.settle()
			if on := eval[[]string](tab, met); len(on) > 0 {
				t.Errorf("%d px, %s: %d, as %q", wide, units, len(on), on[:min(4, len(on))])
			}
		}
	}
}

// A bed on four pairs is at most 9,000 px tall with its folds closed, prints on six
// sheets of A4 or Letter, and the trial is a few presses of Tab away.
func length(t *testing.T, tab *tab) {
	if h := eval[int](tab, `document.documentElement.scrollHeight`); h > 9000 {
		t.Errorf("%d px tall", h)
	}
	for name, paper := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		if n := tab.pages(paper[0], paper[1]); n < 3 || n > 6 {
			t.Errorf("%s: %d sheets", name, n)
		}
	}
	steps := `[...document.querySelectorAll("#turn > p:not(.answer)")].filter((e) => e.checkVisibility()).length`
	if eval[int](tab, steps) == 0 {
		t.Error("nothing tells of the steps")
	}
	tab.look(window{width: 1000, height: 800, media: "print"})
	if eval[int](tab, steps) > 0 { // else a line of it may take a page before the sheet, which begins one
		t.Error("what stands on the sheet is printed before it too")
	}
	tab.look(wide)
}

// seen gathers what is shown, a text of an element that is rendered on a line, and what is
// said to those who do not see; readings are in their instrument's unit in either system.
const seen = `(() => { const out = [], shown = (e) => e.checkVisibility() && e.getClientRects().length > 0, walk = document.createTreeWalker(document.body, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
	while (walk.nextNode()) {
		const n = walk.currentNode, e = n.parentElement;
		if (n.nodeType === 3 && !e.closest("script, style, [data-k=reading]") && shown(e)) out.push(n.data);
		if (n.nodeType === 1 && n.ariaValueText && shown(n)) out.push(n.getAttribute("aria-valuetext") ?? "");
	}
	return out.join("\n"); })()`

// Every choice of state, table and units is in its own words: no unit of the other
// system is left, and each state shows its own figures alone, in either system by the same switch.
func switches(t *testing.T, tab *tab) {
	eval[bool](tab, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
	states := map[string][]string{"inch": {"planned"}, "metric": {"given", "found", "planned"}}
	for _, units := range []string{"inch", "metric"} { // as the page was
		tab.choose("units", units)
		for _, state := range states[units] {
			for _, table := range []string{"on", "off"} {
				tab.choose("state", state)
				tab.choose("table", table)
				tab.settle()
				text := eval[string](tab, seen)
				text, lines := strings.ReplaceAll(text, "\n", ""), text
				if m := foreign(units == "inch").FindAllString(lines, 3); m != nil {
					t.Errorf("%s, %s, table %s: %q", units, state, table, m)
				}
				words := map[string]string{"given": "as drawn", "found": "as found", "planned": "after turning"}[state]
				where := map[string]string{"on": ", table at ", "off": ", table off"}[table]
				if !strings.Contains(text, "What each foot carries "+words+where) || !strings.Contains(text, "Foot loads over the journey "+words) {
					t.Errorf("%s, table %s: the loads do not name their state", state, table)
				}
			}
		}
	}
}

// Numbers typed at the bed: within the step's own margin goes on, outside stops; a
// comma, a fraction and nonsense are read as people mean them; what was read becomes
// lines of the log.
func atTheBed(t *testing.T, tab *tab) {
	if n := eval[int](tab, `document.querySelectorAll("[data-read]").length`); n == 0 {
		t.Fatal("nothing can be read at the bed")
	}
	steps := eval[[]struct {
		Until, Within float64
		Where         [2]string
		Foot          string
	}](tab, `JSON.parse(document.getElementById("data").textContent).sheet.filter((s) => s.until !== undefined)`)
	read := func(text string) string {
		return eval[string](tab, fmt.Sprintf(`(() => { const f = document.querySelector("[data-read]"); f.value = %q; f.dispatchEvent(new Event("change")); return document.getElementById("verdict-" + f.dataset.read).textContent; })()`, text))
	}
	right := strings.Replace(fmt.Sprintf("%.3f", steps[0].Until), ".", ",", 1)
	for text, want := range map[string]string{right: "Good", "999": "Stop and survey", "two": "Write a number"} {
		if got := read(text); !strings.HasPrefix(got, want) {
			t.Errorf("%q: %q", text, got)
		}
	}
	read(right)
	lines := saved(tab)
	if !strings.HasPrefix(lines, "when,what,where,value,note\n") || !strings.Contains(lines, ",turn,"+steps[0].Foot+",") || !strings.Contains(lines, steps[0].Where[0]) {
		t.Errorf("the log's lines:\n%s", lines)
	}
}

// A level that is read at two places has two fields, and is judged by how they differ; an
// indicator is read in the reader's own units.
func TestTwoFieldsAndIndicator(t *testing.T) {
	t.Parallel()
	p := invented()
	p.Units = unit.Inches
	steps := p.Adjust.Plans[p.Adjust.Recommended].Steps
	second := 1.2
	steps[0].Watch = &reports.Watch{Survey: "shop level", At: 0.3, Less: &second, Before: 1, Until: 2.5, Change: 1.5, Within: 0.2, Unit: "div"}
	steps[1].Watch = &reports.Watch{Indicator: true, Change: 25.4e-6, Within: 5e-6}
	tab := open(t, written(t, p), window{width: 390, height: 800})
	say := func(field, text string) string {
		name, place, _ := strings.Cut(field, "/")
		return eval[string](tab, fmt.Sprintf(`(() => { const f = document.querySelectorAll(%q)[%q === "second" ? 1 : 0]; f.value = %q; f.dispatchEvent(new Event("change")); return document.getElementById("verdict-" + (f.dataset.now ?? f.dataset.read)).textContent; })()`, "[data-"+name+"]", place, text))
	}
	for _, typed := range [][3]string{{`read="0"/first`, "3,4", ""}, {`read="0"/second`, "0.8", "Good"}, {`read="0"/second`, "-0.8", "Stop and survey: it is off by 1.7 div"},
		{`read="0"/second`, "0.8", "Good"}, {`read="1"/first`, "1.3", "Stop and survey: it is off by 0.3 thou"}, {`read="1"/first`, "1.1", "Good"},
		{`now="0"/first`, "7.1", "Good"}, {`now="0"/second`, "5", "Stop and survey: it is off by 1 div"}, {`now="0"/second`, "6", "Good"}} {
		if got := say(typed[0], typed[1]); !strings.HasPrefix(got, typed[2]) || (got == "") != (typed[2] == "") {
			t.Errorf("%s in %s: %q", typed[1], typed[0], got)
		}
	}
	lines := saved(tab)
	for _, want := range []string{",read,shop level at 11.811 in,3.4,", ",read,shop level at 47.244 in,0.8,", ",indicator," + steps[1].Foot + ",up 1.1 thou,"} {
		if !strings.Contains(lines, want) {
			t.Errorf("the log's lines have no %q:\n%s", want, lines)
		}
	}
}

// Without script the drawings, tables, the sheet and the numbers of every picture
// show.
func TestWithoutScript(t *testing.T) {
	t.Parallel()
	tab := open(t, written(t, invented()), window{width: 1200, height: 800, noScript: true})
	call(tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{})
	if shut := eval[int](tab, `document.querySelectorAll("details.numbers:not([open])").length`); shut > 0 {
		t.Errorf("%d tables of numbers are shut", shut)
	}
	if blank := eval[int](tab, `[...document.querySelectorAll(".chart, .try, .switches, button")].filter((e) => e.checkVisibility()).length`); blank > 0 {
		t.Errorf("%d boxes are there that only script fills", blank)
	}
	if !eval[bool](tab, `document.body.innerText.includes("need script")`) {
		t.Error("nobody says what needs script")
	}
}

// accessibility runs axe-core's rules for WCAG 2.2 A and AA in the narrowest window and a wide one, and those of
// colours alone where nothing else differs: dark, and as it is printed. Of the tables of numbers, which are all
// made alike, it reads the first, and of the parts that the switches choose the one that is shown.
func accessibility(t *testing.T, tab *tab) {
	axe := axeScript(t)
	const all, colours = `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]`, `["color-contrast", "link-in-text-block"]`
	wide := window{width: 1200, height: 800}
	dark, paper := wide, window{width: 1000, height: 800, media: "print"}
	dark.dark = true
	eval[bool](tab, axe+`; [...document.querySelectorAll("details.numbers")].slice(1).forEach((d) => d.remove());
		for (const p of document.querySelectorAll(".part")) if (!p.checkVisibility()) p.remove();
		for (const d of document.querySelectorAll("details")) d.open = true; true`)
	for _, look := range []struct {
		window
		rules string
	}{{window{width: 320, height: 700}, all}, {wide, all}, {dark, colours}, {paper, colours}} {
		tab.resize(look.window)
		for _, f := range eval[[]string](tab, `(async () => { await Promise.all(document.getAnimations().map((a) => a.finished));
			const r = await axe.run(document, { resultTypes: ["violations"], runOnly: `+look.rules+` });
			return r.violations.flatMap((v) => v.nodes.slice(0, 3).map((n) => v.id + ": " + n.target.join(" ") + " " + (n.any[0]?.message ?? n.all[0]?.message ?? ""))); })()`) {
			t.Errorf("dark %v, %d px, %q: %s", look.dark, look.width, look.media, f)
		}
	}
}

// axeScript returns axe-core from the directory that FOOTWORK_BROWSER_TOOLS names.
func axeScript(t *testing.T) string {
	b, err := os.ReadFile(filepath.Join(os.Getenv("FOOTWORK_BROWSER_TOOLS"), "node_modules", "axe-core", "axe.min.js"))
	switch {
	case err == nil:
		return string(b)
	case os.Getenv("CI") == "true":
		t.Fatalf("axe-core is wanted where CI=true: npm install --prefix DIR with reports/test/testdata/browser/package.json, FOOTWORK_BROWSER_TOOLS=DIR (%v)", err)
	}
	t.Skip("axe-core is not installed: npm install with reports/test/testdata/browser/package.json in a directory and name it in FOOTWORK_BROWSER_TOOLS")
	return ""
}

// saved is what the sheet would save of what was read; no file is written.
func saved(tab *tab) string {
	return eval[string](tab, `new Promise((done) => {
		URL.createObjectURL = (b) => { b.text().then(done); return "data:,"; };
		HTMLAnchorElement.prototype.click = () => {};
		document.getElementById("save-read").click();
	})`)
}
