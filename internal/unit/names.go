package unit

import (
	"regexp"
	"strings"
)

// shortTon is the name of the short ton without its blank.
const shortTon = "short_ton"

var (
	tidy    = strings.NewReplacer("μ", "µ", "−", "-", "–", "-", "º", "°", "²", "2", "³", "3", "⁴", "4", "⁶", "6", "½", " 1/2", "¼", " 1/4", "¾", " 3/4", "\u00a0", " ", "\u202f", " ")
	spelled = []struct {
		pattern *regexp.Regexp
		short   string
	}{
		{regexp.MustCompile(`(\pL)\.`), "$1"},
		{regexp.MustCompile(`(?i)(?:deg(?:ree)?s?|°)\s*(?:([CF])\b|(C)elsius|(F)ahrenheit)`), "°$1$2$3"},
		{regexp.MustCompile(`\b([CF])\s*°`), "°$1"},
		{regexp.MustCompile(`(?i)short\s+tons?\b`), shortTon},
		{regexp.MustCompile(`(?i)\barc[\s-]*(sec|min)(?:ond|ute)?s?\b`), "arc$1"},
		{regexp.MustCompile(`(?i)\b(sec|min)(?:ond|ute)?s?\s+of\s+arc\b`), "arc$1"},
		{regexp.MustCompile(`(?i)\s*(?:/|\bper\b)\s*`), "/"},
	}
)

// tidied returns a quantity's text with the signs that we use.
func tidied(text string) string { return strings.TrimSpace(tidy.Replace(text)) }

// normal returns a quantity's text with the words that we use, too.
func normal(text string) string {
	text = tidied(text)
	for _, s := range spelled {
		text = s.pattern.ReplaceAllString(text, s.short)
	}
	return text
}

// spoken are names and marks that people write for units, those first that the
// kinds with most uses have.
var spoken = map[string][]string{
	`"`: {"in", "arcsec"}, "″": {"in", "arcsec"}, "”": {"in", "arcsec"}, "''": {"in", "arcsec"}, "inch": {"in"}, "inches": {"in"},
	"'": {"ft", "arcmin"}, "′": {"ft", "arcmin"}, "’": {"ft", "arcmin"}, "foot": {"ft"}, "feet": {"ft"},
	"micron": {"µm"}, "microns": {"µm"}, "thous": {"thou"}, "deg": {"°"}, "degree": {"°"}, "degrees": {"°"},
	"millimetre": {"mm"}, "millimetres": {"mm"}, "millimeter": {"mm"}, "millimeters": {"mm"},
	"metre": {"m"}, "metres": {"m"}, "meter": {"m"}, "meters": {"m"},
	"tonne": {"t"}, "tonnes": {"t"}, "lbs": {"lb"}, "pound": {"lb"}, "pounds": {"lb"},
	"minute": {"min", "arcmin"}, "minutes": {"min", "arcmin"}, "sec": {"arcsec"}, "second": {"arcsec"}, "seconds": {"arcsec"}, "kgs": {"kg"}, "hour": {"h"}, "hours": {"h"}, "hr": {"h"}, "hrs": {"h"}, "percent": {"%"},
}

// doubtful are names that mean two things, with what to write instead.
var doubtful = map[string]string{
	"mil":  "write thou (0.001 in) or mm",
	"mils": "write thou (0.001 in) or mm",
	"ton":  "write short ton (2,000 lb) or t (1,000 kg)",
	"tons": "write short ton (2,000 lb) or t (1,000 kg)",
	"µ":    "write µm",
	"g":    "write kg",
}

// Unit returns the SI value of one unit of this kind. The error, a *Fault,
// names the nearest unit or all of them.
func (k *Kind) Unit(name string) (float64, error) {
	hint := "the units of a " + k.name + " are " + strings.Join(k.Names(), ", ")
	if len(name) > tooLong {
		return 0, Wrong(hint, "unknown unit %s", Quote(name))
	}
	if factor, ok := k.exactly(tidied(name)); ok {
		return factor, nil
	}
	name = normal(name)
	if means := doubtful[strings.ToLower(name)]; means != "" && (k == Length || k == Force) {
		hint = means
	}
	for _, text := range append([]string{name, written(name)}, spoken[strings.ToLower(name)]...) {
		if factor, ok := k.exactly(text); ok {
			return factor, nil
		}
		for _, unit := range k.units {
			for _, n := range unit.names {
				if strings.EqualFold(n, text) || strings.EqualFold(ascii(n), text) {
					hint = "write " + n
				}
			}
		}
	}
	return 0, Wrong(hint, "unknown unit %s", Quote(name))
}

// written returns a unit with a stroke in it, each part as we write it where people
// speak it: lbs/inch as lb/in.
func written(name string) string {
	parts := strings.Split(name, "/")
	for i, part := range parts {
		if is := spoken[strings.ToLower(part)]; len(parts) > 1 && len(is) > 0 {
			parts[i] = is[0]
		}
	}
	return strings.Join(parts, "/")
}

// exactly finds a unit by one of its names.
func (k *Kind) exactly(name string) (factor float64, ok bool) {
	for _, unit := range k.units {
		for _, n := range unit.names {
			if n == name || ascii(n) == name {
				return unit.factor, true
			}
		}
	}
	return 0, false
}

// ascii is a name as a keyboard without µ has it.
func ascii(name string) string { return strings.Replace(name, "µ", "u", 1) }

// Names returns the units of this kind as the program writes them.
func (k *Kind) Names() []string {
	return Names(k.units, func(u named) string { return u.names[0] })
}
