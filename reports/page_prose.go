package reports

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"footwork/internal/unit"
)

// prose is words and quantities in a row. Everything that is not a quantity is
// text and is escaped.
type prose []any

func say(parts ...any) prose { return parts }

func (p prose) html(units unit.System) template.HTML {
	var b strings.Builder
	for _, part := range p {
		switch v := part.(type) {
		case quantity:
			b.WriteString(string(v.html(units)))
		case unitOf:
			b.WriteString(string(v.html(units)))
		case prose:
			b.WriteString(string(v.html(units)))
		case mark:
			b.WriteString(string(v.html()))
		default:
			b.WriteString(template.HTMLEscapeString(fmt.Sprint(v)))
		}
	}
	return template.HTML(b.String())
}

// mark is a word with a sign before it, so that it is not colour alone.
type mark string

func (m mark) html() template.HTML {
	sign := map[mark]string{"light": "△", "off": "◇", "told": "●", "not told": "○", "recommended": "★", "worth it": "★"}[m]
	return template.HTML(fmt.Sprintf(`<span class="mark mark-%s"><span aria-hidden="true">%s</span> %s</span>`,
		strings.ReplaceAll(string(m), " ", "-"), sign, m))
}

// table is rows under a head; the first column names the row.
type table struct {
	caption prose
	head    []prose
	rows    []row
}

type row struct {
	way   string // hidden when another way is chosen; "" always shown
	cells []any
}

func (t *table) add(cells ...any) { t.rows = append(t.rows, row{cells: cells}) }
func (t *table) addFor(way string, cells ...any) {
	t.rows = append(t.rows, row{way: way, cells: cells})
}

// classes returns for each column "number", "whole words", "words" or "long
// words": how it is set, and how narrow it may become.
func (t *table) classes() []string {
	width := len(t.head)
	for _, r := range t.rows {
		width = max(width, len(r.cells))
	}
	out := make([]string, width)
	for i := range out {
		out[i] = "number"
		longest := 0
		for _, r := range t.rows {
			if i >= len(r.cells) || r.cells[i] == "" {
				continue
			}
			if _, number := r.cells[i].(quantity); !number {
				out[i] = "words"
				longest = max(longest, len([]rune(say(r.cells[i]).plain(unit.Metric))))
			}
		}
		switch {
		case longest > 26:
			out[i] = "long words"
		case longest > 0:
			out[i] = "whole words"
		}
	}
	return out
}

// figure is a picture: a chart or a drawing, with the words that read it.
type figure struct {
	id      string
	caption prose
	label   string // for people who do not see it
	way     string // hidden when another way is chosen
	chart   *chart
	drawing template.HTML
	before  template.HTML // controls above the picture
	small   bool          // many stand side by side
}

// section is one decision: its answer, its pictures, its tables, how it was found.
type section struct {
	id, title string
	answer    prose
	warnings  []string
	caution   string // where the work can hurt someone
	figures   []figure
	tables    []table
	folded    []folded
	sheet     []sheetStep
	how       []prose
	missing   string // what to add to the job; then nothing else is shown
}

// folded is a table or pictures that open on demand.
type folded struct {
	title   string
	figures []figure
	tables  []table
	list    []string // steps in words
}

// list returns words joined as in a sentence: "a, b and c".
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// joined returns the parts as in a sentence, with commas and an "and".
func joined(parts []prose) prose {
	var out prose
	for i, p := range parts {
		switch {
		case i == 0:
		case i == len(parts)-1:
			out = append(out, " and ")
		default:
			out = append(out, ", ")
		}
		out = append(out, p)
	}
	return out
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// plain returns the prose without markup, as a screen reader says it.
func (p prose) plain(units unit.System) string {
	var b strings.Builder
	for _, part := range p {
		switch v := part.(type) {
		case quantity:
			b.WriteString(v.text(units))
		case unitOf:
			b.WriteString(Kind(v).in(units).Unit)
		case prose:
			b.WriteString(v.plain(units))
		default:
			fmt.Fprint(&b, v)
		}
	}
	return b.String()
}

// finite returns an error when a quantity of the prose is no number.
func (p prose) finite() error {
	for _, part := range p {
		var err error
		switch v := part.(type) {
		case quantity:
			if math.IsNaN(v.value) || math.IsInf(v.value, 0) {
				err = fmt.Errorf("a %s that is no number (%g)", v.kind, v.value)
			}
		case prose:
			err = v.finite()
		}
		if err != nil {
			return err
		}
	}
	return nil
}
