package main

import (
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/survey/log"
)

// From readings to turned screws through the commands' own path: the plan is
// carried out, step by step, on the bed that the readings were invented from,
// and leaves it about as straight as it says.
func TestPlanDoesWhatItSays(t *testing.T) {
	t.Parallel()
	j, v := demoBed(t)
	first, beds := uint64(1), uint64(1)
	if os.Getenv("FOOTWORK_TRIAL") == "full" {
		first, beds = 0, 20
	}
	for seed := first; seed < first+beds; seed++ {
		inv := inventedBed()
		if seed > 0 {
			draw := rand.New(rand.NewPCG(seed, 1))
			for i := range inv.heights {
				inv.heights[i] = 25e-6 * draw.NormFloat64()
			}
			inv.bedFactor = 0.75 + 0.5*draw.Float64()
		}
		now := inv.at(slices.Clone(inv.heights))
		before := inv.zone(t, j, v, now)
		a := inventedPlan(t, inv, j, v, now)
		plan := a.Plans[a.Recommended]
		for _, s := range plan.Steps {
			carryOut(t, v, &now, s)
		}
		after := inv.zone(t, j, v, now)
		t.Logf("bed %d: %.1f µm before (measured %.1f), %.1f ± %.1f foretold, %.1f after", seed, before*1e6, a.Before.Zone*1e6, plan.Zone*1e6, 2e6*plan.ZoneSigma, after*1e6)
		if after > plan.Zone+3*plan.ZoneSigma {
			t.Errorf("bed %d: foretold %.1f ± %.1f µm, left %.1f", seed, plan.Zone*1e6, 2e6*plan.ZoneSigma, after*1e6)
		}
		if after > before/3 {
			t.Errorf("bed %d: %.1f µm before and %.1f after", seed, before*1e6, after*1e6)
		}
	}
}

// demoBed returns the demo's job before there are readings, and its shop floor.
func demoBed(t *testing.T) (*job.Job, *beam.Solver) {
	blank := func(file string) ([]byte, error) { return blankReadings(file), nil }
	j, err := job.Read(demoName, demoJob, blank)
	if err != nil {
		t.Fatal(err)
	}
	v, err := beam.NewSolver(j.Bed, j.Standings[1].Standing, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return j, v
}

// inventedPlan writes the job with the invented readings and the feel of every foot, and plans.
func inventedPlan(t *testing.T, inv invented, j *job.Job, v *beam.Solver, now beam.Case) *reports.Adjust {
	files, err := inv.readings(j)
	if err != nil {
		t.Fatal(err)
	}
	st, err := v.Solve(now)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, _ := strings.Cut(string(demoJob), "[[felt]]") // the first; the others go with it
	_, rest, _ = strings.Cut(rest, "\n[adjust]")
	var felt strings.Builder
	for _, f := range st.Feet() {
		state := map[bool]string{true: "loose", false: "tight"}[f.Lifted]
		felt.WriteString("[[felt]]\nstanding = \"shop floor\"\nfoot = \"" + f.Name + "\"\nstate = \"" + state + "\"\n")
	}
	files[demoName] = []byte(head + felt.String() + "\n[adjust]" + rest)
	dir := t.TempDir()
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s := opens(t, filepath.Join(dir, demoName))
	a, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// carryOut turns one foot of the invented bed as a step says.
func carryOut(t *testing.T, v *beam.Solver, now *beam.Case, s reports.Step) {
	st, err := v.Solve(*now)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(st.Feet(), func(f beam.FootState) bool { return f.Name == s.Foot })
	if foot := st.Feet()[i]; s.Touch {
		now.Heights[i] += foot.Gap
	}
	now.Heights[i] += s.Raise
}

// zone is that of both ways of the invented bed about one plane, m.
func (inv invented) zone(t *testing.T, j *job.Job, v *beam.Solver, now beam.Case) float64 {
	st, err := v.Solve(now)
	if err != nil {
		t.Fatal(err)
	}
	var x, y, h []float64
	for _, w := range j.Bed.Ways {
		way := wayOf(st, w.Offset)
		for _, at := range shape.Even(0.075, j.Bed.Length-0.075, 28) {
			x, y, h = append(x, at), append(y, w.Offset), append(h, way.At(at)+inv.form(w.Name, at, j.Bed.Length))
		}
	}
	zone, _, _, _ := shape.NewPlanes(x, y).Zone(h)
	return zone
}

// What the demo's job says of its feet is true of the invented bed.
func TestDemoTellsTheTruth(t *testing.T) {
	j, v := demoBed(t)
	inv := inventedBed()
	st, err := v.Solve(inv.at(inv.heights))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range j.History().Entries {
		for _, foot := range st.Feet() {
			if f.What == log.Feel && foot.Name == f.Foot && foot.Lifted != (f.Feel == log.Free) {
				t.Errorf("foot %s is felt %s, but carries %.0f N", f.Foot, f.Feel, foot.Load)
			}
		}
	}
}

var update = flag.Bool("update", false, "write the demo's readings anew")

// The demo's readings are those of the invented bed, as near as its model has moved since
// they were taken: by less than their noise.
func TestDemoReadings(t *testing.T) {
	j, _ := demoBed(t)
	files, err := inventedBed().readings(j)
	if err != nil {
		t.Fatal(err)
	}
	figure := regexp.MustCompile(`-?\d+\.\d+`)
	for i, name := range demoSheets {
		if *update {
			write(t, "demo/"+name, string(files[name]))
		}
		kept, err := demoFiles.ReadFile("demo/" + name)
		if err != nil {
			t.Fatal(err)
		}
		was, is := figure.FindAllString(string(kept), -1), figure.FindAllString(string(files[name]), -1)
		for k := range is {
			if math.Abs(number(t, was[k])-number(t, is[k])) > j.SetUps[i].Uncertainty/j.SetUps[i].Scale {
				t.Errorf("%s: figure %d is %s, and the bed now reads %s", name, k, was[k], is[k])
			}
		}
	}
}

func number(t *testing.T, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
