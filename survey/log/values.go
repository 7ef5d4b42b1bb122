package log

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"footwork/internal/sheet"
	"footwork/internal/unit"
	"footwork/survey"
)

// What nobody turns, reads or lays under a foot by one act.
const (
	mostTurn = 0.05  // m
	mostGap  = 0.01  // m
	mostLoad = 1e7   // N
	mostHeat = 12.0  // K between top and bottom; beyond it a temperature was written
	steepest = 0.2   // rad, of a reading
	highest  = 1.0   // m, of a reading
	warmest  = 120.0 // °C or °F, of a thermometer on iron in a shop
)

var (
	decimalComma = regexp.MustCompile(`(\d),(\d)`)
	thousands    = regexp.MustCompile(`(^|[^\d.,])[1-9]\d{0,2},\d{3}($|[^\d])|\d,\d{3}[.,]\d`)
)

// quantity reads a value with its unit; the decimal sign may be a comma.
func quantity(k *unit.Kind, text string) (float64, error) {
	text, err := pointed(text)
	if err != nil {
		return 0, err
	}
	return k.Parse(text)
}

// measured reads a value from least to most with its unit and, after ±, its standard
// uncertainty.
func measured(k *unit.Kind, text string, least, most float64) (value, sigma float64, err error) {
	plain, err := pointed(text)
	if err == nil {
		value, sigma, err = k.ParseMeasured(plain)
	}
	if err == nil {
		err = within(text, value, least, most)
	}
	return value, sigma, err
}

// length reads a length from least to most.
func length(text string, least, most float64) (v float64, err error) {
	if v, err = quantity(unit.Length, text); err == nil {
		err = within(text, v, least, most)
	}
	return v, err
}

// pointed writes decimals with a point.
func pointed(text string) (string, error) {
	if thousands.MatchString(text) {
		return "", unit.Wrong("leave marks between thousands out; for decimals write a point", "%s may mean thousands", unit.Quote(text))
	}
	return decimalComma.ReplaceAllString(text, "$1.$2"), nil
}

func within(text string, value, least, most float64) error {
	switch text = unit.Quote(strings.TrimSpace(text)); {
	case value < least && least == 0:
		return unit.Wrong("write zero or more", "%s is below zero", text)
	case value < least:
		return unit.Wrong("check the number and its unit", "%s is too small", text)
	case !(value <= most):
		return unit.Wrong("check the number and its unit", "%s is too much", text)
	}
	return nil
}

func fileName(_ *reader, a *Act, text string) error {
	if text == "" {
		return unit.Wrong("", "names no file of readings")
	}
	a.File = text
	return nil
}

func text(_ *reader, a *Act, text string) error {
	a.Text = text
	return nil
}

var fraction = regexp.MustCompile(`^([+-]?)(?:(\d+) +)?(\d+)/([1-9]\d*)$`)

// Reading returns the SI value, tilt or height, of what was read: a figure in the
// survey's own unit (-2.1, 1 1/2), or one with its unit (2′11.9″, 0.02 mm/m).
func Reading(s survey.Survey, text string) (float64, error) {
	text = strings.NewReplacer("−", "-", "–", "-").Replace(strings.TrimSpace(text))
	bare := strings.TrimSpace(strings.TrimSuffix(text, s.Unit))
	v, complaint := sheet.Number(bare)
	if m := fraction.FindStringSubmatch(bare); m != nil {
		whole, _ := strconv.ParseFloat("0"+m[2], 64)
		top, _ := strconv.ParseFloat(m[3], 64)
		bottom, _ := strconv.ParseFloat(m[4], 64)
		if v, complaint = whole+top/bottom, ""; m[1] == "-" {
			v = -v
		}
	}
	switch {
	case complaint == "":
		v *= s.One()
	case bare != "" && strings.Trim(bare, "+-.,eE0123456789 ") == "":
		return 0, unit.Wrong("", "%s %s", unit.Quote(text), complaint)
	default:
		var err error
		if v, err = withUnit(s, text); err != nil {
			return 0, err
		}
	}
	most := steepest
	if s.Instrument == survey.Heights {
		most = highest
	}
	return v, within(text, v, -most, most)
}

