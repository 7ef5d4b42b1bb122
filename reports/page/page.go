// Package page lays a document out as one HTML file that needs nothing else: no
// request leaves it, and every text of a job is escaped.
//
// Drawings, tables and sentences are written here and show without script; the
// script changes units and states, draws the curves and moves the feet.
package page

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
)

//go:embed assets
var assets embed.FS

// Mark stands in the head of every page of ours, and of no other.
const Mark = `<meta name="generator" content="footwork">`

// scripts of ours, in the order in which they are joined.
var scripts = []string{"units", "bed", "charts", "try", "sheet", "page"}

func asset(name string) string {
	b, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic(err)
	}
	return string(b)
}

// ours returns our scripts as one, in a scope of their own.
var ours = sync.OnceValue(func() string {
	var b strings.Builder
	b.WriteString("(() => {\n\"use strict\";\n")
	for _, name := range scripts {
		b.WriteString(asset("js/" + name + ".js"))
	}
	b.WriteString("})();\n")
	return b.String()
})

var echarts = sync.OnceValue(func() string { return asset("echarts/echarts.common.min.js") })

// early runs before the first paint: with script, what is there for those without
// it is not shown.
const early = `document.documentElement.dataset.script="on"`

// policy lets the scripts of the page run, and nothing else; inline styles are
// what the chart script draws with.
var policy = sync.OnceValue(func() string {
	return fmt.Sprintf("default-src 'none'; script-src '%s' '%s' '%s'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'",
		digest(early), digest(echarts()), digest(ours()))
})

func digest(script string) string {
	sum := sha256.Sum256([]byte(script))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// view is what the template fills in.
type view struct {
	Title, Standing, Made, Units, State, Policy string
	Length                                      template.HTML
	States                                      []choice
	Table                                       bool
	Sections                                    []section
	Style                                       template.CSS
	Early, ECharts, Script, Data                template.JS
}

type choice struct{ Value, Label string }

type section struct {
	ID, Title    string
	Number       int
	Answer, Body template.HTML
}

// Write writes the page. A number that is not finite is an error of ours or of
// the caller, and is returned before anything is written.
func Write(w io.Writer, p *reports.Page) error {
	d, err := doc.Page(p)
	if err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	pr := &printer{units: p.Units, charts: map[string]*chart{}}
	v := &view{Title: p.Title, Standing: p.Standing, Made: p.Made, Units: p.Units.String(), Policy: policy(), Style: template.CSS(margins() + asset("page.css")),
		Early: early, ECharts: template.JS(echarts()), Script: template.JS(ours()), Length: pr.words(doc.Text{doc.Quantity{Kind: doc.Along, Value: p.Bed.Length}})}
	v.states(p)
	for i, s := range d.Sections {
		v.Sections = append(v.Sections, section{s.ID, s.Title, i, pr.words(s.Answer), pr.blocks(s.Blocks)})
	}
	if v.Data, err = pr.data(); err == nil {
		err = pr.err
	}
	if err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	t, err := template.New("page.html").Parse(asset("page.html"))
	if err != nil {
		return err
	}
	var b strings.Builder
	if err := t.Execute(&b, v); err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	_, err = io.WriteString(w, b.String())
	return err
}

// states are those that the page can show; the last is shown first.
func (v *view) states(p *reports.Page) {
	for _, s := range p.States {
		v.States = append(v.States, choice{string(s.State), doc.StateWords(s.State)})
		v.State = string(s.State)
		v.Table = v.Table || s.Under != nil
	}
}

// printer turns blocks into HTML and gathers what the script needs.
type printer struct {
	units  unit.System
	charts map[string]*chart
	trial  *doc.Trial
	sheet  *doc.Sheet
	b      strings.Builder
	err    error // a number that is none
}

// data returns what the script needs. NaN and infinities stop here.
func (p *printer) data() (template.JS, error) {
	j, err := json.Marshal(map[string]any{"kinds": doc.Kinds(), "charts": p.charts, "try": tryData(p.trial), "sheet": sheetData(p.sheet)})
	return template.JS(j), err
}
