package reports

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browserName returns an installed Chromium; without one the test is skipped,
// but fails where CI=true says that one belongs.
func browserName(tb testing.TB) string {
	tb.Helper()
	if testing.Short() {
		tb.Skip("the browser tests take a minute")
	}
	for _, name := range []string{os.Getenv("CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		tb.Fatal("no Chromium is installed, and CI=true asks for one")
	}
	tb.Skip("no Chromium is installed; set CHROMIUM to its path to run the browser tests")
	return ""
}

// shut ends the browser that the tests share.
var shut = func() {}

// oneBrowser returns a context of the one browser in which all tests open tabs.
var oneBrowser = func() func(string) context.Context {
	var once sync.Once
	var ctx context.Context
	return func(path string) context.Context {
		once.Do(func() {
			options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox)
			allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
			browser, end := chromedp.NewContext(allocator)
			if err := chromedp.Do(browser); err != nil {
				panic(err)
			}
			ctx, shut = browser, func() { end(); stop() }
		})
		return ctx
	}
}()

func TestMain(m *testing.M) {
	code := m.Run()
	shut()
	os.Exit(code)
}

// tab is one page open in a browser, with all that it asked for and said.
type tab struct {
	tb  testing.TB
	ctx context.Context

	mu       sync.Mutex
	requests []string
	messages []string
}

// window is what the page is seen through: width and height in CSS pixels, dark or light.
type window struct {
	width, height int64
	dark          bool
	hash          string
	noScript      bool
}

// open writes html to a file and opens it as a person does from a stick.
func open(tb testing.TB, html []byte, win window) *tab {
	tb.Helper()
	ctx, shut := chromedp.NewContext(oneBrowser(browserName(tb)))
	tb.Cleanup(shut)
	ctx, cancel := context.WithTimeout(ctx, 90*time.Second)
	tb.Cleanup(cancel)
	t := &tab{tb: tb, ctx: ctx}
	t.load(html, tb.TempDir(), win)
	return t
}

// load writes html into a directory and navigates there.
func (t *tab) load(html []byte, dir string, win window) {
	t.tb.Helper()
	file := filepath.Join(dir, "page.html")
	t.check(os.WriteFile(file, html, 0o644))
	t.prepare(win)
	t.check(chromedp.Do(t.ctx, chromedp.Navigate("file://"+file+win.hash)))
	if !win.noScript {
		t.settle()
	}
}

// common is the invented page in the one tab that tests share which leave
// nothing behind but choices.
var common *tab

// invented returns the invented page, 1200 by 800, with the choices it opens with.
func invented(t *testing.T) *tab {
	t.Helper()
	if common == nil {
		ctx, _ := chromedp.NewContext(oneBrowser(browserName(t)))
		dir, err := os.MkdirTemp("", "footwork")
		if err != nil {
			t.Fatal(err)
		}
		fresh := &tab{tb: t, ctx: ctx}
		fresh.load(render(t, fixture(t)), dir, window{width: 1200, height: 800})
		common = fresh
		shut = func(end func()) func() { return func() { end(); os.RemoveAll(dir) } }(shut)
	}
	common.tb = t
	none := strings.Repeat("_0", len(fixture(t).Try.Feet))[1:]
	eval[bool](common, fmt.Sprintf(`(location.hash = "#s=metric~zone~0~7~0~%s", scrollTo(0, 0), document.querySelector(".skip").focus(), document.activeElement.blur(), new Promise((done) => setTimeout(() => done(true), 200)))`, none))
	common.settle()
	return common
}

// settle waits until every chart is drawn as the page's choices want it.
func (t *tab) settle() {
	t.tb.Helper()
	_, err := chromedp.Run(t.ctx, chromedp.Poll[bool](`document.documentElement.dataset.drawn === "all"`))
	t.check(err)
}

// click presses an element and waits until the page has followed.
func (t *tab) click(selector string) {
	t.tb.Helper()
	t.check(chromedp.Do(t.ctx, chromedp.Click(selector)))
	t.settle()
}

// prepare makes the tab the window that is wanted and listens to it.
func (t *tab) prepare(win window) {
	t.tb.Helper()
	t.check(chromedp.Do(t.ctx))
	t.check(chromedp.Listen(t.ctx, t.listen))
	call(t, network.Enable, network.EnableParams{})
	call(t, log.Enable, cdp.Empty{})
	call(t, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	call(t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: win.noScript})
	t.look(win)
}

