package shop

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"footwork/internal/job"
)

// The first card at the bed is the first row of the sheet, number for number, as long as nothing
// was turned since the survey; that its feet were felt is known to both.
func TestFirstStepIsTheSheets(t *testing.T) {
	const dir = "../../testdata/jobs/small"
	text, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read("job.toml", append(text, "[[felt]]\nstanding = \"floor\"\nfoot = \"F2\"\nstate = \"tight\"\n"...), func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, file)) })
	if err != nil {
		t.Fatal(err)
	}
	s := Open(j)
	adjust, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	next, err := s.NextStep()
	if err != nil {
		t.Fatal(err)
	}
	steps := adjust.Plans[adjust.Recommended].Steps
	row := steps[0]
	if next.Foot != row.Foot || next.Raise != row.Raise || next.Touch != row.Touch || next.Of != len(steps) || !reflect.DeepEqual(next.Watch, row.Watch) || row.Watch == nil {
		t.Errorf("the sheet has %+v, of %d; the card %+v", row, len(steps), next)
	}
}
