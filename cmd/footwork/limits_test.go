package main

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"testing"

	"footwork/internal/shop/turn"
	"footwork/supports"
)

// openLimited is the small job with more in the table of each foot.
func openLimited(t *testing.T, more func(foot string) string) *opened {
	t.Helper()
	file, err := writeSmall(t.TempDir(), "")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	name := regexp.MustCompile(`name = "([FB]\d)"\n`)
	with := name.ReplaceAllStringFunc(string(text), func(line string) string { return line + more(name.FindStringSubmatch(line)[1]) + "\n" })
	if err := os.WriteFile(file, []byte(with), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := (&terminal{out: io.Discard, err: io.Discard}).open(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// No turn of a session is meant to go beyond a foot's thread, though the plan without it does, and
// none loads a foot beyond its rating, but for what is not known of its load (a tenth): one that
// carries more as it stands does not get more.
func TestTurnKeepsLimits(t *testing.T) {
	if testing.Short() {
		t.Skip("two matches")
	}
	threads := map[string]supports.Thread{"F1": {Up: 5e-6, Down: 15e-6}, "B1": {Up: 10e-6}, "F2": {Up: 8e-6, Down: 3e-6}, "B2": {Up: 2e-6, Down: 2e-6}, "F3": {Up: 10e-6, Down: 20e-6}, "B3": {Up: 12e-6, Down: 1e-6}}
	const rated = 5e3
	for name, limit := range map[string]func(foot string) string{
		"thread": func(foot string) string {
			return fmt.Sprintf(`left = { up = "%g µm", down = "%g µm" }`, threads[foot].Up*1e6, threads[foot].Down*1e6)
		},
		"rated": func(string) string { return `rated = "5 kN"` },
	} {
		s, h, meant, turns := begin(t, openLimited(t, limit), nil), newHelper(t), map[string]float64{}, 0
		before := h.loads(t)
		for s.Card().Kind != turn.Over && turns < 60 {
			c := s.Card()
			h.work(t, s, 1)
			if k := c.Kind; k != turn.Step && k != turn.Trial && k != turn.Angle {
				continue
			}
			turns++
			meant[c.Foot] += c.Raise
			if l, most := threads[c.Foot], meant[c.Foot]; name == "thread" && (most > l.Up+1e-9 || most < -l.Down-1e-9) {
				t.Errorf("turn %d: %s is meant to go %+.1f µm in all, its thread %+v m", turns, c.Foot, most*1e6, l)
			}
			now := h.loads(t)
			for f, load := range now {
				if most := max(1.1*rated, before[f]*1.02); name == "rated" && load > most {
					t.Errorf("turn %d: foot %d is loaded with %.0f N, it had %.0f", turns, f, load, before[f])
				}
			}
			before = now
		}
		if turns < 3 {
			t.Errorf("%s: %d turns", name, turns)
		}
	}
}

// loads are what the feet of the invented bed carry, N.
func (h *helper) loads(t *testing.T) (list []float64) {
	t.Helper()
	st, err := h.solver.Solve(h.now)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range st.Feet() {
		list = append(list, f.Load)
	}
	return list
}
