package reports

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestWidths: from a phone to a wide screen nothing reaches beyond the window,
// light and dark, and the page is quiet.
func TestWidths(t *testing.T) {
	tab := open(t, render(t, fixture(t)), window{width: 360, height: 800})
	for _, width := range []int64{360, 390, 768, 1024, 1920} {
		tab.look(window{width: width, height: 800, dark: width == 768})
		if width == 360 || width == 1920 {
			tab.all()
		}
		if wide := wider(tab, width); wide != "" {
			t.Errorf("%d px: %s", width, wide)
		}
		if n := eval[int](tab, `[...document.querySelectorAll("figure .chart")].filter((c) => c.clientWidth > 40 && c.querySelectorAll("svg path").length < 3).length`); n > 0 {
			t.Errorf("%d px: %d charts are empty", width, n)
		}
	}
	tab.quiet()
}

// jobText finds the warnings of the fixture, which are texts and stay as they are.
var jobText = regexp.MustCompile(`lifts|or hold|station 1650 mm|feet are worth it|over the whole|whole travel|foot 10 µm wrong`)

// TestUnitsAreSwitched: after the switch no number and no axis stays metric.
func TestUnitsAreSwitched(t *testing.T) {
	tab := invented(t)
	before := eval[string](tab, `document.querySelector("#turn .answer").textContent`)
	tab.click(`input[value=inch]`)
	if eval[int](tab, `[...document.querySelectorAll(".only-metric")].filter((e) => getComputedStyle(e).display !== "none" || (e.remove(), false)).length`) > 0 {
		t.Error("a metric scale still shows")
	}
	tab.all()
	text := eval[string](tab, `document.body.innerText + [...document.querySelectorAll("svg text")].filter((e) => e.getBoundingClientRect().width > 0).map((e) => e.textContent).join(" ")`)
	for _, metric := range []string{"µm", "kN", "mm/m", " mm", "°C", " ml", "GPa"} {
		for _, found := range regexp.MustCompile(`.{0,30}`+metric+`\b.{0,10}`).FindAllString(text, -1) {
			if !jobText.MatchString(found) {
				t.Errorf("still metric: %q", found)
			}
		}
	}
	if !strings.Contains(text, "height, thou") || !strings.Contains(text, "along the bed, in") || !strings.Contains(text, "lbf") {
		t.Error("an axis does not name inch units")
	}
	tab.click(`input[value=metric]`)
	if after := eval[string](tab, `document.querySelector("#turn .answer").textContent`); after != before {
		t.Errorf("there and back: %q became %q", before, after)
	}
	tab.quiet()
}

// TestReferenceLine: the chosen line moves both the curve and the numbers.
func TestReferenceLine(t *testing.T) {
	tab := invented(t)
	tab.click(`input[value=ends]`)
	ends := eval[[]float64](tab, `(() => { const d = footwork.chart("profiles").series[0].data; return [d[0][1], d[d.length - 1][1]]; })()`)
	if ends[0] > 1e-6 || ends[0] < -1e-6 || ends[1] > 1e-6 || ends[1] < -1e-6 {
		t.Errorf("about the ends the curve ends at %v µm", ends)
	}
	p := fixture(t)
	want := q(Height, p.latest()[0].Straightness.Ends).text(p.Units)
	if got := eval[string](tab, `document.querySelector("#measured .answer").textContent`); !strings.Contains(got, want) {
		t.Errorf("%q lacks %s", got, want)
	}
	tab.quiet()
}

func TestWayIsChosen(t *testing.T) {
	tab := invented(t)
	eval[bool](tab, `(() => { const w = document.getElementById("way"); w.value = "back"; w.dispatchEvent(new Event("change")); return true; })()`)
	tab.settle()
	names := eval[string](tab, `footwork.chart("profiles").series.map((s) => s.name).join()`)
	if strings.Contains(names, "front") || !strings.Contains(names, "back") {
		t.Errorf("with the back way chosen the chart shows %s", names)
	}
	if n := eval[int](tab, `[...document.querySelectorAll("[data-way=front]")].filter((e) => e.getBoundingClientRect().width > 0).length`); n > 0 {
		t.Errorf("%d rows or pictures of the front way still show", n)
	}
}

