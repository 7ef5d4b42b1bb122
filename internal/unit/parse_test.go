package unit

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) }

func TestParse(t *testing.T) {
	for _, c := range []struct {
		kind *Kind
		text string
		want float64
	}{
		{Length, "12 ft 3 1/2 in", 147.5 * 0.0254},
		{Length, "12 ft 3 in", 147 * 0.0254},
		{Length, "3/4 in", 0.01905},
		{Length, "3/4in", 0.01905},
		{Length, "-240 mm", -0.24},
		{Length, "−240 mm", -0.24},
		{Length, "-1 ft 6 in", -0.4572},
		{Length, "+.5 mm", 0.0005},
		{Length, " 3660  mm ", 3.66},
		{Length, "3 m 66 cm", 3.66},
		{Length, "0.4 thou", 1.016e-5},
		{Length, "4 tenths", 1.016e-5},
		{Length, "–4 tenths", -1.016e-5}, // as word processors write a minus
		{Length, "1 tenth", 2.54e-6},
		{Length, "20 µm", 2e-5},
		{Length, "20 μm", 2e-5}, // Greek mu
		{Length, "20 um", 2e-5},
		{Length, "50 µin", 1.27e-6},
		{Length, "50 uin", 1.27e-6},
		{Force, "900 kg", 8825.985},
		{Force, "1.3 t", 12748.645},
		{Force, "2 kN", 2000},
		{Modulus, "14.5 Mpsi", 99.973980753e9},
		{Density, "7.15 g/cm3", 7150},
		{Density, "7250 kg/m³", 7250},
		{Area, "380 cm²", 0.038},
		{SecondMoment, "9000 cm4", 9e-5},
		{Stiffness, "0.9 kN/µm", 0.9e9},
		{Stiffness, "900 kN/mm", 0.9e9},
		{Stiffness, "rigid", math.Inf(1)},
		{LineStiffness, "4 kN/µm/m", 4e9},
		{LineStiffness, "rigid", math.Inf(1)},
		{TempDiff, "-0.9 °F", -0.5},
		{TempDiff, "0.3 K", 0.3},
		{TempDiff, "0.3 C", 0.3},
		{Expansion, "11.7e-6 /K", 11.7e-6},
		{Expansion, "6.5e-6/°F", 11.7e-6},
		{Slope, "0.02 mm/m", 2e-5},
		{Slope, "5 µrad", 5e-6},
		{Time, "50 min", 3000},
		{Time, "1 h 20 min", 4800},
		{Share, "15 %", 0.15},
		// as people write them
		{Length, `14'0"`, 168 * 0.0254},
		{Length, `13' 11-1/2"`, 167.5 * 0.0254},
		{Length, `13'-11 1/2"`, 167.5 * 0.0254},
		{Length, "13 ft 11-1/2 in", 167.5 * 0.0254},
		{Length, "13 ft. 11 in.", 167 * 0.0254},
		{Length, "12ft3in", 147 * 0.0254},
		{Length, "6″", 0.1524},
		{Length, "2 feet 1 inch", 0.635},
		{Length, "40 microns", 4e-5},
		{TempDiff, "0.9 deg F", 0.5}, {TempDiff, "0.9 degrees Fahrenheit", 0.5}, {TempDiff, "0.5 C°", 0.5}, {Slope, "0.02 mm/metre", 2e-5},
		{TempDiff, "0.5 deg. C", 0.5},
		{TempDiff, "0.5 ° C", 0.5},
		{Slope, "0.0005 in per foot", 0.0005 / 12},
		{Slope, "0.0005 in./ft.", 0.0005 / 12},
		{Slope, `3"`, 3 * ArcSec},
		{Slope, "2'", 120 * ArcSec},
		{Force, "1.5 short tons", 3000 * 4.4482216152605},
		{Force, "300 lbs", 300 * 4.4482216152605},
		{Stiffness, "5000 lbf per inch", 5000 * 4.4482216152605 / 0.0254},
		{Stiffness, "5000 lb/in", 5000 * 4.4482216152605 / 0.0254}, {Stiffness, "Rigid", math.Inf(1)},
		{Length, "13½ in", 13.5 * 0.0254}, {Length, "½ in", 0.0127}, {Length, "3 ft 7¾″", 43.75 * 0.0254},
		{Slope, "0.0005 inch per foot", 0.0005 / 12}, {Slope, `0.0005"/ft`, 0.0005 / 12}, {Slope, "10 seconds", 10 * ArcSec}, {Slope, "0.2 sec", 0.2 * ArcSec}, {Slope, "0.2 arc-seconds", 0.2 * ArcSec}, {Slope, "0.2 seconds of arc", 0.2 * ArcSec},
		{Slope, "0.01 mm per metre", 1e-5}, {Stiffness, "5 lbs per thou", 5 * Lbf / Thou}, {Stiffness, "0.9 kN per micron", 0.9e9}, {Time, "50 minutes", 3000},
		{Angle, "45°", math.Pi / 4},
		{Angle, "45 deg", math.Pi / 4},
		{Warping, "0.009 m6", 0.009},
	} {
		got, err := c.kind.Parse(c.text)
		if err != nil || !(got == c.want || math.Abs(got-c.want) <= 1e-9*math.Abs(c.want)) {
			t.Errorf("%s %q: got %v, %v; want %v", c.kind.name, c.text, got, err, c.want)
		}
	}
}

