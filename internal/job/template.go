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
		err = between(unit.Length, "300 mm", "100 m").check(length, l)
	}
	if err != nil {
		return "", err
	}
	if pairs < 2 || pairs > 20 {
		return "", fmt.Errorf("%d pairs of feet; write 2 to 20", pairs)
	}
	wide := min(l, 6) // m; a longer bed is no wider or deeper
	text := func(v float64) string { return sys.Length().Text(round(v, sys)) }
	var b strings.Builder
	err = starterTemplate.Execute(&b, map[string]any{
		"Length": strings.TrimSpace(length), "Pairs": pairs, "Inch": sys == unit.Inches,
		"Feet":   evenFeet(l, 0.06*wide, pairs, text),
		"Along":  func(share float64) string { return text(share * l) },
		"Across": func(share float64) string { return text(share * wide) },
	})
	if err != nil {
		panic(err)
	}
	return b.String(), nil
}

// evenFeet returns the feet of both sides, in m from the centre line.
func evenFeet(length, side float64, pairs int, text func(float64) string) (feet []starterFoot) {
	span := length / (float64(pairs) - 1 + 2*0.4)
	for i := range 2 * pairs {
		n, letter, offset := i%pairs, "F", -side
		if i >= pairs {
			letter, offset = "B", side
		}
		feet = append(feet, starterFoot{fmt.Sprintf("%s%d", letter, n+1), text((0.4 + float64(n)) * span), text(offset)})
	}
	return feet
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