// TestPlanIsStepped: the plan's last step shows the loads that the program expects.
func TestPlanIsStepped(t *testing.T) {
	p := fixture(t)
	tab := invented(t)
	steps := p.plan().Steps
	for i, s := range steps {
		tab.click(`#try-next`)
		for f, l := range s.Loads {
			if got, want := eval[string](tab, fmt.Sprintf(`document.querySelectorAll(".load-words")[%d].textContent`, f)), q(Force, max(l.Load, 0)).text(p.Units); !strings.HasPrefix(got, want) {
				t.Errorf("step %d, %s: %q, want %q", i+1, l.Foot, got, want)
			}
		}
	}
	text := eval[string](tab, `document.getElementById("try-text").value`)
	for _, s := range steps {
		if want := s.Foot + ": " + way(s.Raise); !strings.Contains(text, want) {
			t.Errorf("the plan as text lacks %q:\n%s", want, text)
		}
	}
	tab.click(`#try-reset`)
	if n := eval[float64](tab, `footwork.moves().reduce((a, b) => a + Math.abs(b), 0)`); n != 0 {
		t.Error("reset leaves a foot moved")
	}
	tab.quiet()
}

// TestAddressKeepsTheState: a page opened with the address of another shows the same.
func TestAddressKeepsTheState(t *testing.T) {
	tab := invented(t)
	for _, choice := range []string{`input[value=inch]`, `input[value=least]`, `#try-next`} {
		tab.click(choice)
	}
	eval[bool](tab, `(() => { const n = document.getElementById("number-3"); n.value = "2.5"; n.dispatchEvent(new Event("change")); return true; })()`)
	hash := eval[string](tab, `new Promise((done) => setTimeout(() => done(location.hash), 400))`)
	want := eval[string](tab, `document.getElementById("try-text").value`)
	other := open(t, render(t, fixture(t)), window{width: 1200, height: 800, hash: hash})
	if got := eval[string](other, `document.getElementById("try-text").value`); got != want {
		t.Errorf("address %s:\n%s\nwant\n%s", hash, got, want)
	}
	for _, nonsense := range []string{"#s=metric~zone~999~999999~99~1e99_nonsense", "#s=inch~ends~1~5~2~1e99_9_9_9", "#s="} {
		eval[bool](other, fmt.Sprintf(`(location.hash = %q, true)`, nonsense))
		other.settle()
	}
	other.quiet()
}

// TestKeyboard: everything is reached by the tab key, and arrows move a foot.
func TestKeyboard(t *testing.T) {
	tab := invented(t)
	var reached []string
	for range 40 {
		tab.check(chromedp.Do(tab.ctx, chromedp.KeyEvent(kb.Tab)))
		reached = append(reached, eval[string](tab, `document.activeElement.name || document.activeElement.id || document.activeElement.tagName`))
	}
	for _, want := range []string{"units", "line", "way", "table-at", "SUMMARY"} {
		if !strings.Contains(strings.Join(reached, " ")+" ", want+" ") {
			t.Errorf("the tab key does not reach %s: %v", want, reached)
		}
	}
	outline := eval[string](tab, `getComputedStyle(document.activeElement).outlineStyle`)
	if outline == "none" {
		t.Error("the focus cannot be seen")
	}
	eval[bool](tab, `(document.getElementById("slide-2").focus(), true)`)
	tab.check(chromedp.Do(tab.ctx, chromedp.KeyEvent(kb.ArrowRight)))
	if got := eval[float64](tab, `footwork.moves()[2] * 360 / 1.5e-3`); got < 0.49 || got > 0.51 {
		t.Errorf("an arrow turned the screw by %g°, want 0.5°", got)
	}
}

