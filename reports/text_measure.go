package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
)

// textStations is how many stations of a profile are listed at most; the CSV has all.
const textStations = 40

func (v Survey) textOn(s *textSheet) {
	var said []string
	for _, p := range v.Surveys {
		said = append(said, p.words(s))
	}
	if said == nil {
		said = []string{"No survey was read."}
	}
	s.answer("%s", strings.Join(said, " "))
	for _, p := range v.pictures(s.Units.Angle()) {
		s.plot(p)
	}
	s.table("Out of straight about each reference line", v.straightness(s.Units.Height()))
	v.historyOn(s)
	for _, p := range v.Surveys {
		s.table(textName(p.Name), p.stations(s))
	}
}

// pictures returns a plot for all ways surveyed in one standing at one pass,
// and one for each cross level.
func (v Survey) pictures(slope unit.Display) []plot {
	type when struct {
		standing string
		pass     int
	}
	var out []plot
	at := map[when]int{}
	for _, p := range v.Surveys {
		if p.across() {
			out = append(out, plot{y: slope, about: " across the bed", curves: []plotCurve{{p.Name, p.X, p.Height}}})
			continue
		}
		i, ok := at[when{p.Standing, p.Pass}]
		if !ok {
			i = len(out)
			at[when{p.Standing, p.Pass}] = i
			out = append(out, plot{about: plotEnds})
		}
		out[i].curves = append(out[i].curves, plotCurve{p.Name, p.X, p.Height})
	}
	return out
}

func (v Survey) straightness(h unit.Display) *textTable {
	t := newTextTable("<survey", "<way", "ends, "+h.Unit, "least squares", "minimum zone", "± (95\u00a0%)")
	for _, p := range v.Surveys {
		if !p.across() {
			t.add(textClean(p.Name), textClean(p.Way), textNumber(h, p.Straightness.Ends), textNumber(h, p.Straightness.LeastSquares),
				textNumber(h, p.Straightness.MinimumZone), p.sigma(h))
		}
	}
	return t
}

// across reports whether the survey is of slopes across the bed.
func (v SurveyProfile) across() bool { return v.Way == "" }

func (v SurveyProfile) sigma(h unit.Display) string {
	if v.Straightness.Sigma == nil {
		return ""
	}
	return textSpread(h, *v.Straightness.Sigma)
}

// words returns the survey's answer in a sentence.
func (v SurveyProfile) words(s *textSheet) string {
	if v.across() {
		return fmt.Sprintf("%s: %s.", textName(v.Name), v.turned(s.Units.Angle()))
	}
	give := ""
	if v.Straightness.Sigma != nil {
		give = " " + s.give(*v.Straightness.Sigma)
	}
	return fmt.Sprintf("%s: the %s way is %s%s out of straight%s.", textName(v.Name), textClean(v.Way),
		s.height(v.Straightness.MinimumZone), give, s.where(v.X, v.Height))
}

func (v SurveyProfile) stations(s *textSheet) *textTable {
	at, d, head := textEven(s.Units.Length(), v.X), s.Units.Height(), "height"
	if v.across() {
		d, head = s.Units.Angle(), "slope"
	}
	t := newTextTable("at, "+at.Unit, head+", "+d.Unit, "± (95\u00a0%)")
	for _, i := range spread(len(v.X), textStations) {
		t.add(textNumber(at, v.X[i]), textNumber(d, v.Height[i]), textSpread(d, v.Sigma[i]))
	}
	return t
}

// turned says in words how far the slopes across the bed differ: its twist.
func (v SurveyProfile) turned(a unit.Display) string {
	if len(v.Height) == 0 {
		return "no station was read"
	}
	low, high := 0, 0
	for i, h := range v.Height {
		if h < v.Height[low] {
			low = i
		}
		if h > v.Height[high] {
			high = i
		}
	}
	return fmt.Sprintf("the bed is twisted by %s from end to end and by %s at the most; slopes across it lie between %s and %s",
		textQuantity(a, v.Height[len(v.Height)-1]-v.Height[0]), textQuantity(a, v.Height[high]-v.Height[low]),
		textQuantity(a, v.Height[low]), textQuantity(a, v.Height[high]))
}

func textLargest(v []float64) float64 {
	most := 0.0
	for _, x := range v {
		most = max(most, math.Abs(x))
	}
	return most
}
