package start

import (
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"strings"
	"testing"

	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/internal/unit"
	"footwork/survey"

	"pgregory.net/rapid"
)

func noFiles(file string) ([]byte, error) { return nil, fs.ErrNotExist }

// A starter file is a job without a fault or a note, whatever the bed.
func TestSketchReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := rapid.SampledFrom([]unit.System{unit.Metric, unit.Inches}).Draw(t, "system")
		pairs := rapid.IntRange(2, 20).Draw(t, "pairs")
		s, err := New(fmt.Sprintf("%d mm", rapid.IntRange(300, 40000).Draw(t, "mm")), pairs, sys)
		if err != nil {
			t.Fatal(err)
		}
		s.Walls = rapid.IntRange(2, 3).Draw(t, "walls")
		s.WayCount = rapid.IntRange(1, 3).Draw(t, "ways")
		s.Ribs = rapid.SampledFrom([]string{"", "cross", "diagonal"}).Draw(t, "ribs")
		if s.Flat = rapid.Bool().Draw(t, "flat"); s.Flat {
			s.RibThick, s.BarThick = 2*s.Wall, s.Wall
		}
		s.FeetApart = rapid.SampledFrom([]float64{0, s.Width + s.Wall}).Draw(t, "feet apart")
		s.Deck = rapid.SampledFrom([]float64{0, s.Wall}).Draw(t, "deck")
		s.Floor = rapid.SampledFrom([]float64{0, s.Wall}).Draw(t, "floor")
		s.Instrument = rapid.SampledFrom([]survey.Instrument{"", survey.Level, survey.Autocollimator, survey.Heights}).Draw(t, "instrument")
		if rapid.Bool().Draw(t, "table") {
			s.TableLength, s.TableWeight, s.Stroke = s.Length/2, starter{Sketch: s}.drawn()/2, shape.Span{From: -s.Length / 8, To: s.Length / 2}
		}
		j, err := job.Read("new.toml", []byte(s.Job()), noFiles)
		if err != nil {
			t.Fatalf("%v\n%s", err, s.Job())
		}
		if len(j.Notes) > 0 {
			t.Fatalf("%v\n%s", j.Notes, s.Job())
		}
		feet := j.Standings[0].Feet
		if len(feet) != 2*pairs || j.Units != sys || len(j.Bed.Ribs) != min(1, len(s.Ribs)) || len(j.Bed.Ways) != s.WayCount || (j.Table == nil) != (s.TableLength == 0) {
			t.Fatalf("%d feet in %v", len(feet), j.Units)
		}
		for i := range pairs {
			mirror := j.Bed.Length - feet[pairs-1-i].At
			if math.Abs(feet[i].At-mirror) > 2*6.35*unit.MM || feet[i].At != feet[i+pairs].At {
				t.Fatalf("feet are not even: %v", feet)
			}
			if i > 0 && feet[i].At <= feet[i-1].At {
				t.Fatalf("feet lie on one another: %v", feet)
			}
		}
	})
}

// A sheet with its readings written in is a survey of its set-up without a note.
func TestSheetsFilledIn(t *testing.T) {
	for _, sys := range []unit.System{unit.Metric, unit.Inches} {
		for _, by := range []survey.Instrument{survey.Level, survey.Autocollimator, survey.Heights} {
			s, err := New("13 ft 11-1/2 in", 3, sys)
			if err != nil {
				t.Fatal(err)
			}
			s.Instrument, s.Base = by, 7*unit.Inch
			sheets := map[string]string{}
			for _, u := range s.SetUps() {
				n := len(sheets) // each its own readings
				sheets[u.File] = regexp.MustCompile(`(?m),,$`).ReplaceAllStringFunc(s.Sheet(u), func(string) string {
					n++
					return fmt.Sprintf(",%d,%.1f", n%3, float64(n%3)+0.2*float64(n%2))
				})
			}
			text := strings.ReplaceAll(s.Job(), "\n# file = \"bed-", "\nfile = \"bed-")
			text = strings.Replace(text, "\nfile = \"bed-sideways", "\n# file = \"bed-sideways", 1)
			j, err := job.Read("new.toml", []byte(text), func(file string) ([]byte, error) {
				if sheets[file] == "" {
					return nil, fs.ErrNotExist
				}
				return []byte(sheets[file]), nil
			})
			if err != nil {
				t.Fatalf("%v %v: %v\n%s", sys, by, err, text)
			}
			if len(j.Notes) > 0 || len(j.Surveys) != 3 {
				t.Errorf("%v %v: %d surveys, %v", sys, by, len(j.Surveys), j.Notes)
			}
			for _, r := range j.Surveys {
				if p, err := survey.Reduce(r); err != nil || len(p.Warnings) > 0 {
					t.Errorf("%v %v: %v %v", sys, by, err, p.Warnings)
				}
			}
		}
	}
}

