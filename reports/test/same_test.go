package test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footwork/internal/job"
	"footwork/internal/shop"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
)

// jobs are in testdata. A run reads those that are worked through at once, the small one with all
// that a job may ask of its bed. FOOTWORK_TRIAL=pages reads the others too.
var jobs = []struct {
	name  string
	whole bool
	more  string // stands at its end
}{
	{name: "three"}, {name: "inch"}, {name: "small", more: asked},
	{name: "good", whole: true}, {name: "sixteen", whole: true},
}

const asked = `
[table]
length = "1.2 m"
weight = "200 kg"
tool = "1.5 m"
stroke = { from = "0 m", to = "1.8 m" }
[[master]]
name = "edge"
length = "1.5 m"
depth = "100 mm"
[cut]
depth_per_pass = "3 µm"
time_per_pass = "50 min"
[place]
feet = [3]
offsets = ["-200 mm", "200 mm"]
[[standing]]
name = "planer"
[[standing.bearing]]
from = "300 mm"
to = "2700 mm"
offset = "-200 mm"
stiffness = "0.5 kN/µm/m"
[[standing.bearing]]
from = "300 mm"
to = "2700 mm"
offset = "200 mm"
stiffness = "0.5 kN/µm/m"
`

func readJob(t *testing.T, name, more string) *job.Job {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "jobs", name)
	data, err := os.ReadFile(filepath.Join(path, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if more != "" {
		data = []byte(strings.NewReplacer("name = \"floor\"\n", "name = \"floor\"\nafter = \"planer\"\n", "[adjust]\n", "[adjust]\nstanding = \"floor\"\n").Replace(string(data)) + more)
	}
	j, err := job.Read("job.toml", data, func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(path, name)) })
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Every job of testdata is worked through and its page read in the browser. The same number
// stands for the same thing in the terminal's sentences, in the views that JSON is written
// from, and on the page; and no choice of units leaves a unit of the other system.
func TestSameNumbers(t *testing.T) {
	if testing.Short() {
		t.Skip("whole jobs take their time")
	}
	for _, one := range jobs {
		if one.whole && os.Getenv("FOOTWORK_TRIAL") != "pages" {
			continue
		}
		t.Run(fmt.Sprint(one.name, map[bool]string{true: ", whole"}[one.whole]), func(t *testing.T) {
			t.Parallel()
			s := shop.Open(readJob(t, one.name, one.more))
			p, err := s.Report(func(err error) { t.Error(err) })
			if err != nil {
				t.Fatal(err)
			}
			r := &reader{T: t, Shop: s, page: p, tab: open(t, written(t, p), window{width: 1200, height: 800})}
			r.sentences()
			r.states()
			r.trial()
			r.units()
			r.tab.quiet()
		})
	}
}

// reader holds a page in the browser against the job it was made of.
type reader struct {
	*testing.T
	*shop.Shop
	page *reports.Page
	tab  *tab
}

// answer is how the terminal would begin.
func (r *reader) answer(v reports.View) string {
	r.Helper()
	text, err := doc.Of(r.page, v)
	if err != nil {
		r.Fatal(err)
	}
	return text.Sections[0].Answer.In(r.Units)
}

// sentences are the terminal's, those that differ by state in each of them.
func (r *reader) sentences() {
	p := r.page
	same := func(section string, v reports.View) {
		if got, want := eval[string](r.tab, fmt.Sprintf(`[...document.querySelectorAll("#%s > .answer, #%[1]s > .part > .answer")].find((e) => e.checkVisibility()).textContent`, section)), r.answer(v); got != want {
			r.Errorf("%s: the page says %q, the terminal %q", section, got, want)
		}
	}
	if p.Survey != nil {
		same("answer", p.Adjust)
		same("parts", p.Match)
		same("measured", p.Survey)
		same("cut", p.Cut)
	}
	if p.Place != nil {
		same("place", p.Place)
	}
	for _, state := range p.States {
		r.tab.choose("state", string(state.State))
		if state.Travel != nil {
			v, err := r.Travel(p.Standing, state.State)
			r.tab.check(err)
			same("journey", v)
		}
		if state.Blue != nil {
			v, err := r.Blue(p.Standing, state.State, "")
			r.tab.check(err)
			same("blue", v)
		}
	}
}

