package doc

import (
	"regexp"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// inSentence finds quantities in sentences that come ready made from elsewhere.
var inSentence = regexp.MustCompile("([−-]?\\d+(?:\\.\\d+)?)[ \u00a0](µm|thou|mm|in|kN|N|lbf)\\b")

// readyUnits are what the units of ready sentences measure and the SI value of one.
var readyUnits = map[string]Quantity{
	"µm": q(Height, unit.UM), "thou": q(Height, unit.Thou), "mm": q(Spot, unit.MM), "in": q(Spot, unit.Inch),
	"kN": q(Force, unit.KN), "N": q(SmallForce, 1), "lbf": q(Force, unit.Lbf),
}

// ready returns a ready sentence whose heights, lengths and forces are
// quantities, and so follow the units of the reader.
func ready(text string) Text {
	var out Text
	at := 0
	for _, m := range inSentence.FindAllStringSubmatchIndex(text, -1) {
		v, err := strconv.ParseFloat(strings.Replace(text[m[2]:m[3]], "−", "-", 1), 64)
		if err != nil {
			continue
		}
		one := readyUnits[text[m[4]:m[5]]]
		out = append(out, text[at:m[0]], q(one.Kind, v*one.Value))
		at = m[1]
	}
	if at == 0 {
		return say(text)
	}
	return append(out, text[at:])
}
