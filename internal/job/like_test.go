package job

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// What is written of a standing on three reads back as it was meant, in either unit, and
// beside one that has its name.
func TestOnThree(t *testing.T) {
	good, inch := string(jobFile(t, "good")), string(jobFile(t, "inch"))
	for _, c := range []struct {
		text string
		stay []string
	}{
		{good, []string{"F1", "B1"}}, {good, nil}, {inch, nil},
	} {
		open := func(file string) ([]byte, error) {
			if c.text == inch {
				return []byte(inchRun), nil
			}
			return beside("good")(file)
		}
		j, err := Read("job.toml", []byte(c.text), open)
		if err != nil {
			t.Fatal(err)
		}
		standing := j.Standings[len(j.Standings)-1].Name
		at := [3][2]float64{{0.8636, -0.24}, {0.8636, 0.24}, {3.048, 0}}
		for _, name := range []string{"on three", "on three 2"} {
			c.text += "\n" + strings.Join(j.OnThree(standing, c.stay, at), "\n")
			if j, err = Read("job.toml", []byte(c.text), open); err != nil {
				t.Fatal(err)
			}
			s, err := j.Standing(name)
			if err != nil || len(s.Feet) != 3 {
				t.Fatalf("%s: %+v, %v", name, s, err)
			}
			for k, f := range s.Feet {
				own := k < len(c.stay)
				if own && !slices.Contains(c.stay, f.Name) || !own && (math.Hypot(f.At-at[k][0], f.Offset-at[k][1]) > 1e-3 || f.Stiffness != 2e9) {
					t.Errorf("%s stands on %+v", name, f)
				}
			}
		}
	}
}