// states have the loads and the straightness that `sag` gives, to nine figures, the table on
// the bed and off it, in the table and in the drawing.
func (r *reader) states() {
	for _, state := range r.page.States {
		for table, under := range map[string]bool{"off": false, "on": true} {
			var at *float64
			if under {
				if state.Under == nil {
					continue
				}
				at = state.Under.TableAt
			}
			sag, err := r.Sag([]string{r.page.Standing}, state.State, at)
			r.tab.check(err)
			r.tab.choose("state", string(state.State))
			if state.Under != nil {
				r.tab.choose("table", table)
			}
			r.standing(fmt.Sprint(state.State, ", table ", table), sag.Standings[0])
		}
	}
}

func (r *reader) standing(where string, v reports.SagStanding) {
	shown := eval[map[string]float64](r.tab, `Object.fromEntries([...document.querySelectorAll("#answer .beside table")].filter((t) => t.checkVisibility())
		.flatMap((t) => [...t.tBodies[0].rows]).map((r) => [r.cells[0].textContent, Number(r.cells[3].querySelector("data").value)]))`)
	drawn := eval[[]string](r.tab, `[...document.querySelectorAll("#answer .bars svg.wide .amount tspan")].filter((e) => e.checkVisibility()).map((e) => e.dataset.v)`)
	same := func(name string, want float64) {
		if got := shown[name]; !(math.Abs(got-want) <= 1e-8*math.Abs(want)+1e-15) {
			r.Errorf("%s, %s: %g on the page, %g by sag", where, name, got, want)
		}
	}
	for _, f := range v.Feet {
		same(f.Name, f.Load)
		if exact := fmt.Sprintf("%.9g", f.Load); !strings.Contains(strings.Join(drawn, " ")+" ", exact+" ") {
			r.Errorf("%s: no bar of %s carries %s: %v", where, f.Name, exact, drawn)
		}
	}
	for _, w := range v.Ways {
		same(w.Name, w.Straightness.MinimumZone)
	}
}

// trial shows the loads of the plan as loaded, and of no foot turned, that the program has.
func (r *reader) trial() {
	if r.page.Try == nil || r.page.Adjust == nil || r.page.Adjust.Recommended < 1 {
		return
	}
	for button, state := range map[string]reports.State{"try-plan": reports.Planned, "try-none": reports.Found} {
		eval[bool](r.tab, fmt.Sprintf(`(document.querySelector("[name=table][value=off]")?.click(), document.getElementById(%q).click(), true)`, button))
		sag, err := r.Sag([]string{r.page.Standing}, state, nil)
		r.tab.check(err)
		shown := eval[[]string](r.tab, `[...document.querySelectorAll("#try-feet .load")].map((e) => e.textContent)`)
		for i, f := range sag.Standings[0].Feet {
			want := doc.Quantity{Kind: doc.Force, Value: f.Load}
			if f.Lifted {
				want = doc.Quantity{Kind: doc.Height, Value: f.Gap}
			}
			if !strings.Contains(shown[i], want.In(r.Units)) {
				r.Errorf("%s: %s shows %q, the program has %q", button, f.Name, shown[i], want.In(r.Units))
			}
		}
	}
}

// units are those of one system everywhere: in the job's own in every state, in the other in the last.
func (r *reader) units() {
	eval[bool](r.tab, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
	for _, units := range []unit.System{unit.Inches, unit.Metric} {
		r.tab.choose("units", units.String())
		for i, state := range r.page.States {
			if units != r.Units && i < len(r.page.States)-1 {
				continue
			}
			r.tab.choose("state", string(state.State))
			if state.Under != nil {
				r.tab.choose("table", "on")
			}
			r.tab.settle()
			if m := foreign(units == unit.Inches).FindAllString(eval[string](r.tab, seen), 3); m != nil {
				r.Errorf("%s, %s: %q", units, state.State, m)
			}
		}
	}
}
