package test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
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

// sharedTabs returns the tabs of the one browser in which all pages are opened one after the other:
// a page keeps nothing, and another tab costs more than another page. Their contexts apart keep what they save apart.
var sharedTabs = func() func(string) chan context.Context {
	var once sync.Once
	tabs := make(chan context.Context, 2)
	return func(path string) chan context.Context {
		once.Do(func() {
			options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox)
			allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
			first, end := chromedp.NewContext(allocator)
			shut = func() { end(); stop() }
			begin := func(tab context.Context) {
				if err := chromedp.Do(tab); err != nil {
					panic(err)
				}
				tabs <- tab
			}
			begin(first)
			second, _ := chromedp.NewContext(first, chromedp.WithNewBrowserContext())
			begin(second)
		})
		return tabs
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

	downloads string // the folder of what the page saves

	mu       sync.Mutex
	requests []string
	messages []string
}

// window is what the page is seen through: width and height in CSS pixels, dark or light.
type window struct {
	width, height int64
	dark          bool
	noScript      bool
	media         string // "": the screen; "print"
}

// open writes html to a file and opens it as a person does from a stick, in a tab that no other test has meanwhile.
func open(tb testing.TB, html []byte, win window) *tab {
	tb.Helper()
	tabs := sharedTabs(browserName(tb))
	own := <-tabs
	ctx, cancel := context.WithTimeout(own, 5*time.Minute)
	tb.Cleanup(func() { cancel(); tabs <- own })
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
	t.check(chromedp.Do(t.ctx, chromedp.Navigate("file://"+file)))
	if !win.noScript {
		t.settle()
	}
}

// settle waits until the page is ready and what is in sight is drawn.
func (t *tab) settle() {
	t.tb.Helper()
	_, err := chromedp.Run(t.ctx, chromedp.Poll[bool](`document.documentElement.dataset.drawn === "all"`))
	t.check(err)
}

// choose presses a switch of the page, where there is one.
func (t *tab) choose(name, value string) {
	t.tb.Helper()
	eval[bool](t, fmt.Sprintf(`(document.querySelector('[name=%s][value=%s]')?.click(), true)`, name, value))
}

// prepare makes the tab the window that is wanted and listens to it.
func (t *tab) prepare(win window) {
	t.tb.Helper()
	t.check(chromedp.Do(t.ctx))
	t.check(chromedp.Listen(t.ctx, t.listen))
	t.downloads = t.tb.TempDir()
	call(t, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: "allow", DownloadPath: t.downloads, BrowserContextID: chromedp.FromContext(t.ctx).BrowserContextID})
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
	call(t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: win.media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// resize is look at a page that is open, which then draws anew.
func (t *tab) resize(win window) {
	t.tb.Helper()
	t.look(win)
	eval[bool](t, `(delete document.documentElement.dataset.drawn, dispatchEvent(new Event("resize")))`)
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

// pages prints the page and returns how many sheets it takes.
func (t *tab) pages(width, height float64) int {
	t.tb.Helper()
	pdf := call(t, cdppage.PrintToPDF, cdppage.PrintToPDFParams{PaperWidth: width, PaperHeight: height}).Data
	return len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(pdf, -1))
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
