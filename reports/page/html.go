package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"footwork/reports/doc"
)

func escape(s string) string { return template.HTMLEscapeString(s) }

// pick returns one of two.
func pick[T any](first bool, one, other T) T {
	if first {
		return one
	}
	return other
}

// add writes markup; texts among its arguments are escaped by whoever gives them.
func (p *printer) add(format string, a ...any) { fmt.Fprintf(&p.b, format, a...) }

// words returns a text with its quantities marked, so that the script can print
// them anew.
func (p *printer) words(t doc.Text) template.HTML { return template.HTML(p.within("data", "span", t)) }

// within returns a text with its quantities and units in elements of those names.
func (p *printer) within(number, name string, t doc.Text) string {
	var b strings.Builder
	t.Each(func(part any) {
		switch v := part.(type) {
		case doc.Quantity:
			fmt.Fprintf(&b, `<%s %s>%s</%[1]s>`, number, p.attributes(number, v), escape(v.In(p.units)))
		case doc.UnitOf:
			fmt.Fprintf(&b, `<%s data-unit="%s">%s</%[1]s>`, name, v, escape(doc.Kind(v).In(p.units).Unit))
		default:
			b.WriteString(escape(fmt.Sprint(v)))
		}
	})
	return b.String()
}

// attributes returns what the script needs to print a quantity anew. A reading is
// in its instrument's unit and stays.
func (p *printer) attributes(element string, q doc.Quantity) string {
	value := strconv.FormatFloat(q.Value, 'g', 9, 64)
	a := pick(element == "data", fmt.Sprintf(`value="%s" data-k="%s"`, value, q.Kind), fmt.Sprintf(`data-k="%s" data-v="%s"`, q.Kind, value))
	for i, on := range []bool{q.Bare, q.Signed, q.Fine} {
		if on {
			a += " data-" + "bsf"[i:i+1]
		}
	}
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		p.err = fmt.Errorf("a %s came out as %v, which is no number", q.Kind, q.Value)
	}
	return a
}

func (p *printer) blocks(blocks []doc.Block) template.HTML {
	outer := p.b
	p.b = strings.Builder{}
	for _, b := range blocks {
		p.block(b)
	}
	out := p.b.String()
	p.b = outer
	return template.HTML(out)
}

func (p *printer) block(b doc.Block) {
	switch v := b.(type) {
	case doc.Lead:
		p.add(`<p class="answer">%s</p>`, p.words(doc.Text(v)))
	case doc.Text:
		p.add(`<p>%s</p>`, p.words(v))
	case doc.Caution:
		p.add(`<p class="caution"><b>Caution.</b> %s</p>`, escape(v.Words))
	case doc.List:
		p.list(v)
	case doc.Lines:
		p.add(`<pre>%s</pre>`, escape(strings.Join(v, "\n")))
	case doc.Fold:
		p.add(`<details class="fold%s"><summary>%s</summary>%s</details>`, map[bool]string{true: " paper"}[v.Paper], escape(v.Title), p.blocks(v.Blocks))
	case doc.Pair:
		p.add(`<div class="pair"><div>%s</div><div class="beside">%s</div></div>`, p.blocks(v.Picture), p.blocks(v.Beside))
	case doc.Choice:
		p.choice(v)
	case doc.Tiles:
		p.add(`<div class="tiles">%s</div>`, p.blocks(v))
	case *doc.Table:
		p.table(v)
	case *doc.Curves:
		p.curves(v)
	case *doc.Trial:
		p.trial = v
		p.tryIt(v)
	case *doc.Sheet:
		p.sheet = v
		p.printedSheet(v)
	default:
		p.drawing(b)
	}
}

func (p *printer) choice(c doc.Choice) {
	for _, part := range c {
		states := strings.Trim(fmt.Sprint(part.States), "[]")
		table := pick(part.Table != "", fmt.Sprintf(` data-table="%s"`, part.Table), "")
		p.add(`<div class="part" data-state="%s"%s>%s</div>`, states, table, p.blocks(part.Blocks))
	}
}

func (p *printer) list(l doc.List) {
	element := pick(l.Numbered, "ol", "ul")
	if l.Title != "" {
		p.add(`<div class="notes"><p><b>%s</b></p>`, escape(l.Title))
		defer p.add(`</div>`)
	}
	p.add(`<%s>`, element)
	for _, item := range l.Items {
		p.add(`<li>%s</li>`, p.words(item))
	}
	p.add(`</%s>`, element)
}

func (p *printer) table(t *doc.Table) {
	p.add(`<div class="scroll"><table><caption>%s</caption><thead><tr>`, p.words(t.Title))
	classes := make([]string, len(t.Head))
	for i, h := range t.Head {
		if !t.Numeric(i) {
			classes[i] = ` class="words"`
		}
		if len(h) == 0 || h[0] == "" {
			p.add(`<td></td>`)
			continue
		}
		p.add(`<th scope="col"%s>%s</th>`, classes[i], p.words(h))
	}
	p.add(`</tr></thead><tbody>`)
	for _, r := range t.Rows {
		p.add(`<tr>`)
		for i, c := range r {
			if i == 0 && p.cell(c) != "" { // a row that goes on has no head of its own
				p.add(`<th scope="row"%s>%s</th>`, classes[i], p.cell(c))
				continue
			}
			class := classes[i]
			if class != "" && len([]rune(doc.Text{c}.In(p.units))) <= shortCell {
				class = ` class="words short"`
			}
			p.add(`<td%s>%s</td>`, class, p.cell(c))
		}
		p.add(`</tr>`)
	}
	p.add("</tbody></table></div>\n")
}

// shortCell is how many letters of a cell are never parted.
const shortCell = 18

func (p *printer) cell(c any) template.HTML {
	if t, ok := c.(doc.Text); ok {
		return p.words(t)
	}
	return p.words(doc.Text{c})
}
