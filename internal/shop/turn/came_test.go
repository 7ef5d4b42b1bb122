package turn

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"footwork/survey/log"
)

// typeAll types lines, and returns what goes into the log of how far feet came, of touches and of lines that do not count.
func typeAll(t *testing.T, s *Session, typed ...string) (lines []string) {
	t.Helper()
	for _, text := range typed {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	for _, l := range s.Lines() {
		if what := log.What(l.What); what == log.Came || what == log.Void || l.Value == "to touch" {
			lines = append(lines, strings.TrimSpace(l.What+" "+l.Where+" "+l.Value))
		}
	}
	return lines
}

// How far feet came since the survey is written down before a foot is brought to where it touches and at the end, each
// part once; what is struck out is no more said.
func TestCameIsWritten(t *testing.T) {
	s, p, rate := nutsSeenWell(t, 10*um)
	up := func() string { // F1 is turned until it reads so
		at(t, s, Card{Kind: Step, Foot: "F1", Survey: "front way", Raise: 10 * um, Until: 10 * um * rate, Within: um * math.Abs(rate)}, 0, p)
		return fmt.Sprintf("%.3f", 10*um*rate/1e-6)
	}
	came := func(news []News, foot string) string {
		k := slices.IndexFunc(news, func(n News) bool { return n.Foot == foot })
		return fmt.Sprintf("came %s %s ± %.1f µm", foot, upOrDown(news[k].Raised, "%.1f µm", 1e-6), news[k].SD/um)
	}
	typeAll(t, s, up())
	first := came(s.Came(), "F1")
	if n := s.Came()[0]; math.Abs(n.Raised-10*um) > 2*um {
		t.Errorf("F1 came %.1f µm", n.Raised/um)
	}
	s.card = Card{Kind: Resurvey}
	if got, want := typeAll(t, s, "note so far"), []string{first}; !slices.Equal(got, want) {
		t.Errorf("as a survey is asked for: %q, not %q", got, want)
	}
	if got, want := typeAll(t, s, "strike out"), []string{"void 2026-03-05 came F1", "void 2026-03-05 read front way"}; !slices.Equal(got, want) {
		t.Errorf("struck out: %q, not %q", got, want)
	}
	s.last = nil
	s.beds = s.begun.copy()
	typeAll(t, s, up())
	at(t, s, Card{Kind: Touch, Foot: "F2", Survey: "front way"}, 2, p)
	s.step.Touch = true
	first = came(s.Came(), "F1")
	if got, want := typeAll(t, s, "nips"), []string{first, "turn F2 to touch"}; !slices.Equal(got, want) {
		t.Errorf("F2 touches: %q, not %q", got, want)
	}
	if got, want := typeAll(t, s, "stop"), []string{came(s.Came(), "F2")}; !slices.Equal(got, want) {
		t.Errorf("at the end: %q, not %q", got, want)
	}
}

// A log that says how far a foot came is taken up as it stands: turns that it sums up are not made again, and where it
// has none the foot was raised so.
func TestCameIsReplayed(t *testing.T) {
	came := log.Entry{Act: log.Act{What: log.Came, Foot: "F2", Value: 12 * um, Sigma: 2 * um}}
	for name, since := range map[string][]log.Entry{
		"with its turn": {{Act: log.Act{What: log.Turn, Foot: "F2", Value: 12 * um}}, came}, "alone": {came},
	} {
		in := lowPair(t, 100*um)
		in.Since = since
		s, err := Begin(in)
		if err != nil {
			t.Fatal(err)
		}
		if n := s.Came(); len(n) != 1 || math.Abs(n[0].Raised-12*um) > 2*um {
			t.Errorf("%s: %+v", name, n)
		}
		if again := typeAll(t, s, "stop"); again != nil {
			t.Errorf("%s: it is said again: %q", name, again)
		}
	}
}
