package text

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Unicode Standard Annex 11: ideographs and kana are wide; combining marks sit
// on the letter before.
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "way": 3, "床": 2, "かな": 4, "e\u0301": 1, "µm": 2, "\x1b[36mab\x1b[0m": 2, "⠒": 1, "한": 2, "ｗ": 2} {
		if got := width(s); got != want {
			t.Errorf("%q: %d columns, want %d", s, got, want)
		}
	}
}

// Wrapping loses nothing but spaces at the ends of lines.
func TestWrapKeepsEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, most := clean(rapid.OneOf(rapid.String(), rapid.StringMatching(`(長{1,90}|x{1,200}|way )*`)).Draw(t, "s")), rapid.IntRange(2, 80).Draw(t, "width")
		lines := wrap(s, most)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(s, " ", "") {
			t.Fatalf("%q became %q", s, lines)
		}
		for _, l := range lines {
			if width(l) > most {
				t.Fatalf("%q is wider than %d", l, most)
			}
		}
	})
}