// What the starter file offers as an example is right too: with every example
// line uncommented it is a job without a fault.
func TestSketchExamplesRead(t *testing.T) {
	example := regexp.MustCompile(`(?m)^# (\[|\w+ *= )`)
	for _, sys := range []unit.System{unit.Metric, unit.Inches} {
		s, err := New("12 ft 3 1/2 in", 3, sys)
		if err != nil {
			t.Fatal(err)
		}
		text := s.Job()
		if n := len(example.FindAllString(text, -1)); n < 50 {
			t.Errorf("%d example lines", n)
		}
		text = example.ReplaceAllString(text, "$1")
		text = strings.Replace(text, `after = "on the grinder"`, "", 1)
		j, err := job.Read("new.toml", []byte(text), func(file string) ([]byte, error) {
			switch {
			case strings.HasSuffix(file, "-log.csv"):
				return nil, fs.ErrNotExist
			case strings.HasSuffix(file, "-twist.csv"):
				return []byte("x,run 1\n0,1.0\n100,1.5\n120,0.5\n"), nil
			}
			return []byte("out,back\n1.0,1.1\n1.5,1.4\n0.5,0.6\n"), nil
		})
		if err != nil {
			t.Fatalf("%v: %v", sys, err)
		}
		if j.Table == nil || len(j.Surveys) != 4 || len(j.Masters) != 1 || len(j.Bed.Ribs) != 1 || j.Bed.Weight == 0 || j.Ways[0].Vee == nil || j.Table.Stroke == nil {
			t.Errorf("%v: an example is missing: %+v", sys, j)
		}
	}
}

// Two supports at the places of least sag, 0.5537 L apart, and the
// outer of three at 0.1424 L (derived for a uniform bar): the rule is near both.
func TestSketchFeetNearLeastSag(t *testing.T) {
	for pairs, inset := range map[int]float64{2: (1 - 0.5537) / 2, 3: 0.1424} {
		s, err := New("10 m", pairs, unit.Metric)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.FootList()[0].At / 10; math.Abs(got-inset) > 0.002 {
			t.Errorf("%d pairs: first foot at %.4f L, least sag at %.4f L", pairs, got, inset)
		}
	}
}

func TestSketchRefuses(t *testing.T) {
	for _, c := range []struct {
		length string
		pairs  int
		want   string
	}{
		{"3660", 3, `"3660" has no unit; write it with its unit, for example "3660 mm" or "3660 in"`},
		{"-3 m", 3, `"-3 m" is not above zero; write more than zero`},
		{"200 mm", 3, `"200 mm" is too small; write 300 mm or more; check the unit`},
		{"3660 m", 3, `"3660 m" is too much; write 100 m or less; check the unit`},
		{"3660 mm", 1, "1 pairs of feet; write 2 to 20"},
	} {
		if _, err := New(c.length, c.pairs, unit.Metric); err == nil || err.Error() != c.want {
			t.Errorf("%s, %d: got %v, want %s", c.length, c.pairs, err, c.want)
		}
	}
}
