package job

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// header says how a table came to be.
type header int

const (
	inline  header = iota // { … }
	implied               // by a longer header or a dotted key
	single                // [x]
	double                // [[x]]
)

// broken is the kind of a value whose line could not be read: it is there, so
// nothing should call it missing.
const broken = unstable.Invalid

// value is a TOML value that remembers its line. Every table that a header
// makes is an item of an array, so that [x] in place of [[x]] can be told.
type value struct {
	kind   unstable.Kind
	line   int
	text   string            // of a scalar: a string's content, else as written
	items  []*value          // of an array
	keys   map[string]*value // of a table
	names  []string          // of a table's keys, in order
	header header
}

func newTable(line int, h header) *value {
	return &value{kind: unstable.InlineTable, line: line, header: h, keys: map[string]*value{}}
}

// set puts v under the key; false when the key is there already.
func (t *value) set(key string, v *value) bool {
	if _, there := t.keys[key]; there {
		return false
	}
	t.keys[key] = v
	t.names = append(t.names, key)
	return true
}

// below returns the table under the key, the last one of several, made when
// there is none; nil when something else stands there.
func (t *value) below(key string, line int) *value {
	if t.keys[key] == nil {
		t.set(key, &value{kind: unstable.Array, line: line, items: []*value{newTable(line, implied)}})
	}
	v := t.keys[key]
	if v.kind != unstable.Array || len(v.items) == 0 {
		return nil
	}
	if last := v.items[len(v.items)-1]; last.header != inline && last.kind == unstable.InlineTable {
		return last
	}
	return nil
}

// tree builds a document out of the parser's expressions.
type tree struct {
	*source
	parser unstable.Parser
	data   []byte // the whole file
	ends   []int  // of its lines
	start  int    // of what the parser reads now
	root   *value
	at     *value // the table that keys go into
	path   string // of that table, with a point at its end
}

