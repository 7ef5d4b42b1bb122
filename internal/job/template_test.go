package job

import (
	"fmt"
	"math"
	"regexp"
	"testing"

	"footwork/internal/unit"

	"pgregory.net/rapid"
)

func noFiles(file string) ([]byte, error) { return nil, fmt.Errorf("there is no %s", file) }

// A starter file is a job without a fault, whatever the bed.
func TestTemplateReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := rapid.SampledFrom([]unit.System{unit.Metric, unit.Inches}).Draw(t, "system")
		pairs := rapid.IntRange(2, 20).Draw(t, "pairs")
		length := fmt.Sprintf("%d mm", rapid.IntRange(300, 100000).Draw(t, "mm"))
		text, err := Template(length, pairs, sys)
		if err != nil {
			t.Fatal(err)
		}
		j, err := Read("new.toml", []byte(text), noFiles)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		feet := j.Standings[0].Feet
		if len(feet) != 2*pairs || j.Units != sys {
			t.Fatalf("%d feet in %v", len(feet), j.Units)
		}
		for i := range pairs {
			mirror := j.Bed.Length - feet[pairs-1-i].At
			if math.Abs(feet[i].At-mirror) > 2*5*unit.MM || feet[i].At != feet[i+pairs].At {
				t.Fatalf("feet are not even: %v", feet)
			}
			if i > 0 && feet[i].At <= feet[i-1].At {
				t.Fatalf("feet lie on one another: %v", feet)
			}
		}
	})
}

// What the starter file offers as an example is right too: with every example
// line uncommented it is a job without a fault.
func TestTemplateExamplesRead(t *testing.T) {
	example := regexp.MustCompile(`(?m)^# (\[|\w+ *= )`)
	for _, sys := range []unit.System{unit.Metric, unit.Inches} {
		text, err := Template("12 ft 3 1/2 in", 3, sys)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(example.FindAllString(text, -1)); n != 15 {
			t.Errorf("%d example lines", n)
		}
		j, err := Read("new.toml", example.ReplaceAll([]byte(text), []byte("$1")), func(string) ([]byte, error) {
			return []byte("out,back\n1.0,1.1\n1.5,1.4\n0.5,0.6\n"), nil
		})
		if err != nil {
			t.Fatalf("%v: %v", sys, err)
		}
		if j.Table == nil || len(j.Surveys) != 1 || j.Bed.Weight == 0 {
			t.Errorf("%v: an example is missing: %+v", sys, j)
		}
	}
}

// Two supports at the places of least sag, 0.5537 L apart, and the
// outer of three at 0.1424 L (derived for a uniform bar): the rule is near both.
func TestTemplateFeetNearLeastSag(t *testing.T) {
	for pairs, inset := range map[int]float64{2: (1 - 0.5537) / 2, 3: 0.1424} {
		text, err := Template("10 m", pairs, unit.Metric)
		if err != nil {
			t.Fatal(err)
		}
		j, err := Read("new.toml", []byte(text), noFiles)
		if err != nil {
			t.Fatal(err)
		}
		if got := j.Standings[0].Feet[0].At / 10; math.Abs(got-inset) > 0.002 {
			t.Errorf("%d pairs: first foot at %.4f L, least sag at %.4f L", pairs, got, inset)
		}
	}
}

func TestTemplateRefuses(t *testing.T) {
	for _, c := range []struct {
		length string
		pairs  int
		want   string
	}{
		{"3660", 3, `"3660" has no unit; write it with its unit, for example "3660 mm" or "3660 in"`},
		{"-3 m", 3, `"-3 m" is not above zero; write more than zero`},
		{"3 mm", 3, `"3 mm" is too small; write 300 mm or more; check the unit`},
		{"3660 m", 3, `"3660 m" is too much; write 100 m or less; check the unit`},
		{"3660 mm", 1, "1 pairs of feet; write 2 to 20"},
	} {
		if _, err := Template(c.length, c.pairs, unit.Metric); err == nil || err.Error() != c.want {
			t.Errorf("%s, %d: got %v, want %s", c.length, c.pairs, err, c.want)
		}
	}
}
