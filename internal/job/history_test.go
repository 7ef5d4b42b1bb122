package job

import (
	"io/fs"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The log's surveys, moves and feel stand in one time order with those of the job
// file, and carry what stood when they were taken.
func TestLogOfAJob(t *testing.T) {
	j, err := withLog(`2026-03-04 07:50,heat,,0.4 K ± 0.03 K,
2026-03-04 07:55,table,,off,
2026-03-04 08:00,survey,front way,front-2.csv,
2026-03-04 09:00,turn,F2,up 25 µm,
2026-03-04 09:01,feel,F2,solid,
2026-03-04 10:00,scrape,front,3 passes,
2026-03-04 11:00,survey,front way,front-2.csv,
`)
	if err != nil {
		t.Fatal(err)
	}
	records := j.Records()
	type seen struct {
		Name       string
		Epoch, Cut int
		Pass       int
	}
	var got []seen
	for _, r := range records {
		got = append(got, seen{r.Survey.Name, r.Epoch, r.Cut, r.Survey.Pass})
	}
	want := []seen{
		{"front way", 0, 0, 0}, {"twist", 0, 0, 0},
		{"back way after scraping", 1, 1, 2},
		{"front way, 2026-03-04 08:00", 1, 0, 0}, {"front way, 2026-03-04 11:00", 2, 1, 3},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	s := records[3].Survey
	if s.SetUp != "front way" || s.TableAt != nil || s.Gradient == nil || math.Abs(*s.Gradient-0.4) > 1e-12 || s.GradientSD != 0.03 || s.Base != 0.15 || !s.Doubled {
		t.Errorf("%+v", s)
	}
	if up := j.History().Raised("shop floor", "F2"); math.Abs(up-5e-6) > 1e-15 {
		t.Errorf("F2 was raised by %v", up)
	}
}

// What stands on the bed tilts with it: its readings are not counted, and said so once.
func TestReadOnTheBed(t *testing.T) {
	text := strings.Replace(string(jobFile(t, "good")), `instrument = "autocollimator"`, "instrument = \"autocollimator\"\nstands = \"bed\"", 1) + "\n[log]\nfile = \"log.csv\"\n"
	j, err := Read("job.toml", []byte(text), func(file string) ([]byte, error) {
		if file == "log.csv" {
			return []byte("when,what,where,value\n2026-03-05,read,front way at 225 mm,1\n2026-03-05,turn,F2,up 5 µm\n2026-03-05,read,front way at 225 mm,2\n"), nil
		}
		return beside("good")(file)
	})
	if err != nil || !matches(told(j.Notes), "read: its instrument stands on the bed*; the same at 4") {
		t.Error(err, told(j.Notes))
	}
}

// A log that nobody began is empty.
func TestLogNotBegun(t *testing.T) {
	j, err := Read("job.toml", []byte(string(jobFile(t, "good"))+"\n[log]\nfile = \"log.csv\"\n"), func(file string) ([]byte, error) {
		if file == "log.csv" {
			return nil, fs.ErrNotExist
		}
		return beside("good")(file)
	})
	if err != nil || len(j.Log) > 0 || len(j.History().Entries) == 0 {
		t.Error(err)
	}
}

// Rows whose place in time nobody can tell are asked about, at their line.
func TestRowsWithoutTime(t *testing.T) {
	text := string(jobFile(t, "good"))
	for _, c := range []struct{ old, new, want string }{
		{"date = \"2026-03-02\"\nfile = \"cross.csv\"", "file = \"cross.csv\"", "survey: says nothing of when"},
		{"state = \"loose\"\ndate = \"2026-03-04\"", "state = \"loose\"", "felt: says nothing of when"},
		{"[[felt]]", "[[felt]]\nstanding = \"shop floor\"\nfoot = \"B2\"\nstate = \"tight\"\ndate = \"2026-03-04\"\n[[felt]]",
			`felt: "B2" is free, and was solid before, with nothing done to the bed between: both are taken; keep the one that holds`},
		{"date = \"2026-03-03\"", "date = \"2026-03-04\"", ""}, // one survey of the way that day
	} {
		changed := strings.Replace(text, c.old, c.new, 1)
		j, err := Read("job.toml", []byte(changed), beside("good"))
		if err != nil || changed == text {
			t.Fatal(c.old, err)
		}
		if got := told(j.Notes); !strings.HasPrefix(got, c.want) || (c.want == "") != (got == "") {
			t.Errorf("%s: %q", c.new, got)
		}
	}
}