// Published factors: NIST SP 811 (2008), appendix B.8, from memory; seven digits
// printed, so half of the last is at most 5·10⁻⁷ of the value.
func TestFactorsAgainstSP811(t *testing.T) {
	for _, c := range []struct {
		kind *Kind
		text string
		want float64 // as printed
		off  float64
	}{
		{Force, "1 lbf", 4.448222, 5e-7},
		{Force, "1 kgf", 9.80665, 1e-12},
		{Modulus, "1 psi", 6894.757, 5e-7},
		{Density, "1 lb/in3", 27679.90, 5e-7},
		{SecondMoment, "1 in4", 4.162314e-7, 5e-7},
		{Area, "1 in2", 6.4516e-4, 1e-12},
		{Stiffness, "1 lbf/in", 175.1268, 5e-7},
		{Slope, "1 arcsec", 4.848137e-6, 5e-7},
		{Slope, "1 arcmin", 2.908882e-4, 5e-7},
		{Stiffness, "1 lbf/thou", 175126.8, 5e-7},
		{LineStiffness, "1 lbf/thou/in", 6.894757e6, 5e-7},
		{Modulus, "1 Mpsi", 6.894757e9, 5e-7},
		{Warping, "1 in6", 2.685359e-10, 5e-7}, // 0.0254⁶
		{Angle, "1 flat", 1.047198, 5e-7},
		{Angle, "1 turn", 6.283185, 5e-7},
	} {
		if got, err := c.kind.Parse(c.text); err != nil || math.Abs(got/c.want-1) > c.off {
			t.Errorf("%s: got %.8g, %v; published %.8g", c.text, got, err, c.want)
		}
	}
}

// Metric units of one kind against the kind's own, by their prefixes.
func TestPrefixes(t *testing.T) {
	for one, same := range map[string]struct {
		kind *Kind
		as   string
	}{
		"1 GPa": {Modulus, "1000 MPa"}, "1 g/cm3": {Density, "1000 kg/m3"}, "1 m2": {Area, "1e6 mm2"}, "1 cm2": {Area, "100 mm2"},
		"1 m4": {SecondMoment, "1e12 mm4"}, "1 cm4": {SecondMoment, "10000 mm4"}, "1 m6": {Warping, "1e18 mm6"}, "1 cm6": {Warping, "1e6 mm6"},
		"1 kN/µm": {Stiffness, "1000 N/µm"}, "1 N/µm": {Stiffness, "1000 N/mm"}, "1 kN/mm": {Stiffness, "1 N/µm"},
		"1 kN/µm/m": {LineStiffness, "1000 N/µm/m"}, "1 N/µm/m": {LineStiffness, "1000 N/mm/m"}, "1 kN/mm/m": {LineStiffness, "1 N/µm/m"},
		"1 mrad": {Slope, "1000 µrad"}, "1 mm/m": {Slope, "1000 µm/m"}, "1 µm/m": {Slope, "1 µrad"},
	} {
		a, err := same.kind.Parse(one)
		b, wrong := same.kind.Parse(same.as)
		if err != nil || wrong != nil || !near(a, b) {
			t.Errorf("%s is %g, %s %g; %v, %v", one, a, same.as, b, err, wrong)
		}
	}
}

