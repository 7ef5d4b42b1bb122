package reports

import (
	"regexp"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// inSentence finds quantities in sentences that come ready made from elsewhere.
var inSentence = regexp.MustCompile("([−-]?\\d+(?:\\.\\d+)?)[ \u00a0](µm|thou|mm|in|kN|N|lbf)\\b")

// units of ready sentences, what they measure and the SI value of one.
var toldUnits = map[string]struct {
	kind Kind
	one  float64
}{
	"µm": {Height, unit.UM}, "thou": {Height, unit.Thou}, "mm": {Along, unit.MM}, "in": {Along, unit.Inch},
	"kN": {Force, unit.KN}, "N": {Force, 1}, "lbf": {Force, unit.Lbf},
}

// following returns a ready sentence whose heights, lengths and forces follow the
// units of the page.
func following(text string) prose {
	var out prose
	at := 0
	for _, m := range inSentence.FindAllStringSubmatchIndex(text, -1) {
		v, err := strconv.ParseFloat(strings.Replace(text[m[2]:m[3]], "−", "-", 1), 64)
		if err != nil {
			continue
		}
		u := toldUnits[text[m[4]:m[5]]]
		out = append(out, text[at:m[0]], q(u.kind, v*u.one))
		at = m[1]
	}
	return append(out, text[at:])
}

func allFollowing(texts []string) (out []prose) {
	for _, t := range texts {
		out = append(out, following(t))
	}
	return out
}
