package job

import (
	"math"
	"testing"

	"footwork/internal/unit"
)

// The rows of EN 1561 Annex A (E in GPa as reprinted, density from memory), of the ASTM
// A48 classes as in Machinery's Handbook (E in 1e6 psi; GPa rounded beside it)
// and of EN 1563:1997 stand as published.
func TestMaterialsAsPublished(t *testing.T) {
	rows := map[string]stock{}
	for _, s := range materials {
		if s.source == "" {
			t.Errorf("%s has no source", s.name)
		}
		rows[s.name] = s
	}
	for _, c := range []struct {
		name               string
		low, high, density float64
	}{
		{"GJL-150", 78, 103, 7100}, {"GJL-200", 88, 113, 7150}, {"GJL-250", 103, 118, 7200}, {"GJL-300", 108, 137, 7250}, {"GJL-350", 123, 143, 7300},
		{"GJS-400", 169, 169, 7100}, {"GJS-600", 174, 174, 7200}, {"GJS-700", 176, 176, 7200},
		{"polymer concrete", 35, 45, 2350}, {"steel", 205, 210, 7850}, {"granite", 50, 100, 2850},
	} {
		s := rows[c.name]
		if s.modulus != (span{c.low, c.high}) || s.density.middle() != c.density {
			t.Errorf("%s: %+v, published %v", c.name, s, c)
		}
	}
	for _, c := range []struct {
		name      string
		mpsi, gpa float64
	}{
		{"grey iron 20", 11.6, 80}, {"grey iron 25", 14.2, 98}, {"grey iron 30", 14.5, 100}, {"grey iron 35", 16, 110},
		{"grey iron 40", 17, 117}, {"grey iron 50", 18, 124}, {"grey iron 60", 19.9, 137},
	} {
		s := rows[c.name]
		if e := s.modulus.middle(); math.Abs(e*unit.GPa/unit.Psi/1e6-c.mpsi) > 1e-9 || math.Round(e) != c.gpa || s.shear.middle() != 0.4 {
			t.Errorf("%s: %+v, published %v", c.name, s, c)
		}
	}
	// EN 1993-1-1 gives G = 81 GPa for E = 210 GPa (from memory).
	if g := 210 * rows["steel"].shear.middle(); math.Abs(g-81) > 0.5 {
		t.Errorf("steel: G = %.1f GPa", g)
	}
}

// Coarse pitches: ISO 261. Threads per inch: ASME B1.1 (from memory).
func TestRise(t *testing.T) {
	for _, c := range []struct {
		thread string
		mm     float64
	}{
		{"M10", 1.5}, {"M12", 1.75}, {"M14", 2}, {"M16", 2}, {"M18", 2.5}, {"M20", 2.5}, {"M22", 2.5}, {"M24", 3},
		{"M27", 3}, {"M30", 3.5}, {"M33", 3.5}, {"M36", 4},
		{"M16x1.5", 1.5}, {"M24×2", 2}, {"M20 x 1.5", 1.5}, {"3/4-10", 2.54}, {"1-8", 3.175}, {"1/2-20", 1.27}, {"1-1/8-7", 25.4 / 7}, {"1 1/8-7", 25.4 / 7},
		{"2 mm", 2}, {"1/16 in", 1.5875},
	} {
		if got, _, err := rise(c.thread, unit.Metric.Length().Text); err != nil || math.Abs(got/unit.MM-c.mm) > 1e-12 {
			t.Errorf("%s rises %v mm, %v; published %v", c.thread, got/unit.MM, err, c.mm)
		}
	}
	for _, bad := range []string{"M21", "M20x0", "M20x99", "3/4-0", "2", "-2 mm", "1-0.1", "nut"} {
		if got, _, err := rise(bad, unit.Metric.Length().Text); err == nil {
			t.Errorf("%s was taken: %v m", bad, got)
		}
	}
}

// The spread that the page shows is the table's own.
func TestPublishedSpread(t *testing.T) {
	ranges, source, ok := Published("GJL-250")
	if !ok || ranges[0] != [2]float64{103e9, 118e9} || ranges[2] != [2]float64{7200, 7200} || source == "" {
		t.Errorf("GJL-250: %v, %s", ranges, source)
	}
	if _, _, ok := Published("cheese"); ok {
		t.Error("cheese is no material")
	}
}