// A level of 0.0005 in/ft a division shows 41.667 µm/m, 8.594 arcsec.
func TestInchLevel(t *testing.T) {
	got, err := Slope.Parse("0.0005 in/ft")
	if err != nil || math.Abs(got-41.667e-6) > 5e-10 || math.Abs(got/ArcSec-8.594) > 5e-4 {
		t.Errorf("got %v, %v", got, err)
	}
	if thou, _ := Slope.Parse("0.5 thou/ft"); !near(thou, got) {
		t.Errorf("0.5 thou/ft is %v, 0.0005 in/ft is %v", thou, got)
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		kind *Kind
		text string
		want string
	}{
		{Length, "3660", `"3660" has no unit; write it with its unit, for example "3660 mm" or "3660 in"`},
		{Length, "3/4", `"3/4" has no unit; write it with its unit, for example "3/4 mm" or "3/4 in"`},
		{Length, "-8", `"-8" has no unit; write it with its unit, for example "-8 mm" or "-8 in"`},
		{Stiffness, "900", `"900" has no unit; write it with its unit, for example "900 kN/mm" or "900 lbf/thou", or "rigid"`},
		{Share, "15", `"15" has no unit; write it with its unit, for example "15 %"`},
		{Share, "0.15", `"0.15" has no unit; write it with its unit, for example "15 %"`},
		{Length, "12 ft 3", `"12 ft 3" has no unit at its end; write "12 ft 3 in"`},
		{Length, "", `"" is no length; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "mm", `"mm" is no length; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "NaN mm", `"NaN mm" is no length; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "inf mm", `"inf mm" is no length; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "rigid", `"rigid" is no length; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "1e400 mm", `"1e400 mm": 1e400 is absurdly large; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "1e300 mm", `"1e300 mm" is absurdly large; check the number and its unit`},
		{Length, "1/0 in", `"1/0 in": a fraction cannot have a zero below the line; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "3 in 12 ft", `"3 in 12 ft" adds units that do not get smaller; write it with its unit, for example "12 mm" or "12 in"`},
		{Length, "2 MM", `unknown unit "MM"; write mm`},
		{Length, "2 kg", `unknown unit "kg"; the units of a length are m, cm, mm, µm, ft, in, thou, tenths, µin`},
		{Length, "0,4 mm", `"0,4 mm" has a comma in its number; write the decimal sign as a point and leave out thousands signs`},
		{Length, "3 mils", `unknown unit "mils"; write thou (0.001 in) or mm`},
		{Length, "3 660 mm", `"3 660 mm" has two numbers before its unit; leave out blanks between thousands; write a fraction as 3 1/2`},
		{Force, "2 tons", `unknown unit "tons"; write short ton (2,000 lb) or t (1,000 kg)`},
		{Modulus, "100 gpa", `unknown unit "gpa"; write GPa`},
	} {
		_, err := c.kind.Parse(c.text)
		var e *Fault
		if !errors.As(err, &e) || e.Error() != c.want {
			t.Errorf("%s %q:\n got %v\nwant %s", c.kind.name, c.text, err, c.want)
		}
	}
}

// What a hint tells people to write is itself accepted.
func TestHintsAreRight(t *testing.T) {
	for _, k := range kinds {
		_, err := k.Parse("7")
		parts := strings.Split(err.Error(), `"`)
		for i := 3; i < len(parts); i += 2 {
			if _, err := k.Parse(parts[i]); err != nil {
				t.Errorf("%s: the hint says %q: %v", k.name, parts[i], err)
			}
		}
	}
}

var kinds = []*Kind{Length, Force, Modulus, Density, Area, SecondMoment, Stiffness, LineStiffness, Warping, TempDiff, Expansion, Slope, Angle, Time, Share}

// A number is worth the number times its unit, in every unit and spelling, and
// a minus sign turns it round.
func TestParseIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		one := rapid.SampledFrom(k.units).Draw(t, "unit")
		name := rapid.SampledFrom(one.names).Draw(t, "name")
		v := rapid.Float64Range(0, 1000).Draw(t, "v")
		got, err := k.Parse(fmt.Sprintf("%v %s", v, name))
		if err != nil || !near(got, v*one.factor) {
			t.Fatalf("got %v, %v", got, err)
		}
		if minus, err := k.Parse(fmt.Sprintf("-%v%s", v, name)); err != nil || minus != -got {
			t.Fatalf("got %v, %v; want %v", minus, err, -got)
		}
	})
}

