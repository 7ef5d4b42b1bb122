package job

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/supports"
	"footwork/supports/cut"
	"footwork/supports/place"
	"footwork/survey"
	"footwork/survey/log"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/pelletier/go-toml/v2"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite golden files")

const jobs = "../../testdata/jobs"

// missing is the error of a file that is not there.
type missing struct{}

func (missing) Error() string        { return "there is no such file" }
func (missing) Is(target error) bool { return target == fs.ErrNotExist }

func beside(dir string) func(string) ([]byte, error) {
	return func(file string) ([]byte, error) {
		data, err := os.ReadFile(filepath.Join(jobs, dir, file))
		if err != nil {
			return nil, missing{}
		}
		return data, nil
	}
}

func jobFile(_ testing.TB, dir string) []byte {
	data, err := os.ReadFile(filepath.Join(jobs, dir, "job.toml"))
	if err != nil {
		panic(err)
	}
	return data
}

func TestGoodJob(t *testing.T) {
	j, err := Read("job.toml", jobFile(t, "good"), beside("good"))
	if err != nil {
		t.Fatal(err)
	}
	near := cmp.Comparer(func(a, b float64) bool {
		return a == b || math.Abs(a-b) <= 1e-9*math.Max(math.Abs(a), math.Abs(b))
	})
	check := func(what string, got, want any) {
		t.Helper()
		if d := cmp.Diff(want, got, near); d != "" {
			t.Errorf("%s: -want +got\n%s", what, d)
		}
	}
	check("title", j.Title, "Surface grinder bed, bay 2")
	check("weight", j.Bed.Weight, 2100*unit.KG)
	check("weights", j.Bed.Weights, []casting.Weight{{Name: "drive gearbox", At: 3.5, Force: 160 * unit.KG}})
	check("ways", j.Bed.Ways, []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}})
	check("material", j.Bed.Material, casting.Material{Name: "grey iron 30", Modulus: 14.5e6 * unit.Psi, ShearModulus: 5.8e6 * unit.Psi, Density: 7150, Expansion: 11e-6})
	check("second section", j.Bed.Sections[1], casting.Section{From: 3, To: 3.9, Area: 0.0449, Inertia: 1.08e-3, ShearArea: 0.023, Torsion: 2.6e-5, Depth: 0.48, TwistGiven: true})
	check("table", j.Table, &ride.Table{Length: 2.4, Weight: 1300 * unit.KG, Tool: 1.95, Stroke: &shape.Span{From: -0.3, To: 1.8}, Bending: 100 * unit.GPa * 9000 * unit.CM4, Contact: 4e9})
	check("bearing", j.Standings[0].Bearings[0], beam.Bearing{From: 0.15, To: 3.75, Offset: -0.24, Stiffness: math.Inf(1), Held: true})
	floor := j.Standings[1]
	check("gradient", floor.Gradient, 0.5)
	check("after", floor.After, "on the grinding table")
	check("foot", floor.Feet[0], beam.Foot{Name: "F1", At: 0.5, Offset: -0.24, Height: 20 * unit.UM, Stiffness: 0.9e9, Length: 0.08})
	check("adjusters", floor.Adjusters, []supports.Adjuster{
		{Kind: supports.Screw, Name: "screw M20x1.5", Rise: 1.5 * unit.MM, Wrench: 0.3},
		{Kind: supports.Screw, Name: "screw M20", Rise: 2.5 * unit.MM},
		{Kind: supports.Screw, Name: "screw 3/4-10", Rise: 2.54 * unit.MM},
		{Kind: supports.Shim, Name: "shim"},
	})
	check("column", floor.Weights, []casting.Weight{{Name: "wheel column", At: 1.95, Offset: 0.38, Force: 900 * unit.KG}})
	g, at, one := 0.3, 0.7, 1
	front := j.Surveys[0]
	check("runs", len(front.Readings.Runs), 2)
	front.Readings = survey.Readings{}
	check("survey", front, survey.Survey{Name: "front way", Standing: "shop floor", Way: "front", Instrument: survey.Autocollimator, Base: 0.15, Start: 0.075,
		Unit: "arcsec", Scale: unit.ArcSec, XScale: unit.MM, Doubled: true, Gradient: &g, TableAt: &at, Uncertainty: 0.2 * unit.ArcSec, Date: "2026-03-02"})
	check("cross level", []any{j.Surveys[1].Scale, j.Surveys[1].Unit, j.Surveys[1].Readings.X[1]}, []any{2e-5, "div", 550.0})
	check("heights", []any{j.Surveys[2].Scale, j.Surveys[2].Pass}, []any{1e-6, 2})
	var done []log.Act
	for _, a := range j.rows {
		a.Row = 0 // where it stands in the file is history's
		if a.What != log.Survey {
			done = append(done, a)
		}
	}
	floorDay := func(what log.What, foot, day string, value, sd float64) log.Act {
		return log.Act{What: what, When: log.Moment{Day: day}, Standing: "shop floor", Foot: foot, Value: value, Sigma: sd}
	}
	loose, loaded := floorDay(log.Feel, "B2", "2026-03-04", 0, 0), floorDay(log.Load, "F1", "2026-03-04", 3100, 300)
	loose.Feel, loaded.Pass = log.Free, &one
	check("moves and felt", done, []log.Act{floorDay(log.Turn, "F2", "2026-03-03", -20*unit.UM, 0), loose, loaded})
	check("goal", j.Goal, &supports.Goal{Standing: "shop floor", Aim: supports.Straight, By: supports.Reading, Allow: supports.HighOnly, Crown: 2 * unit.UM, Tolerance: 8 * unit.UM, LeastLoad: 0.15,
		MostMove: 0.25 * unit.MM, Shims: []float64{0.02 * unit.MM, 0.05 * unit.MM, 0.1 * unit.MM}})
	check("floor", j.Floor, &supports.Floor{HeightSD: 0.2 * unit.MM, StiffnessFactor: 3})
	check("place", j.Place, &place.Options{Pairs: []int{3, 4, 5}, Offsets: []float64{-0.24, 0.24}, Zones: []shape.Span{{From: 0.1, To: 3.8}}, Apart: 0.3,
		Keep: []beam.Foot{{At: 0.5, Offset: -0.24, Stiffness: math.Inf(1)}}})
	check("cut", j.Cut, &cut.Options{StraightIn: "shop floor", DepthPerPass: 3 * unit.UM, TimePerPass: 3000})
	check("surveyed", j.Surveyed(), []string{"shop floor"})
}

