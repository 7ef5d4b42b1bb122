package page_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"footwork/internal/job"
	"footwork/internal/shop"
	"footwork/reports"
	"footwork/reports/doc"
)

// The same number for the same thing: the sentences of the terminal are those of the
// page, and in every state, with the table on the bed and off it, the page shows the
// loads and the straightness that `sag` gives, to nine figures. (A job of testdata, read in
// the browser.)
func TestSameNumbers(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "jobs", "good")
	if testing.Short() {
		t.Skip("a whole job takes its time")
	}
	data, err := os.ReadFile(filepath.Join(path, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	quick := regexp.MustCompile("(?m)^(modulus = .*|inertia = \"9000.*|contact = .*)$").ReplaceAll(data, nil) // the table rigid
	quick, rest, _ := bytes.Cut(quick, []byte("[place]"))
	_, rest, _ = bytes.Cut(rest, []byte("[cut]"))
	j, err := job.Read("job.toml", append(append(quick, "[cut]"...), rest...), func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(path, name)) })
	if err != nil {
		t.Fatal(err)
	}
	s := shop.Open(j)
	p, err := s.Report(func(error) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range p.Adjust.Warnings {
		if _, given := w.(reports.NotMatched); given {
			t.Error("feet with a length are not matched")
		}
	}
	tab := open(t, written(t, p), window{width: 1200, height: 800})
	for section, v := range map[string]reports.View{"answer": p.Adjust, "parts": p.Match, "measured": p.Survey, "cut": p.Cut} {
		text, err := (doc.Job{Length: p.Bed.Length, Standings: p.Standings, Adjusters: p.Adjusters, Goal: p.Goal}).Of(v)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := eval[string](tab, fmt.Sprintf(`document.querySelector("#%s > .answer").textContent`, section)), text.Sections[0].Answer.In(j.Units); got != want {
			t.Errorf("%s: the page says %q, the terminal %q", section, got, want)
		}
	}
	for _, state := range p.States {
		for table, under := range map[string]bool{"off": false, "on": true} {
			var at *float64
			if under {
				if state.Under == nil {
					continue
				}
				at = state.Under.TableAt
			}
			sag, err := s.Sag([]string{p.Standing}, state.State, at)
			if err != nil {
				t.Fatal(err)
			}
			tab.choose("state", string(state.State))
			tab.choose("table", table)
			shown := eval[map[string]float64](tab, `Object.fromEntries([...document.querySelectorAll("#answer .beside table")].filter((t) => t.checkVisibility())
				.flatMap((t) => [...t.tBodies[0].rows]).map((r) => [r.cells[0].textContent, Number(r.cells[3].querySelector("data").value)]))`)
			same := func(name string, want float64) {
				if got := shown[name]; !(math.Abs(got-want) <= 1e-8*math.Abs(want)+1e-15) {
					t.Errorf("%s: %g on the page, %g by sag", fmt.Sprint(state.State, ", table ", table, ", ", name), got, want)
				}
			}
			for _, f := range sag.Standings[0].Feet {
				same(f.Name, f.Load)
			}
			for _, w := range sag.Standings[0].Ways {
				same(w.Name, w.Straightness.MinimumZone)
			}
		}
	}
	tab.quiet()
}