// Feet, inches and sixteenths add up.
func TestFeetAndInches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ft, in, six := rapid.IntRange(0, 99).Draw(t, "ft"), rapid.IntRange(0, 11).Draw(t, "in"), rapid.IntRange(0, 15).Draw(t, "16ths")
		got, err := Length.Parse(fmt.Sprintf("%d ft %d %d/16 in", ft, in, six))
		if want := float64(16*(12*ft+in)+six) / 16 * Inch; err != nil || !near(got, want) {
			t.Fatalf("got %v, %v; want %v", got, err, want)
		}
	})
}

func TestParseMeasured(t *testing.T) {
	for _, c := range []struct {
		kind      *Kind
		text      string
		value, sd float64
	}{
		{TempDiff, "0.30 K ± 0.03 K", 0.3, 0.03},
		{TempDiff, "0.54 °F +/- 0.09 °F", 0.3, 0.05},
		{TempDiff, "-0.30 ± 0.03 K", -0.3, 0.03},
		{Force, "3.1 kN ± 300 N", 3100, 300},
		{Force, "3.1 kN ± 10 %", 3100, 310},
		{Force, "3.1 kN", 3100, 0},
		{Stiffness, "rigid", math.Inf(1), 0},
	} {
		if v, sd, err := c.kind.ParseMeasured(c.text); err != nil || !(v == c.value || near(v, c.value)) || !near(sd, c.sd) {
			t.Errorf("%q: got %v ± %v, %v", c.text, v, sd, err)
		}
	}
	for _, bad := range []string{"3 kN ± 0 kN", "3 kN ±", "3 kN ± 1", "3 ± 1", "± 1 kN", "3 kN ± -1 kN", "3 kN ± 1 kg ± 1 kg", "3 kN ± -10 %", "0 kN ± 10 %"} {
		if v, sd, err := Force.ParseMeasured(bad); err == nil {
			t.Errorf("%q was taken: %v ± %v", bad, v, sd)
		}
	}
}

// However long a user's text is, a message quotes little of it.
func TestMessagesAreShort(t *testing.T) {
	for _, text := range []string{strings.Repeat("x", 1e6), strings.Repeat("9", 1e6), "3 " + strings.Repeat("é", 1e6), "1/" + strings.Repeat("0", 1e6)} {
		for _, k := range kinds {
			if _, err := k.Parse(text); err == nil || len(err.Error()) > 600 {
				t.Fatalf("%s: a message of %d bytes", k.name, len(err.Error()))
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12 ft 3 1/2 in", "3/4 in", "-0.4 thou", "rigid", "1e999 mm", "1/0 in", "µm", "3 μm", "15 %", "11e-6 /K", `14'0"`, "13 ft 11-1/2 in",
		"0.30 K ± 0.03 K", "3.1 kN +/- 10 %", "1 short ton", "0.5 deg F", "0.0005 in per foot"} {
		for i := range kinds {
			f.Add(s, uint8(i))
		}
	}
	f.Fuzz(func(t *testing.T, s string, kind uint8) {
		k := kinds[int(kind)%len(kinds)]
		v, err := k.Parse(s)
		m, sd, also := k.ParseMeasured(s)
		var e *Fault
		switch {
		case err == nil && (math.IsNaN(v) || math.Abs(v) > most) && !(k.rigid && math.IsInf(v, 1)):
			t.Fatalf("%s %q gave %v", k.name, s, v)
		case also == nil && (math.IsNaN(m) || !(sd >= 0 && sd <= most)):
			t.Fatalf("%s %q gave %v ± %v", k.name, s, m, sd)
		case err == nil && (also != nil || m != v):
			t.Fatalf("%s %q gave %v alone and %v, %v measured", k.name, s, v, m, also)
		case err != nil && !errors.As(err, &e), also != nil && !errors.As(also, &e):
			t.Fatalf("%s %q: %v, %v: no hint", k.name, s, err, also)
		}
	})
}