// parse returns the document of a job file, of which a byte-order mark is left out; nil when
// nothing of it can be read. It reports every fault of the notation.
func (s *source) parse(data []byte) *value {
	data = slices.Clip(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	if line, message, hint := noText(data); message != "" {
		s.report(line, "", hint, "%s", message)
		return nil
	}
	t := &tree{source: s, data: data, root: newTable(1, single)}
	t.at = t.root
	for t.start < len(data) {
		t.parser.Reset(data[t.start:])
		for t.parser.NextExpression() {
			t.add(t.parser.Expression())
		}
		var e *unstable.ParserError
		if err := t.parser.Error(); err == nil {
			break
		} else if !errors.As(err, &e) {
			panic(err) // the parser makes no other
		}
		t.skip(e)
	}
	return t.root
}

// line returns the line of a place that the parser names.
func (t *tree) line(r unstable.Range) int { return t.lineAt(t.start + int(r.Offset)) }

func (t *tree) lineAt(offset int) int {
	if t.ends == nil {
		for i, c := range t.data {
			if c == '\n' {
				t.ends = append(t.ends, i)
			}
		}
	}
	before, _ := slices.BinarySearch(t.ends, offset)
	return 1 + before
}

var (
	keyLine   = regexp.MustCompile(`^\s*([A-Za-z0-9_-]+)\s*=\s*(.*?)\s*$`)
	headLine  = regexp.MustCompile(`^\s*\[`)
	codePoint = regexp.MustCompile(`U\+[0-9A-F]+ ('.')`)
	unquoted  = regexp.MustCompile(`^[^"'\[\]{}#,]*[^"'\[\]{}#,\s]$`)
)

// skip reports a fault of notation and goes on at the next line that begins
// with a key or a header.
func (t *tree) skip(e *unstable.ParserError) {
	t.damaged = true
	offset := t.start + int(t.parser.Range(e.Highlight).Offset)
	from := 1 + bytes.LastIndexByte(t.data[:offset], '\n')
	text, _, _ := strings.Cut(string(t.data[from:]), "\n")
	line, key, hint := t.lineAt(offset), "", `text and quantities stand in straight quotes, for example "250 mm"`
	if m := keyLine.FindStringSubmatch(text); m != nil {
		t.at.set(m[1], &value{kind: broken, line: line})
		key = t.path + m[1]
		if hint = hintFor(m[1], m[2]); strings.TrimSpace(text[:offset-from]) == "" {
			hint = "a list or table above is not closed: end it with ] or }"
		}
	} else if headLine.MatchString(text) {
		t.at, hint = newTable(line, implied), "a header is [name] or [[name]]"
	} else if strings.Contains(e.Message, "','") {
		hint = `every value stands in straight quotes, with commas between: { width = "32 mm", height = "420 mm" }`
	} else if !strings.Contains(text, "=") {
		hint = "a line is key = value, a remark begins with #"
	}
	message := codePoint.ReplaceAllString(strings.ReplaceAll(e.Message, "character U+000A", "end of line"), "$1")
	if r, _ := utf8.DecodeRune(t.data[offset:]); r > unicode.MaxASCII { // the parser names one byte of it
		message = fmt.Sprintf("unexpected character %c", r)
	}
	t.report(line, key, hint, "column %d cannot be read: %s", offset-from+1, message)
	t.start = min(from+len(text)+1, len(t.data))
	for rest := range bytes.Lines(t.data[t.start:]) {
		if headLine.Match(rest) || keyLine.Match(rest) {
			return
		}
		t.start += len(rest)
	}
}

// hintFor says how to write a key's value that could not be read.
func hintFor(key, text string) string {
	bare, _, _ := strings.Cut(text, "#")
	bare = strings.Trim(bare, " \t“”„‘’")
	switch quotes := strings.Count(bare, `"`); {
	case strings.HasPrefix(text, `"`) && strings.Contains(text, `\`):
		return pathHint
	case slices.Contains(truths, strings.ToLower(bare)):
		return fmt.Sprintf("write %s = true or %s = false", key, key)
	case unquoted.MatchString(bare):
		return fmt.Sprintf("put the value in straight quotes: %s = \"%s\"", key, bare)
	case strings.HasPrefix(bare, `"`) && quotes == 1:
		return fmt.Sprintf("close the quotes: %s = %s\"", key, bare)
	case strings.HasPrefix(bare, `"`) && quotes == 2 && !strings.HasSuffix(bare, `"`):
		return "leave out what stands behind the quotes"
	}
	return `text and quantities stand in straight quotes, for example "250 mm"`
}

// truths are what people write for true and false.
var truths = []string{"yes", "no", "true", "false", "on", "off"}

// add puts one expression into the document.
func (t *tree) add(n *unstable.Node) {
	path, line := t.keyOf(n)
	table, last := t.at, path[len(path)-1]
	if n.Kind != unstable.KeyValue {
		table = t.root
	}
	for _, key := range path[:len(path)-1] {
		if table = table.below(key, line); table == nil {
			t.report(line, strings.Join(path, "."), "keep one of them", "%s is a value above and a table here", key)
			if n.Kind != unstable.KeyValue {
				t.at = newTable(line, implied)
			}
			return
		}
	}
	switch n.Kind {
	case unstable.KeyValue:
		if !table.set(last, t.value(n.Value(), line)) {
			t.report(line, t.path+strings.Join(path, "."), "keep one of them", "is given twice")
		}
		return
	case unstable.Table:
		t.open(table, path, newTable(line, single))
	case unstable.ArrayTable:
		t.open(table, path, newTable(line, double))
	}
	t.path = strings.Join(path, ".") + "."
}

// open makes next the table that keys go into.
func (t *tree) open(parent *value, path []string, next *value) {
	t.at = next
	key := path[len(path)-1]
	v := parent.keys[key]
	switch {
	case v == nil:
		parent.set(key, &value{kind: unstable.Array, line: next.line, items: []*value{next}})
	case parent.below(key, next.line) == nil:
		hint := "keep one of them"
		if key == "weight" {
			hint = `write the weighed total of the bed as weighed = "2.1 t"`
		}
		t.report(next.line, strings.Join(path, "."), hint, "is a value above and a table here")
	case next.header == single && len(v.items) == 1 && v.items[0].header == implied:
		v.items[0].header, v.items[0].line, t.at = single, next.line, v.items[0]
	default:
		v.items = append(v.items, next)
	}
}

// value returns the parser's value; line stands in where the parser keeps none.
func (t *tree) value(n *unstable.Node, line int) *value {
	if n.Raw.Length > 0 {
		line = t.line(n.Raw)
	}
	switch n.Kind {
	case unstable.Array:
		v := &value{kind: n.Kind, line: line}
		for it := n.Children(); it.Next(); {
			v.items = append(v.items, t.value(it.Node(), line))
		}
		return v
	case unstable.InlineTable:
		v := newTable(line, inline)
		for it := n.Children(); it.Next(); {
			path, line := t.keyOf(it.Node())
			if key := strings.Join(path, "."); !v.set(key, t.value(it.Node().Value(), line)) {
				t.report(line, t.path+key, "keep one of them", "is given twice")
			}
		}
		return v
	}
	return &value{kind: n.Kind, line: line, text: string(n.Data)}
}

// keyOf returns the parts of an expression's key, and its line.
func (t *tree) keyOf(n *unstable.Node) (path []string, line int) {
	for it := n.Key(); it.Next(); {
		if path = append(path, string(it.Node().Data)); line == 0 {
			line = t.line(it.Node().Raw)
		}
	}
	return path, line
}