// look changes the window that the page is seen through.
func (t *tab) look(win window) {
	t.tb.Helper()
	scheme := "light"
	if win.dark {
		scheme = "dark"
	}
	call(t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: win.width, Height: win.height, DeviceScaleFactor: 1, Mobile: win.width < 600})
	call(t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// all waits until the page follows its window, and draws what is out of sight too.
func (t *tab) all() {
	t.tb.Helper()
	eval[bool](t, `new Promise((done) => setTimeout(done, 200)).then(() => { document.querySelectorAll(".chart").forEach((c) => c.clientWidth > 0 && footwork.chart(c.dataset.chart)); return true; })`)
	t.settle()
}

// call sends one command of the browser's protocol.
func call[P, R any](t *tab, c cdp.Command[P, R], params P) R {
	t.tb.Helper()
	r, err := chromedp.Call(t.ctx, c, params)
	t.check(err)
	return r
}

func (t *tab) check(err error) {
	t.tb.Helper()
	if err != nil {
		t.tb.Fatal(err)
	}
}

func (t *tab) listen(event any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		t.requests = append(t.requests, e.Request.URL)
	case *runtime.EventExceptionThrown:
		t.messages = append(t.messages, e.ExceptionDetails.Text+" "+describe(e.ExceptionDetails.Exception))
	case *runtime.EventConsoleAPICalled:
		for _, a := range e.Args {
			t.messages = append(t.messages, string(e.Type)+": "+string(a.Value)+a.Description)
		}
	case *log.EventEntryAdded:
		t.messages = append(t.messages, string(e.Entry.Level)+": "+e.Entry.Text)
	}
}

func describe(o *runtime.RemoteObject) string {
	if o == nil {
		return ""
	}
	return o.Description
}

// eval returns what an expression of the page's script is.
func eval[T any](t *tab, expression string) T {
	t.tb.Helper()
	v, err := chromedp.Run(t.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	t.check(err)
	return v
}

// quiet fails when the page asked for anything but itself, or said anything.
func (t *tab) quiet() {
	t.tb.Helper()
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, url := range t.requests {
		if !strings.HasPrefix(url, "file://") && !strings.HasPrefix(url, "data:") {
			t.tb.Errorf("the page asked for %s", url)
		}
	}
	if len(t.messages) > 0 {
		t.tb.Errorf("the page said: %s", strings.Join(t.messages, "\n"))
	}
}

// pdf prints the page; size is "A4", "Letter" or "both".
func (t *tab) pdf(size string) []byte {
	t.tb.Helper()
	width, height := 8.27, 11.69
	switch size {
	case "Letter":
		width, height = 8.5, 11
	case "both": // what A4 and Letter have in common
		height = 11
	}
	off := false
	return call(t, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height, PrintBackground: &off}).Data
}

// TestKeepShots writes pictures of the invented page into KEEP_SHOTS.
func TestKeepShots(t *testing.T) {
	dir := os.Getenv("KEEP_SHOTS")
	if dir == "" {
		t.Skip("KEEP_SHOTS names no directory")
	}
	html := render(t, fixture(t))
	for name, win := range map[string]window{"wide": {width: 1400, height: 900}, "middle": {width: 768, height: 900}, "phone": {width: 390, height: 800}, "dark": {width: 1400, height: 900, dark: true}} {
		tab := open(t, html, win)
		if wide := wider(tab, win.width); wide != "" {
			t.Errorf("%s: wider than the window: %s", name, wide)
		}
		tab.all()
		shot, err := chromedp.Run(tab.ctx, chromedp.FullScreenshot(90))
		tab.check(err)
		save(t, dir, name+".jpg", shot)
		if name == "wide" {
			save(t, dir, "a4.pdf", tab.pdf("A4"))
		}
		if name == "dark" {
			save(t, dir, "letter.pdf", tab.pdf("Letter"))
		}
		tab.quiet()
	}
}

// wider names the elements that reach beyond the window.
func wider(t *tab, width int64) string {
	if w := eval[int64](t, `document.documentElement.scrollWidth`); w > width {
		return fmt.Sprintf("the page itself, %d px", w)
	}
	return eval[string](t, fmt.Sprintf(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > %d + 1 && !e.closest(".scroll"))
		.map((e) => e.tagName + "." + (e.className.baseVal ?? e.className) + "#" + e.id).slice(0, 8).join(" ")`, width))
}

func save(tb testing.TB, dir, name string, b []byte) {
	tb.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
		tb.Fatal(err)
	}
}
