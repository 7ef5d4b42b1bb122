package reports

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"
)

//go:embed assets
var assets embed.FS

// Mark stands in the head of every page of ours, and of no other.
const Mark = `<meta name="generator" content="footwork">`

// scripts of ours, in the order in which they are joined.
var scripts = []string{"units", "lines", "stand", "charts", "tables", "try", "journey", "page"}

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

var echarts = sync.OnceValue(func() string { return asset("echarts/echarts.min.js") })

// policy lets the two scripts of the page run, and nothing else; inline styles
// are what the chart script draws with.
var policy = sync.OnceValue(func() string {
	return fmt.Sprintf("default-src 'none'; script-src '%s' '%s'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'",
		digest(echarts()), digest(ours()))
})

func digest(script string) string {
	sum := sha256.Sum256([]byte(script))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// view is what the template fills in.
type view struct {
	Page                             *Page
	Sections                         []sectionView
	Short, Reached                   prose
	Length, Ways                     template.HTML
	Cautions                         []string
	Policy                           string
	Style                            template.CSS
	ECharts, Script                  template.JS
	Kinds, Charts, Try, Plan, Travel template.JS
}

// sectionView is a section with exported names, as a template needs them.
type sectionView struct {
	ID, Title, Missing string
	Number             int
	Answer             prose
	Warnings           []prose
	Caution            string
	Figures            []figureView
	Tables             []tableView
	Folded             []foldedView
	Sheet              []sheetStep
	How                []prose
}

type figureView struct {
	ID, Label, Way  string
	Small           bool
	Caption         prose
	Before, Drawing template.HTML
}

type tableView struct {
	Caption prose
	Head    []headView
	Rows    []rowView
}

type headView struct {
	Words prose
	Class string
}

type rowView struct {
	Way   string
	Cells []cellView
}

type cellView struct {
	Value any
	Class string
}

type foldedView struct {
	Title   string
	Figures []figureView
	Tables  []tableView
	List    []prose
}

// WriteHTML writes the page: one file that needs nothing else.
//
// Every text of p is escaped. A number that is not finite is an error of ours
// or of the caller, and is returned before anything is written.
func WriteHTML(w io.Writer, p Page) error {
	sections := p.sections()
	v, err := p.view(sections)
	if err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	t, err := template.New("page.html").Funcs(p.funcs()).Parse(asset("page.html"))
	if err != nil {
		panic(err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, v); err != nil {
		return fmt.Errorf("report page: %w", err)
	}
	_, err = b.WriteTo(w)
	return err
}

// sections returns the nine sections in the order of the decisions.
func (p *Page) sections() []section {
	return []section{p.where(), p.effect(), p.measured(), p.parted(), p.turned(), p.placed(), p.left(), p.sheet(), p.basis()}
}

func (p *Page) funcs() template.FuncMap {
	put := func(x prose) (template.HTML, error) { return x.html(p.Units), x.finite() }
	return template.FuncMap{
		"put":   put,
		"plain": func(x prose) string { return x.plain(p.Units) },
		"cell":  func(x any) (template.HTML, error) { return put(say(x)) },
		"num":   func(k Kind, v float64) prose { return say(q(k, v)) },
		"dict":  func(v *view, s []sheetStep) map[string]any { return map[string]any{"Root": v, "Steps": s} },
	}
}

func (p *Page) view(sections []section) (*view, error) {
	v := &view{Page: p, Short: p.short(), Cautions: cautions, Policy: policy(), Style: template.CSS(asset("page.css")),
		ECharts: template.JS(echarts()), Script: template.JS(ours()), Length: q(Along, p.Bed.Length).html(p.Units)}
	var names []string
	for _, w := range p.Bed.Ways {
		names = append(names, w.Name)
	}
	v.Ways = say(list(names)).html(p.Units)
	if p.Adjust != nil {
		v.Reached = say(q(Height, p.plan().Zone))
	}
	all := map[string]*chart{}
	for i, s := range sections {
		sv := viewOf(s, all)
		sv.Number = i + 1
		v.Sections = append(v.Sections, sv)
	}
	return v, p.fillData(v, all)
}

// short returns what a person in a hurry should read.
func (p *Page) short() prose {
	switch {
	case p.Adjust != nil:
		return append(p.turnAnswer(p.plan()), p.shareWords()...)
	case p.Survey != nil && len(p.Survey.Surveys) > 0:
		return measuredAnswer(p.latest())
	case p.Sag != nil && len(p.Sag.Standings) > 0:
		return p.standAnswer(p.mainStanding())
	}
	return say("Nothing was worked out yet: add a [[standing]] to the job.")
}

// fillData puts the data blocks into v. NaN and infinities stop here.
func (p *Page) fillData(v *view, all map[string]*chart) error {
	if p.Try != nil {
		all["try"] = p.tryChart()
	}
	blocks := []struct {
		name string
		to   *template.JS
		data any
	}{{"units", &v.Kinds, kinds}, {"charts", &v.Charts, all}, {"try", &v.Try, p.Try.thinned()}, {"plan", &v.Plan, p.planData()}, {"travel", &v.Travel, p.travelData()}}
	for _, b := range blocks {
		j, err := json.Marshal(b.data)
		if err != nil {
			return fmt.Errorf("%s: %w", b.name, err)
		}
		*b.to = template.JS(j)
	}
	return nil
}

func viewOf(s section, all map[string]*chart) sectionView {
	v := sectionView{ID: s.id, Title: s.title, Missing: s.missing, Answer: s.answer, Warnings: allFollowing(s.warnings), Caution: s.caution, Sheet: s.sheet, How: s.how,
		Figures: figureViews(s.figures, all), Tables: tableViews(s.tables)}
	for _, f := range s.folded {
		v.Folded = append(v.Folded, foldedView{f.title, figureViews(f.figures, all), tableViews(f.tables), allFollowing(f.list)})
	}
	return v
}

func figureViews(figures []figure, all map[string]*chart) []figureView {
	var out []figureView
	for _, f := range figures {
		if f.chart != nil {
			all[f.id] = f.chart
		}
		out = append(out, figureView{f.id, f.label, f.way, f.small, f.caption, f.before, f.drawing})
	}
	return out
}

func tableViews(tables []table) []tableView {
	var out []tableView
	for _, t := range tables {
		v := tableView{Caption: t.caption}
		classes := t.classes()
		for i, h := range t.head {
			v.Head = append(v.Head, headView{h, classes[i]})
		}
		for _, r := range t.rows {
			rv := rowView{Way: r.way}
			for i, c := range r.cells {
				rv.Cells = append(rv.Cells, cellView{c, classes[i]})
			}
			v.Rows = append(v.Rows, rv)
		}
		out = append(out, v)
	}
	return out
}
