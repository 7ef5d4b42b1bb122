package job

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"footwork/beam/casting"
	"footwork/internal/unit"
	"footwork/survey"
	"footwork/survey/log"
)

// surveys reads every set-up; one without readings of its own needs a log.
func (b *builder) surveys(readers []*reader, logged bool) {
	seen := map[string]bool{}
	for _, r := range readers {
		s := b.setUp(r, seen)
		when := r.date("date")
		s.Date = when.String()
		if n := r.whole("pass"); n != nil {
			s.Pass = *n
		}
		if file := r.text("file"); file != "" {
			if b.readings(&s, file, "file", r.fault) && s.Instrument != "" {
				b.checkReadings(r, &s, file)
			}
			b.row(r, when, log.Act{What: log.Survey, Pass: &s.Pass, Survey: s.Name, Standing: s.Standing, Way: s.Way, File: file})
		}
		if !logged {
			r.require("file")
		}
		b.job.SetUps = append(b.job.SetUps, s)
		if r.has("file") {
			b.job.Surveys = append(b.job.Surveys, s)
		}
	}
	b.later(func() {
		for i, s := range b.job.Surveys {
			setUp := slices.IndexFunc(b.job.SetUps, func(o survey.Survey) bool { return o.Name == s.Name || o.Name == s.SetUp })
			b.surveySlips(readers[setUp], i)
		}
	})
}

// setUp reads how a survey is taken.
func (b *builder) setUp(r *reader, seen map[string]bool) survey.Survey {
	s := survey.Survey{Name: r.called(seen), Standing: b.standing(r, "standing"), Instrument: survey.Instrument(r.choice("instrument"))}
	if s.Instrument != "" {
		r.counting(string(s.Instrument))
		s.Way = b.wayNamed(r, "way")
		b.scale(r, &s)
		b.carriage(r, &s)
		b.aimed(r, &s)
	}
	if g, sd := r.measured("gradient"); r.has("gradient") {
		s.Gradient, s.GradientSD = &g, sd
	}
	s.TableAt = b.parked(r, "table_at")
	return s
}

// counting complains of what does not count for a choice, and of what that lacks.
func (r *reader) counting(choice string) {
	for _, k := range r.def.keys {
		switch counts := slices.Contains(k.by, choice); {
		case k.by == nil:
		case counts && k.needs == then:
			r.require(k.name)
		case !counts && r.has(k.name):
			r.fault(k.name, "leave it out", "counts only for %s", strings.Join(k.by, ", "))
		}
	}
}

// aimed reads what an instrument stands on and looks at.
func (b *builder) aimed(r *reader, s *survey.Survey) {
	s.Sideways = r.choice("plane") == "sideways"
	s.OfTable = r.choice("of") == "table"
	s.OnBed = r.choice("stands") == "bed"
	if s.Sideways && (s.Instrument == survey.Level || s.Instrument == survey.CrossLevel) {
		r.fault("plane", "leave it out", "a level shows only up and down")
	}
	b.between(r, s)
	if s.OfTable && b.job.Table == nil && !r.damaged {
		r.fault("of", "give a [table], or leave of out", "there is no table in this job")
	}
}

// between reads what tells two vees from one another: their distance, and a gauge that is
// pulled against one flank of each.
func (b *builder) between(r *reader, s *survey.Survey) {
	if s.Against = b.wayNamed(r, "against"); s.Against != "" {
		switch {
		case !s.Sideways || s.Instrument != survey.Heights || s.OfTable:
			r.fault("against", `write plane = "sideways" and instrument = "heights", or leave it out`, "belongs to a distance between two ways of the bed")
		case s.Against == s.Way:
			r.fault("against", "name the other way", "is the way itself")
		}
	}
	s.Pulled = map[string]int{"to negative": -1, "to positive": 1}[r.choice("pulled")]
	if s.Pulled != 0 && !r.damaged && (s.OfTable || !b.alikeVees()) {
		r.fault("pulled", "leave it out", "tells flanks from one another only on two vees of the bed whose flanks are alike, and no other way")
	}
}

// alikeVees tells whether the ways are two vees of the same flanks.
func (b *builder) alikeVees() bool {
	w := b.job.Ways
	return len(w) == 2 && w[0].Vee != nil && w[1].Vee != nil && *w[0].Vee == *w[1].Vee
}

func (b *builder) wayNamed(r *reader, key string) string {
	return r.refer(key, "way", unit.Names(b.job.Bed.Ways, func(w casting.Way) string { return w.Name }))
}

// scale reads what one unit of reading, one unit of the x column and one
// reading's uncertainty are worth.
func (b *builder) scale(r *reader, s *survey.Survey) {
	kind := unit.Slope
	if s.Instrument == survey.Heights {
		kind = unit.Length
	}
	s.Unit = r.text("reading")
	division := r.quantity("division")
	switch {
	case s.Unit == "" && r.has("division"):
		s.Unit = "div"
	case s.Unit == "" && kind == unit.Length:
		r.fault("reading", `for example reading = "µm"`, isMissing)
	case s.Unit == "":
		r.require("reading")
	}
	switch {
	case s.Unit == "div" && kind == unit.Slope:
		s.Scale = division
		r.require("division")
	case s.Unit != "":
		if r.has("division") && kind == unit.Slope {
			r.fault("division", `write reading = "div" or leave division out`, "is not used by readings in %s", unit.Quote(s.Unit))
		}
		s.Scale = b.unitOf(r, "reading", s.Unit, kind)
	}
	s.XScale = b.job.Units.Length().One
	if name := r.text("x_unit"); name != "" {
		s.XScale = b.unitOf(r, "x_unit", name, unit.Length)
	}
	s.Uncertainty = b.uncertainty(r, s, kind)
}

// inDivisions finds a figure in divisions of a level.
var inDivisions = regexp.MustCompile(`^\s*(.*?)\s*div(?:ision)?s?\.?\s*$`)

// uncertainty reads that of one reading, which may be in divisions of the level;
// 0 when it is absent.
func (b *builder) uncertainty(r *reader, s *survey.Survey, kind *unit.Kind) float64 {
	k := *r.key("uncertainty")
	v := r.get("uncertainty")
	switch {
	case v == nil:
		return r.quantity("uncertainty")
	case kind == unit.Length:
		k.want = lengthUncertainty
	}
	if m := inDivisions.FindStringSubmatch(v.text); m != nil && kind == unit.Slope {
		parts, err := strconv.ParseFloat(m[1], 64)
		if err != nil || !(parts > 0 && parts <= 100) || s.Unit != "div" {
			r.fault("uncertainty", `with a division, write for example "0.1 div"; else a slope such as "0.2 arcsec"`, "%s cannot be taken", v.quoted())
			return math.NaN()
		}
		return parts * s.Scale
	}
	sd, _ := r.quantityOf(&k, v)
	return sd
}

func (b *builder) unitOf(r *reader, key, name string, kind *unit.Kind) float64 {
	one, err := kind.Unit(name)
	if err != nil {
		f := err.(*unit.Fault)
		r.fault(key, f.Hint, "%s", f.Message)
		return math.NaN()
	}
	return one
}

// carriage reads where a slope instrument stands.
func (b *builder) carriage(r *reader, s *survey.Survey) {
	base, start := r.quantity("base"), r.quantity("start")
	s.Doubled = r.flag("doubled") && s.Instrument == survey.Autocollimator
	if s.Slopes() {
		b.onBed(r, "start", start)
		s.Base, s.Start = base, start
	}
}
