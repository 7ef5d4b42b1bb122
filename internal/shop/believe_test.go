package shop

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"footwork/internal/job"
)

const sideways = `
[[survey]]
name = "guide, sideways"
standing = "shop floor"
way = "front"
plane = "sideways"
instrument = "heights"
reading = "µm"
date = "2026-03-08"
file = "back.csv"
[[survey]]
name = "table's underside"
standing = "shop floor"
way = "front"
of = "table"
instrument = "heights"
reading = "µm"
date = "2026-03-08"
file = "back.csv"
`

// A survey sideways or of the table changes nothing of what the bed is believed to be
// nor of what a plan sets out from.
func TestSurveysSideways(t *testing.T) {
	const dir = "../../testdata/jobs/good"
	text, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	var told, planned []any
	for _, more := range []string{"", sideways} {
		j, err := job.Read("job.toml", append(text, more...), func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, file)) })
		if err != nil {
			t.Fatal(err)
		}
		s := Open(j)
		in, err := s.input("shop floor")
		if err != nil {
			t.Fatal(err)
		}
		m, err := s.surveys("shop floor")
		if err != nil {
			t.Fatal(err)
		}
		told, planned = append(told, []any{in.Epochs, in.Heats, in.FinishedTo, in.Asked}), append(planned, m)
	}
	if !reflect.DeepEqual(told[0], told[1]) {
		t.Errorf("the match is told\n%+v\nand with surveys of other things\n%+v", told[0], told[1])
	}
	if !reflect.DeepEqual(planned[0], planned[1]) {
		t.Errorf("a plan sets out from\n%+v\nand with surveys of other things\n%+v", planned[0], planned[1])
	}
}

// By an instrument that stands on the bed no foot is turned, and what it read while it
// was left standing is not believed.
func TestInstrumentOnTheBed(t *testing.T) {
	const dir = "../../testdata/jobs/good"
	text, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for on, want := range map[string]int{"floor": 1, "bed": 0} {
		changed := strings.Replace(string(text), `instrument = "autocollimator"`, "instrument = \"autocollimator\"\nstands = \""+on+"\"", 1) + "\n[log]\nfile = \"log.csv\"\n"
		j, err := job.Read("job.toml", []byte(changed), func(file string) ([]byte, error) {
			if file == "log.csv" {
				return []byte("when,what,where,value\n2026-03-05,read,front way at 225 mm,1\n"), nil
			}
			return os.ReadFile(filepath.Join(dir, file))
		})
		if err != nil {
			t.Fatal(err)
		}
		s := Open(j)
		in, err := s.input("shop floor")
		if err != nil {
			t.Fatal(err)
		}
		m, err := s.surveys("shop floor")
		if err != nil {
			t.Fatal(err)
		}
		work := &task{read: m}
		s.instruments(work)
		read, watched := 0, 0
		for _, e := range in.Epochs {
			read += len(e.Readings)
		}
		for _, u := range work.setups {
			if u.Name == "front way" {
				watched++
			}
		}
		if read != want || watched != want {
			t.Errorf("on the %s: %d readings are believed, %d instruments watched; want %d", on, read, watched, want)
		}
	}
}
