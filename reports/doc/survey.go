package doc

import (
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/reports"
	"footwork/survey"
)

// stations is how many stations of a profile are listed at most; the CSV has all.
const stations = 40

func (j job) survey(v reports.Survey) section {
	s := section{Title: "What was measured", Answer: j.surveyAnswer(v)}
	s.add(j.profiles(v)...)
	s.add(surveyTable(v))
	for _, h := range v.History {
		s.add(historyTable(h), historyWords(h))
	}
	s.add(diaryTable(v.Diary))
	for _, p := range v.Surveys {
		s.add(stationTable(p))
	}
	return s
}

func (j job) surveyAnswer(v reports.Survey) Text {
	if len(v.Surveys) == 0 {
		return say("No survey was read.")
	}
	return parted(each(v.Surveys, j.profileWords), " ", " ")
}

// profileWords returns a survey's answer in a sentence.
func (j job) profileWords(p reports.SurveyProfile) Text {
	if p.Across() {
		return say("“{}”: {}.", p.Name, j.turnedWords(p))
	}
	if p.Against != "" && len(p.Height) > 0 {
		return say("“{}”: the distance from the {} to the {} way changes by {height} along them.", p.Name, p.Against, p.Way, slices.Max(p.Height)-slices.Min(p.Height))
	}
	var sure, where Text
	if s := p.Straightness.Sigma; s != nil {
		sure = say(" {± height}", 2**s)
	}
	if where = highAndLow(p.Straightness.MinimumZone, p.X, p.Height, " at "); p.Sideways {
		where = say(" sideways")
	}
	return say("“{}”: the {} is {height}{} out of straight{}.", p.Name, wayWords(p.Way, p.OfTable), p.Straightness.MinimumZone, sure, where)
}

// wayWords names a way of the bed or of the table.
func wayWords(way string, ofTable bool) string {
	return pick(ofTable, "table's ", "") + way + " way"
}

// turnedWords says how far the slopes across the bed differ: its twist; of a gauge pulled
// aside, which flank of two is high.
func (j job) turnedWords(p reports.SurveyProfile) Text {
	if len(p.Height) == 0 {
		return say("no station was read")
	}
	low, high := floats.MinIdx(p.Height), floats.MaxIdx(p.Height)
	if p.Pulled != 0 {
		return say("pulled to {} offset its gauge lies against one flank of each vee, on positive offset {} higher at {spot} and {} at {spot}",
			map[int]string{-1: "negative", 1: "positive"}[p.Pulled], fall(p.Height[high], p.Gauge), p.X[high], fall(p.Height[low], p.Gauge), p.X[low])
	}
	ends := p.Height[len(p.Height)-1] - p.Height[0]
	most, asked := p.Height[high]-p.Height[low], Text(nil)
	if j.Goal != nil && j.Goal.Twist > 0 {
		asked = say(", {} the {} asked for", pick(most <= j.Goal.Twist, "within", "more than"), fall(j.Goal.Twist, p.Gauge))
	}
	return say("the bed is twisted by {} from end to end and by {} at the most{}", fall(ends, p.Gauge), fall(most, p.Gauge), asked)
}

// fall is a slope across the bed, and as a height on a gauge.
func fall(slope, gauge float64) Text {
	if gauge <= 0 {
		return say("{fall}", slope)
	}
	return say("{fall} ({height} on {spot})", slope, slope*gauge, gauge)
}

// profiles draws all ways surveyed in one standing at one pass over one another,
// and each cross level by itself.
func (j job) profiles(v reports.Survey) (out []Block) {
	type when struct {
		of   survey.Subject // of any way
		pass int
	}
	at := map[when]*Curves{}
	for _, p := range v.Surveys {
		if p.Across() {
			c := j.alongBed(say("Slope across the bed, “{}”", p.Name), p.Standing)
			c.Y = Axis{Name: "slope", Kind: slope}
			c.Series = []Series{{Name: p.Name, Style: First, X: p.X, Y: p.Height}}
			c.Series[0].band(p.Sigma)
			out = append(out, c)
			continue
		}
		seen := when{p.Subject, p.Pass}
		seen.of.Way = ""
		c := at[seen]
		if c == nil {
			c = j.alongBed(profileTitle(p), p.Standing)
			at[seen] = c
			out = append(out, c)
		}
		c.curve(p.Name, wayStyles[len(c.Series)%len(wayStyles)], p.X, p.Height).band(p.Sigma)
	}
	return out
}

func profileTitle(p reports.SurveyProfile) Text {
	switch {
	case p.Against != "":
		return say("Distance between the {} and the {} way on “{}”, as it changes along them; further apart is up", p.Against, p.Way, p.Standing)
	case p.Sideways:
		return say("Sideways on “{}”, about the line through the ends; towards positive offset is up", p.Standing)
	}
	return say("As measured on “{}”, about the line through the ends", p.Standing)
}

// band lays about 95 % around a curve by the standard uncertainty of its points.
func (s *Series) band(sigma []float64) {
	if len(sigma) != len(s.Y) {
		return
	}
	s.Low, s.High = make([]float64, len(sigma)), make([]float64, len(sigma))
	for i, v := range s.Y {
		s.Low[i], s.High[i] = v-2*sigma[i], v+2*sigma[i]
	}
}

func surveyTable(v reports.Survey) *Table {
	t := newTable("Out of straight about each reference line, {unit height}", "survey", "way", "through the ends", "least squares", "minimum zone", "± (95\u00a0%)")
	for _, p := range v.Surveys {
		if p.Across() {
			continue
		}
		sigma := any("")
		if p.Straightness.Sigma != nil {
			sigma = spread(Height, 2**p.Straightness.Sigma)
		}
		t.add(p.Name, p.Way, bare(Height, p.Straightness.Ends), bare(Height, p.Straightness.LeastSquares), bare(Height, p.Straightness.MinimumZone), sigma)
	}
	return t
}

func stationTable(p reports.SurveyProfile) *Table {
	kind, head := pick(p.Across(), slope, Height), pick(p.Across(), "slope", "height")
	t := newTable(say("“{}”", p.Name), "at, {unit along}", say("{}, {}", head, UnitOf(kind)), "± (95\u00a0%)")
	for _, i := range spaced(len(p.X), stations) {
		t.add(bare(Along, p.X[i]), bare(kind, p.Height[i]), spread(kind, 2*p.Sigma[i]))
	}
	return t
}