// TestHostileTexts: whatever the job's texts hold shows as text.
func TestHostileTexts(t *testing.T) {
	bad := `</script><script>window.hit=1</script><img src=x onerror="window.hit=1">'"` + "`${window.hit=1}` __f__function(){window.hit=1}__f__ {{.}} -->\u2028"
	p := fixture(t)
	p.Title, p.Standing, p.Made = bad, "shop floor"+bad, bad
	p.Bed.Ways[0].Name, p.Bed.Weights[0].Name = bad, bad
	p.Sag.Standings[1].Name = p.Standing
	for i := range p.Sag.Standings[1].Feet {
		p.Sag.Standings[1].Feet[i].Name += bad
	}
	p.Sag.Standings[1].Ways[0].Name, p.Sag.Standings[1].Warnings = bad, []string{bad}
	p.Change.From, p.Change.Ways[0].Name = bad, bad
	p.Survey.Surveys[0].Name, p.Survey.Surveys[2].Way, p.Survey.Surveys[0].Runs[0].Unit = bad, bad, bad
	p.Match.Ways[0].Name, p.Try.Feet[0].Name, p.Try.Ways[0].Name, p.Try.Standing = bad, bad, bad, bad
	p.Adjust.Plans[3].Steps[0].Foot, p.Adjust.Plans[3].Steps[0].Text, p.Adjust.Plans[3].Steps[0].Readings[0].Survey = bad, bad, bad
	p.Travel.Feet[0], p.Travel.Ways[0].Name, p.Cut.Ways[0].Name, p.Inputs[0].Name = bad, bad, bad, bad
	tab := open(t, render(t, p), window{width: 1200, height: 800})
	tip := eval[string](tab, `(() => { for (const d of document.querySelectorAll("details")) d.open = true;
		footwork.chart("sag");
		const chart = echarts.getInstanceByDom(document.getElementById("chart-sag"));
		chart.dispatchAction({ type: "showTip", seriesIndex: 0, dataIndex: 3 });
		return new Promise((done) => setTimeout(() => done(document.getElementById("chart-sag").textContent), 300)); })()`)
	if !strings.Contains(tip, "</script>") {
		t.Error("the pointer's words do not show the way's name as it is")
	}
	if eval[bool](tab, `"hit" in window || document.querySelector("img") !== null`) {
		t.Error("a text of the job ran")
	}
	if got := eval[string](tab, `document.querySelector("h1").textContent`); !strings.Contains(got, "</script><script>") {
		t.Errorf("the title shows as %q", got)
	}
	tab.quiet()
}

// TestJobSheetIsOnePage of what A4 and Letter have in common, for a short plan
// and for one of sixteen steps; a longer one takes a second. It holds what a
// person needs there.
func TestJobSheetIsOnePage(t *testing.T) {
	p := fixture(t)
	for steps, want := range map[int]int{6: 1, 16: 1, 32: 2} {
		long := fixture(t)
		plan := &long.Adjust.Plans[long.Adjust.Recommended]
		for i := 0; len(plan.Steps) < steps; i++ {
			plan.Steps = append(plan.Steps, plan.Steps[i])
		}
		tab := open(t, render(t, long), window{width: 1200, height: 800})
		eval[bool](tab, `(document.documentElement.classList.add("sheet-only"), true)`) // printing takes it off again
		pdf := tab.pdf("both")
		if dir := os.Getenv("KEEP_SHOTS"); dir != "" {
			save(t, dir, fmt.Sprintf("sheet-%d.pdf", steps), pdf)
		}
		if n := pages(pdf); n != want {
			t.Errorf("the job sheet of %d steps takes %d pages, want %d", steps, n, want)
		}
	}
	tab := invented(t)
	sheet := eval[string](tab, `document.getElementById("job-sheet").innerText`)
	for _, s := range p.plan().Steps {
		if !strings.Contains(sheet, s.Foot) || !strings.Contains(sheet, p.howFar(s.Foot, s.Raise, "").plain(p.Units)) {
			t.Errorf("the sheet lacks the move of %s", s.Foot)
		}
	}
	if n := eval[int](tab, `document.querySelectorAll("#job-sheet input[type=checkbox]").length`); n != len(p.plan().Steps) {
		t.Errorf("%d boxes to tick for %d steps", n, len(p.plan().Steps))
	}
}

// pages counts the page objects of a PDF (ISO 32000-1, 7.7.3.3).
func pages(pdf []byte) int {
	return len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(pdf, -1))
}

// TestPaper: on paper no picture is taller than a page nor may be cut, and it
// is drawn light and as wide as the paper even when the screen is dark.
func TestPaper(t *testing.T) {
	tab := open(t, render(t, fixture(t)), window{width: 1600, height: 800, dark: true})
	eval[bool](tab, `(dispatchEvent(new Event("beforeprint")), true)`)
	call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
	const letter = 950.0 // px of height at 96 a inch, 11 in less margins of 12 mm
	faults := eval[[]string](tab, fmt.Sprintf(`[...document.querySelectorAll("figure")].filter((f) => f.getBoundingClientRect().height > %g || getComputedStyle(f).breakInside !== "avoid").map((f) => f.id)`, letter))
	if len(faults) > 0 {
		t.Errorf("may be cut by a page's edge: %v", faults)
	}
	if w := eval[float64](tab, `Math.max(...[...document.querySelectorAll(".chart svg")].map((s) => s.getBoundingClientRect().width))`); w > 680 {
		t.Errorf("a chart is %g px wide on paper", w)
	}
	if c := eval[string](tab, `getComputedStyle(document.body).backgroundColor`); c != "rgb(255, 255, 255)" {
		t.Errorf("the paper is %s", c)
	}
	if c := eval[string](tab, `footwork.chart("sag").series[0].color`); c != "#14507f" && c != "#0b3f68" {
		t.Errorf("on paper the front way is %s", c)
	}
	eval[bool](tab, `(dispatchEvent(new Event("afterprint")), true)`)
	if c := eval[string](tab, `footwork.chart("sag").series[0].color`); c == "#14507f" {
		t.Error("after printing the dark page stays light")
	}
	tab.quiet()
}

