package unit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestDisplay(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metric.Height().Text(12.34 * UM), "12.3 µm"},
		{Inches.Height().Text(12.34 * UM), "0.49 thou"},
		{Metric.Height().Text(-0.01 * UM), "0.0 µm"},
		{Metric.Length().Text(1950 * MM), "1950 mm"},
		{Metric.Length().Text(12.7 * MM), "12.7 mm"},
		{Inches.Length().Text(1950 * MM), "76.77 in"},
		{Inches.Length().Text(12 * Foot), "144 in"},
		{Metric.Force(3 * KN).Text(3100), "3.10 kN"},
		{Metric.Force(90).Text(85), "85 N"},
		{Inches.Force(3 * KN).Text(3100), "697 lbf"},
		{Inches.Force(90).Text(85), "19.1 lbf"},
		{Display{"%", 0.01, 0, false}.Text(0.925) + " " + Display{"%", 0.01, 0, false}.Text(-0.925), "93 % -93 %"},
		{Display{"mm", 1, 1, false}.Text(0.25) + Display{"mm", 1, 1, false}.Text(0), "0.3 mm0.0 mm"},
		{Metric.String() + " " + Inches.String(), "metric inch"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// What is printed reads back to within half its last digit.
func TestPrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom([]System{Metric, Inches}).Draw(t, "system")
		c := rapid.SampledFrom([]struct {
			kind *Kind
			d    Display
		}{
			{Length, s.Height()}, {Length, s.Length()}, {Force, s.Force(KN)}, {Force, s.Force(1)},
		}).Draw(t, "what")
		v := rapid.Float64Range(-1e4, 1e4).Draw(t, "v") * c.d.One
		got, err := c.kind.Parse(c.d.Text(v))
		half := 0.5 * math.Pow10(-c.d.Decimals) * c.d.One
		if err != nil || math.Abs(got-v) > half*(1+1e-6) {
			t.Fatalf("%v printed %q, read %v, %v", v, c.d.Text(v), got, err)
		}
	})
}
