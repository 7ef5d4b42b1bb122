package job

import (
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// likeTable is a standing as it is written by what differs from another.
type likeTable struct {
	Name  string      `toml:"name"`
	Like  string      `toml:"like"`
	Feet  []string    `toml:"feet"`
	Foots []likeBlock `toml:"foot"`
}

type likeBlock struct {
	Name      string `toml:"name"`
	At        string `toml:"at"`
	Offset    string `toml:"offset"`
	Stiffness string `toml:"stiffness"`
	Adjust    string `toml:"adjust"`
}

// blockGive is how stiff a block or rocking bar on its plate is taken, there and by the match.
const blockGive = "2 kN/µm"

// OnThree returns the lines of a job file for a standing on three: as another, on those of its
// feet that stay and on blocks · at where each of the three stands, m along and across, the
// feet first.
func (j *Job) OnThree(standing string, stay []string, at [3][2]float64) []string {
	t := likeTable{Name: "on three", Like: standing, Feet: append([]string{}, stay...)}
	for n := 2; slices.Contains(j.StandingNames(), t.Name); n++ {
		t.Name = fmt.Sprintf("on three %d", n)
	}
	l := j.Units.Length()
	for k, name := range []string{"pair block 1", "pair block 2", "centre block"} {
		if k >= len(stay) {
			t.Foots = append(t.Foots, likeBlock{name, l.Text(at[k][0]), l.Text(at[k][1]), blockGive, "fixed"})
		}
	}
	text, err := toml.Marshal(map[string][]likeTable{"standing": {t}})
	if err != nil {
		panic(err)
	}
	return strings.Split(strings.TrimSpace(string(text)), "\n")
}
