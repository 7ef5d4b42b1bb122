package log

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// swappedSigma, K, is what a difference of two contact thermometers is good for
// when they have been swapped, so that their own difference is out of it. Assumed:
// what is left is how well they lie on iron.
const swappedSigma = 0.03

var (
	pair    = regexp.MustCompile(`^(-?\d+(?:\.\d+)?) */ *(-?\d+(?:\.\d+)?)$`)
	degrees = regexp.MustCompile(`^(.*\d) *°?([CF])$`)
)

// heat reads a difference, "0.30 K ± 0.05 K", or what thermometers showed at top
// and bottom, "18.43/18.31 °C", and again when they had been swapped.
func heat(_ *reader, a *Act, text string) (err error) {
	if !strings.Contains(text, "/") || strings.Contains(text, "+/-") {
		a.Value, a.Sigma, err = measured(unit.TempDiff, text, math.Inf(-1), math.Inf(1))
	} else {
		err = thermometers(a, text)
	}
	if err == nil && math.Abs(a.Value) > mostHeat {
		err = unit.Wrong("write the difference between top and bottom, or both readings as 18.43/18.31 °C", "%s is a temperature, not a difference", unit.Quote(text))
	}
	return err
}

// thermometers reads one pair or two, top/bottom.
func thermometers(a *Act, text string) error {
	text = decimalComma.ReplaceAllString(text, "$1.$2")
	m := degrees.FindStringSubmatch(text)
	if m == nil {
		return unit.Wrong("", "%s names no °C or °F", unit.Quote(text))
	}
	one := 1.0
	if m[2] == "F" {
		one = 5.0 / 9
	}
	pairs := strings.Split(strings.NewReplacer(";", ",").Replace(m[1]), ",")
	if len(pairs) > 2 {
		return unit.Wrong("", "%s has more than two pairs", unit.Quote(text))
	}
	for _, p := range pairs {
		m := pair.FindStringSubmatch(strings.TrimSpace(p))
		if m == nil {
			return unit.Wrong("", "%s is no pair top/bottom", unit.Quote(p))
		}
		top, _ := strconv.ParseFloat(m[1], 64)
		bottom, _ := strconv.ParseFloat(m[2], 64)
		if math.Max(math.Abs(top), math.Abs(bottom)) > warmest {
			return unit.Wrong("check the figures", "%s is no temperature of a bed", unit.Quote(p))
		}
		a.Value += (top - bottom) * one / float64(len(pairs))
	}
	if len(pairs) == 2 {
		a.Sigma = swappedSigma
	}
	return nil
}
