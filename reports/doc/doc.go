// Package doc turns answers into documents: sentences, tables and curves whose
// words, units and digits are settled here, once, for every printer.
//
// A document is in no system of units yet: its numbers are Quantities, SI values
// with the kind of thing they measure, and a printer asks them for their digits.
package doc

import (
	"math"
	"reflect"
	"slices"

	"footwork/beam/shape"
)

// Document is what a command or the page says.
type Document struct {
	Sections []section
}

// section opens with its answer in one sentence.
type section struct {
	ID, Title string
	Answer    Text
	Blocks    []Block
}

func (s *section) add(blocks ...Block) { s.Blocks = append(s.Blocks, said(blocks...)...) }

// said returns the blocks that have something to say.
func said(blocks ...Block) []Block {
	var out []Block
	for _, b := range blocks {
		if !empty(b) {
			out = append(out, b)
		}
	}
	return out
}

// Block is a part of a section, its rows in a slice or in a field of one of four names: a Text (a paragraph), Caution, List, Lines, *Table or
// *Curves, and on the page a drawing, Fold, Choice, Sheet or Trial.
type Block any

// empty reports whether a block has nothing to say: it is none, or has none of its rows.
func empty(b Block) bool {
	v := reflect.ValueOf(b)
	if b == nil || v.Kind() == reflect.Pointer && v.IsNil() {
		return true
	}
	if v = reflect.Indirect(v); v.Kind() == reflect.Slice {
		return v.Len() == 0
	}
	for _, rows := range []string{"Rows", "Series", "Items", "Blocks"} {
		if f := v.FieldByName(rows); f.IsValid() {
			return f.Len() == 0
		}
	}
	return false
}

// Caution is said where the work can hurt someone.
type Caution struct{ Words string }

// List is steps or remarks under a title; Numbered are done in their order.
type List struct {
	Title    string
	Items    []Text
	Numbered bool
}

// Lines are lines of a file as they are to be copied into it.
type Lines []string

// Fold is what opens on demand.
type Fold struct {
	Title  string
	Blocks []Block
	Paper  bool // printed, too, and open there
}

// Table is rows under a head. A cell is a string, a Quantity or a Text; a head
// names the unit of a column of bare quantities.
type Table struct {
	Title Text
	Head  []Text
	Rows  [][]any
}

// newTable returns a table without rows: its title and heads are Texts, or sentences without places but for units.
func newTable(title any, head ...any) *Table {
	return &Table{Title: asText(title), Head: each(head, asText)}
}

// column is the head of a column of bare quantities of a kind that the answer tells.
func column(name string, k Kind) Text { return say("{}, {}", name, UnitOf(k)) }

func (t *Table) add(cells ...any) { t.Rows = append(t.Rows, cells) }

// drop takes a column out.
func (t *Table) drop(column int) *Table {
	t.Head = slices.Delete(t.Head, column, column+1)
	for i, r := range t.Rows {
		t.Rows[i] = slices.Delete(r, column, column+1)
	}
	return t
}

// Numeric reports whether a column holds numbers, which stand right.
func (t *Table) Numeric(column int) bool {
	some := false
	for _, r := range t.Rows {
		if column >= len(r) || r[column] == "" {
			continue
		}
		some = true
		if _, ok := leading(r[column]).(Quantity); !ok {
			return false
		}
	}
	return some
}

// leading returns the first part of a cell.
func leading(cell any) any {
	if t, ok := cell.(Text); ok && len(t) > 0 {
		return leading(t[0])
	}
	return cell
}

// Curves are heights along the bed, or along another axis, over one another.
type Curves struct {
	Title  Text // what is seen, and of which state
	X, Y   Axis
	Series []Series
	Feet   []FootMark
	OnBed  bool    // X is along the bed, all of Length
	Length float64 // m, of the bed; 0 where it is not known
	Small  bool
	Keyed  bool // its title says which curve is which
}

// Axis names what an axis shows; without a Kind, Unit is that of the readings.
type Axis struct {
	Name string
	Kind Kind
	Unit string
}

// Series is one curve; Low and High, where given, are its band (95 %).
type Series struct {
	Name      string
	Style     Style
	X, Y      []float64
	Low, High []float64
}

// Style says which curve it is, so that none is told by colour alone.
type Style string

const (
	First  Style = "first"  // the front way, or the one curve
	Second Style = "second" // the back way
	Before Style = "before" // as it was
	Quiet  Style = "quiet"  // beside the point
	Third  Style = "third"
)

var wayStyles = []Style{First, Second, Quiet}

// FootMark is a foot under the axis.
type FootMark struct {
	Name string
	At   float64
	Off  bool // carries nothing
}

// tell gives curves that run on one another one line, named for all of them.
func (c *Curves) tell() *Curves {
	tall := 0.0
	for _, s := range c.Series {
		tall = max(tall, s.span())
	}
	var kept []Series
	for _, s := range c.Series {
		if k := slices.IndexFunc(kept, func(o Series) bool { return o.near(s, alike*tall) }); k >= 0 {
			kept[k].Name += " = " + s.Name
			continue
		}
		kept = append(kept, s)
	}
	c.Series = kept
	return c
}

// alike is the share of a picture's height within which two curves are one line:
// about its width.
const alike = 0.01

func (s Series) span() float64 {
	if len(s.Y) == 0 {
		return 0
	}
	return slices.Max(s.Y) - slices.Min(s.Y)
}

// At returns a curve's height at x, as high as its ends beyond them.
func (s Series) At(x float64) float64 {
	return shape.Shape{X: s.X, Y: s.Y}.At(min(max(x, s.X[0]), s.X[len(s.X)-1]))
}

func (s Series) near(o Series, within float64) bool {
	if len(s.Y) != len(o.Y) || s.Low != nil || o.Low != nil {
		return false
	}
	for i := range s.Y {
		if s.X[i] != o.X[i] || math.Abs(s.Y[i]-o.Y[i]) > within {
			return false
		}
	}
	return true
}

var along = Axis{Name: "along the bed", Kind: Along}

// alongBed returns an empty picture of heights along the bed over the feet of a standing;
// "": of none.
func (j job) alongBed(title Text, standing string) *Curves {
	return &Curves{Title: title, X: along, Y: Axis{Name: "height", Kind: Height}, OnBed: true, Length: j.Bed.Length, Feet: j.marks(standing)}
}