// withUnit reads what carries a unit of its own.
func withUnit(s survey.Survey, text string) (float64, error) {
	if s.Instrument == survey.Heights {
		return quantity(unit.Length, text)
	}
	marks := strings.NewReplacer("′", " arcmin ", "'", " arcmin ", "″", " arcsec", `"`, " arcsec")
	v, err := quantity(unit.Slope, strings.TrimSpace(marks.Replace(text)))
	if s.Doubled {
		v /= 2
	}
	return v, err
}

func reading(r *reader, a *Act, text string) (err error) {
	s, ok := r.bed.setup(a.Survey)
	if !ok {
		return nil // said of where
	}
	a.Value, err = Reading(s, text)
	return err
}

// direction parts "up" or "down" from what follows.
func direction(text, up, down string) (sign float64, rest string, err error) {
	word, rest, _ := strings.Cut(text, " ")
	switch strings.ToLower(word) {
	case up:
		return 1, strings.TrimSpace(rest), nil
	case down:
		return -1, strings.TrimSpace(rest), nil
	}
	return 0, "", unit.Wrong("", "%s begins with neither %s nor %s", unit.Quote(text), up, down)
}

// turn reads "up 25 µm", "down 9°", "up 1 flat" or "to touch".
func turn(r *reader, a *Act, text string) error {
	if strings.EqualFold(text, "to touch") {
		a.ToTouch = true
		return nil
	}
	sign, rest, err := direction(text, "up", "down")
	if err != nil {
		return err
	}
	angle, err := quantity(unit.Angle, rest)
	if err != nil {
		return raised("up", "down")(r, a, text)
	}
	_, f, known := r.bed.home(a.Standing, a.Foot)
	if known && f.Rise == 0 {
		return unit.Wrong(`write how far, for example up 25 µm, or give the foot adjust = "screw …" in the job`, "the rise of %s for a turn is not known", f.Name)
	}
	a.Value = sign * angle / (2 * math.Pi) * f.Rise
	return within(text, sign*a.Value, 0, mostTurn)
}

// raised reads a rise with its sign in words, "up 12.5 µm", which may carry ±.
func raised(up, down string) func(*reader, *Act, string) error {
	return func(_ *reader, a *Act, text string) error {
		sign, rest, err := direction(text, up, down)
		if err != nil {
			return err
		}
		v, sigma, err := measured(unit.Length, rest, 0, mostTurn)
		a.Value, a.Sigma = sign*v, sigma
		return err
	}
}

var touches = map[string]Touch{"free": Free, "loose": Free, "nips": Nips, "solid": Solid, "tight": Solid}

func feel(_ *reader, a *Act, text string) error {
	var ok bool
	if a.Feel, ok = touches[strings.ToLower(text)]; !ok {
		return unit.Wrong("write free, nips or solid", "%s is no feel of a screw", unit.Quote(text))
	}
	return nil
}

// amount reads what is never below zero and may carry ±.
func amount(k *unit.Kind, most float64) func(*reader, *Act, string) error {
	return func(_ *reader, a *Act, text string) (err error) {
		a.Value, a.Sigma, err = measured(k, text, 0, most)
		return err
	}
}

// bolts reads their state, which the history shows.
func bolts(_ *reader, _ *Act, text string) error {
	if word := strings.ToLower(text); word != "slack" && word != "tight" {
		return unit.Wrong("write slack or tight", "%s is no state of bolts", unit.Quote(text))
	}
	return nil
}

func table(r *reader, a *Act, text string) (err error) {
	if !r.bed.Table {
		return unit.Wrong("give a [table], or leave the line out", "there is no table in this job")
	}
	if strings.EqualFold(text, "off") {
		a.Off = true
		return nil
	}
	place, ok := strings.CutPrefix(text, "at ")
	if !ok {
		return unit.Wrong("write at 700 mm, its left end, or off", "%s is no place of a table", unit.Quote(text))
	}
	a.At, err = length(strings.TrimSpace(place), -r.bed.Length, r.bed.Length)
	return err
}