// The same job with a byte-order mark and Windows line ends reads the same.
func TestMarkAndLineEnds(t *testing.T) {
	plain := jobFile(t, "good")
	a, errA := Read("job.toml", plain, beside("good"))
	b, errB := Read("job.toml", []byte("\ufeff"+strings.ReplaceAll(string(plain), "\n", "\r\n")), beside("good"))
	if errA != nil || errB != nil || !reflect.DeepEqual(a, b) {
		t.Errorf("read differently: %v, %v", errA, errB)
	}
}

// Every mistake of the faulty job is listed, each with its line.
func TestFaultyJob(t *testing.T) {
	_, err := Read("job.toml", jobFile(t, "faulty"), beside("faulty"))
	var faults Faults
	if !errors.As(err, &faults) {
		t.Fatalf("got %v", err)
	}
	golden := filepath.Join(jobs, "faulty", "faults.txt")
	got := err.Error() + "\n"
	if *update {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Errorf("-want +got\n%s", d)
	}
	for _, f := range faults {
		if f.File == "" || f.Message == "" || (f.File == "job.toml" && f.Line < 1) {
			t.Errorf("%+v says too little", f)
		}
	}
}

// mustHold is what Read owes for any file at all.
func mustHold(t interface{ Fatalf(string, ...any) }, data []byte, open func(string) ([]byte, error)) {
	j, err := Read("job.toml", data, open)
	if (j == nil) == (err == nil) {
		t.Fatalf("got %v and %v", j, err)
	}
	if err != nil {
		if text := err.Error(); strings.Contains(text, "NaN") || len(text) > 100_000 {
			t.Fatalf("faults of %d bytes, or with NaN:\n%.2000s", len(text), text)
		}
		return
	}
	var plain map[string]any
	if err := toml.Unmarshal(bytes.TrimPrefix(data, []byte("\ufeff")), &plain); err != nil {
		t.Fatalf("taken, though it is no TOML: %v", err)
	}
	if strings.Contains(fmt.Sprintf("%+v", *j), "NaN") {
		t.Fatalf("NaN came out: %+v", *j)
	}
}

// Lines lost, doubled, moved or given another value never end in a panic, in
// NaN, or in a job that is no TOML.
func TestMangledJobs(t *testing.T) {
	lines := strings.Split(string(jobFile(t, "good")), "\n")
	values := []string{`""`, `"0 mm"`, `"-1 mm"`, `"rigid"`, `3`, `0.5`, `nan`, `inf`, `true`, `[]`, `{}`, `[[]]`, `"front"`, `"1e14 m"`, `1e400`, `"3 1/0 in"`, `2026-01-01`, ``, `'`}
	rapid.Check(t, func(t *rapid.T) {
		text := slices.Clone(lines)
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			i := rapid.IntRange(0, len(text)-1).Draw(t, "line")
			switch rapid.IntRange(0, 3).Draw(t, "change") {
			case 0:
				text = slices.Delete(text, i, i+1)
			case 1:
				text = slices.Insert(text, i, text[i])
			case 2:
				j := rapid.IntRange(0, len(text)-1).Draw(t, "other")
				text[i], text[j] = text[j], text[i]
			case 3:
				key, _, _ := strings.Cut(text[i], "=")
				text[i] = key + "= " + rapid.SampledFrom(values).Draw(t, "value")
			}
		}
		mustHold(t, []byte(strings.Join(text, "\n")), beside("good"))
	})
}

