package sheet

import (
	"strings"
	"testing"
)

// Whatever a cell says, what is written is read back, and begins no formula.
func FuzzLine(f *testing.F) {
	f.Add("=1+1", "a;b")
	f.Add("-2,5", `say "hot"`)
	f.Add("'=x", "#1")
	f.Fuzz(func(t *testing.T, a, b string) {
		for _, sep := range "\t;," {
			text := Line([]string{"when", "what", "where"}, sep, "\r\n") + Line([]string{"x", a, b}, sep, "\r\n")
			rows, got, faults := Read([]byte(text))
			if len(faults) > 0 || len(rows) != 2 || got != sep {
				t.Fatalf("%q: %v %v", text, rows, faults)
			}
			clean := func(s string) string {
				return strings.Join(strings.Fields(strings.ToValidUTF8(strings.ReplaceAll(s, "\x00", ""), "")), " ")
			}
			want := []string{"x", clean(a), clean(b)}
			for i, w := range want {
				cell := ""
				if i < len(rows[1].Cells) {
					cell = rows[1].Cells[i]
				}
				if _, complaint := Number(cell); cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) && complaint != "" {
					t.Fatalf("%q begins a formula", cell)
				}
				if Bare(cell) != w && !strings.HasPrefix(w, "'") {
					t.Fatalf("%q came back as %q", w, Bare(cell))
				}
			}
		}
	})
}
