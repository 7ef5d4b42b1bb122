package unit

import "testing"

// The usual pairs of textbooks, and "ca" and "abc", which are 3 apart where no letter is touched twice and 2 where it may
// be (from memory).
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"ca", "abc", 3}, {"ca", "ac", 1}, {"lenght", "length", 1}, {"", "foot", 4}, {"foot", "", 4}, {"foot", "foot", 0}} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %d, not %d", c.a, c.b, got, c.want)
		}
	}
}

// A word is near with one slip, a long one with a third of its letters wrong, and never with all of them; the
// first of the nearest is named.
func TestNearest(t *testing.T) {
	known := []string{"length", "weight", "at", "offset"}
	for word, want := range map[string]string{"Lenght": "length", "lxxgth": "length", "lxxxth": "", "wight": "weight", "a": "", "as": "at", "xx": "", "offsets": "offset", "": ""} {
		if got := Nearest(word, known); got != want {
			t.Errorf("%q is near %q, not %q", word, got, want)
		}
	}
}
