package job

import (
	"io/fs"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"footwork/survey/log"
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
	records, err := j.Records()
	if err != nil {
		t.Fatal(err)
	}
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
		{"front way", 0, 0, 0}, {"twist", 0, 0, 0}, // no day: of the first pass
		{"back way after scraping", 0, 1, 2},
		{"front way, 2026-03-04 08:00", 1, 0, 0}, {"front way, 2026-03-04 11:00", 2, 1, 3},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	s := records[3].Survey
	if s.SetUp != "front way" || s.TableAt != nil || s.Gradient == nil || math.Abs(*s.Gradient-0.4) > 1e-12 || s.GradientSD != 0.03 || s.Base != 0.15 || !s.Doubled {
		t.Errorf("%+v", s)
	}
	if len(j.Moves) != 2 || math.Abs(j.Moves[1].Raise-25e-6) > 1e-15 || len(j.Felt) != 3 || j.Felt[2].State != "tight" {
		t.Errorf("%+v %+v", j.Moves, j.Felt)
	}
	if f := j.History().Now().Feet[log.At{Standing: "shop floor", Foot: "F2"}]; math.Abs(f.Raised-5e-6) > 1e-15 {
		t.Errorf("F2 was raised by %v", f.Raised)
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