// TestTablesBehindCharts: each chart's numbers can be opened as a table.
func TestTablesBehindCharts(t *testing.T) {
	tab := invented(t)
	missing := eval[[]string](tab, `(async () => { for (const d of document.querySelectorAll("details")) d.open = true; await new Promise((done) => setTimeout(done, 300));
		return [...document.querySelectorAll(".chart")].filter((c) => !c.ariaLabel || !c.parentElement.querySelector("details.behind tbody tr")).map((c) => c.id); })()`)
	if len(missing) > 0 {
		t.Errorf("no table or no label for %v", missing)
	}
}

// TestWithoutScript: drawings, tables and the job sheet need none.
func TestWithoutScript(t *testing.T) {
	tab := open(t, render(t, fixture(t)), window{width: 1200, height: 800, noScript: true})
	text := eval[string](tab, `document.body.innerText`)
	for _, want := range []string{"Without script", "B4", "handle swing", "Job sheet"} {
		if !strings.Contains(text, want) {
			t.Errorf("without script the page lacks %q", want)
		}
	}
	if eval[int](tab, `[...document.querySelectorAll("svg.drawing")].filter((s) => s.getBoundingClientRect().height > 40).length`) < 5 {
		t.Error("without script the drawings do not show")
	}
}

// TestAccessibility runs axe-core's rules for WCAG 2.2 A and AA, light and dark.
func TestAccessibility(t *testing.T) {
	axe := axeScript(t)
	html := render(t, fixture(t))
	for _, win := range []window{{width: 1200, height: 800}, {width: 1200, height: 800, dark: true}, {width: 390, height: 800}} {
		tab := open(t, html, win)
		eval[bool](tab, axe+`; true`)
		faults := eval[[]string](tab, `(async () => { for (const d of document.querySelectorAll("details")) d.open = true; await new Promise((done) => setTimeout(done, 400));
			const r = await axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
			return r.violations.flatMap((v) => v.nodes.slice(0, 3).map((n) => v.id + ": " + n.target.join(" ") + " " + (n.any[0]?.message ?? n.all[0]?.message ?? ""))); })()`)
		for _, f := range faults {
			t.Errorf("dark %v, %d px: %s", win.dark, win.width, f)
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
		t.Fatalf("axe-core is wanted where CI=true: npm install --prefix DIR reports/testdata/browser, FOOTWORK_BROWSER_TOOLS=DIR (%v)", err)
	}
	t.Skip("axe-core is not installed: npm install reports/testdata/browser in a directory and name it in FOOTWORK_BROWSER_TOOLS")
	return ""
}

// BenchmarkOpen reports when a page opened from a file first paints and is
// ready, by the clock, and the processor time that the page took until all of
// it was drawn.
func BenchmarkOpen(b *testing.B) {
	html := render(b, fixture(b))
	for b.Loop() {
		tab := open(b, html, window{width: 1400, height: 900})
		b.ReportMetric(eval[float64](tab, `performance.getEntriesByName("first-contentful-paint")[0].startTime`), "paint-ms")
		b.ReportMetric(eval[float64](tab, `performance.getEntriesByName("ready")[0].startTime`), "ready-ms")
		b.ReportMetric(tab.busy(), "busy-ms")
	}
}

// busy returns the processor time of the page so far, ms.
func (t *tab) busy() float64 {
	t.tb.Helper()
	for _, m := range call(t, performance.GetMetrics, cdp.Empty{}).Metrics {
		if m.Name == "TaskDuration" {
			return m.Value * 1000
		}
	}
	t.tb.Fatal("the browser tells no processor time")
	return 0
}