func FuzzRead(f *testing.F) {
	f.Add(jobFile(f, "good"))
	f.Add(jobFile(f, "faulty"))
	for _, topic := range Topics() {
		for _, block := range examplesOf(topic) {
			f.Add([]byte(block))
		}
	}
	walk(&jobTable, "", func(path string, k *key) {
		if !k.isTable() || k.oneLine {
			return
		}
		var one strings.Builder // a table with all its keys
		fmt.Fprintln(&one, k.header(path))
		for i := range k.keys {
			if below := &k.keys[i]; !below.isTable() || below.oneLine {
				fmt.Fprintln(&one, below.assignment())
			}
		}
		f.Add([]byte(one.String()))
	})
	for _, s := range []string{"a.b.c = 1\n[a]\n[[a.b]]\n", "bed = 1\n[bed]\n", "[[standing.foot]]\n[standing]\n", "x = 3 mm\n", "way = [1, {}, [[]]]\n", "[", "= \n", "\xff\xfe", "title = \"x\"\r[bed]\r"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		mustHold(t, data, func(file string) ([]byte, error) {
			if strings.HasSuffix(file, ".csv") {
				return []byte("x,run 1\n100,1\n250,2\n400,1\n550,0\n"), nil
			}
			return nil, missing{}
		})
	})
}

// What lies beside a job, a survey and a log, may hold anything.
func FuzzBeside(f *testing.F) {
	read := func(file string) []byte { data, _ := beside("good")(file); return data }
	f.Add(read("front.csv"), []byte(logExample()))
	f.Add(read("cross.csv"), []byte("when,what,where,value,note\n2026-03-05,survey,front way,front.csv,\n2026-03-05,turn,F2,up 20 µm,\n2026-03-06,survey,front way,front.csv,\n"))
	f.Add([]byte("x,run 1\n1,=2\n"), []byte("when;what;where;value;note\n2026-03-05;scrape;front;900..1500 mm 2 passes;\n"))
	f.Add([]byte("run 1\n1\n2\n"), []byte("when,what,where,value,note\n2026-03-05,print,front negative flank,edge at 300 mm: 300..620 bright,\n2026-03-05,hinge,back,edge at 0 mm: middle\\, 300 mm,\n2026-03-05,table,,at 700 mm,\n"))
	text := strings.Replace(string(jobFile(f, "small")), "name = \"front\"", "name = \"front\"\nshape = \"vee\"", 1) +
		"[[master]]\nname = \"edge\"\nlength = \"1 m\"\ndepth = \"200 mm\"\n[table]\nlength = \"1 m\"\nweight = \"1 kN\"\n[log]\nfile = \"log.csv\"\n"
	back, err := beside("small")("back.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, front, log []byte) {
		files := map[string][]byte{"front.csv": front, "log.csv": log, "back.csv": back}
		mustHold(t, []byte(text), func(file string) ([]byte, error) {
			if data, ok := files[file]; ok {
				return data, nil
			}
			return nil, missing{}
		})
	})
}

func BenchmarkRead(b *testing.B) {
	data, open := jobFile(b, "good"), beside("good")
	for b.Loop() {
		if _, err := Read("job.toml", data, open); err != nil {
			b.Fatal(err)
		}
	}
}

// Metal is unworn in the outer tenths, in the middle third or from where to where it is said.
func TestUnworn(t *testing.T) {
	for datum, want := range map[string][]shape.Span{
		"": nil, "ends": {{From: 0, To: 0.39}, {From: 3.51, To: 3.9}}, "middle": {{From: 1.3, To: 2.6}}, "2 m to 2500 mm": {{From: 2, To: 2.5}},
	} {
		text := string(jobFile(t, "good"))
		if datum != "" {
			text = strings.Replace(text, "[cut]", "[cut]\ndatum = \""+datum+"\"", 1)
		}
		j, err := Read("job.toml", []byte(text), beside("good"))
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, j.Unworn, cmpopts.EquateApprox(0, 1e-12)); d != "" {
			t.Errorf("%s: %s", datum, d)
		}
	}
}
