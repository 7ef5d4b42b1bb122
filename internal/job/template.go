package job

import (
	_ "embed"
	"fmt"
	"math"
	"strings"
	"text/template"

	"footwork/internal/unit"
)

//go:embed starter.toml
var starter string

// starterFoot is a foot of the starter file.
type starterFoot struct{ Name, At, Offset string }

// Template returns a commented job file to start from · length of the bed as
// people write it · pairs of feet, 2 to 20 · the system to write in. The feet of
// a side stand a span apart and 0.4 span from the ends: close to the places of
// least sag of a uniform bar on two and on three supports (0.2232 and 0.1424 of
// its length from the ends). Plates and ways are drawn in proportion to the length.
func Template(length string, pairs int, sys unit.System) (string, error) {
	l, err := unit.Length.Parse(length)
	if err == nil {
		err = size(unit.Length, "100 m").check(length, l)
	}
	if err == nil && l < 300*unit.MM {
		err = &unit.Error{Message: fmt.Sprintf("%q is too short for a bed", length), Hint: "write 300 mm or more; check the unit"}
	}
	if err != nil {
		return "", err
	}
	if pairs < 2 || pairs > 20 {
		return "", fmt.Errorf("%d pairs of feet: write 2 to 20", pairs)
	}
	text := func(v float64) string { return sys.Length().Text(round(v, sys)) }
	var feet []starterFoot
	wide := min(l, 6) // m; a longer bed is no wider or deeper
	pitch := l / (float64(pairs) - 1 + 0.8)
	for side, letter := range []string{"F", "B"} {
		for i := range pairs {
			feet = append(feet, starterFoot{
				Name:   fmt.Sprintf("%s%d", letter, i+1),
				At:     text((0.4 + float64(i)) * pitch),
				Offset: text(float64(2*side-1) * 0.06 * wide),
			})
		}
	}
	var b strings.Builder
	err = starterTemplate.Execute(&b, map[string]any{
		"Length": strings.TrimSpace(length), "Feet": feet, "Pairs": pairs, "Inch": sys == unit.Inches,
		"Along":  func(share float64) string { return text(share * l) },
		"Across": func(share float64) string { return text(share * wide) },
	})
	if err != nil {
		panic(err)
	}
	return b.String(), nil
}

var starterTemplate = template.Must(template.New("starter").Parse(starter))

// round returns v to what a person writes of a place: 5 mm or a quarter of an
// inch, finer when v is small.
func round(v float64, sys unit.System) float64 {
	step := 5 * unit.MM
	if sys == unit.Inches {
		step = unit.Inch / 4
	}
	for step > math.Abs(v)/5 && step > unit.MM/2 {
		step /= 5
	}
	return math.Round(v/step) * step
}
