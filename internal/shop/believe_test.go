package shop

import (
	"os"
	"path/filepath"
	"reflect"
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
