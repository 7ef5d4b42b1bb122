package agree

import (
	"math"
	"slices"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/survey"
)

const (
	arcsec = math.Pi / 180 / 3600
	µm     = 1e-6
)

var ways = []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}}

// Of 200 days' work without a slip at most two are doubted.
func TestNoFalseAlarms(t *testing.T) {
	doubted := 0
	for seed := range uint64(200) {
		list := newTruth(seed).surveys()
		list = slices.Delete(list, int(seed%5), min(int(seed%5)+1, len(list)))
		if found := Check(ways, records(t, list)); len(found) > 0 {
			doubted++
			t.Logf("seed %d: %+v", seed, found)
		}
	}
	if doubted > 2 {
		t.Errorf("%d of 200", doubted)
	}
}

// Of two degrees of freedom chi-square passes −2 ln p with probability p, and F of two and ν passes
// ν(p^(−2/ν) − 1)/2: one in ten thousand of surveys that are right is called contradictory.
func TestHowOftenSurveysAreDoubted(t *testing.T) {
	known, guessed := -2*math.Log(1e-4), 6*(math.Pow(1e-4, -2./6)-1) // of six
	for _, m := range []misfit{{squares: known, free: 2, behind: math.Inf(1)}, {squares: guessed, free: 2, behind: 6}} {
		less, more := m, m
		less.squares, more.squares = 0.999*m.squares, 1.001*m.squares
		if !less.holds() || more.holds() {
			t.Errorf("%+v: %v a thousandth below, %v above", m, less.holds(), more.holds())
		}
	}
}

// A way that nothing contradicts is in no remedy: of two surveys of the front way, one by the
// beam's angle, and one of the back way, whose twist nobody read.
func TestWhatNothingContradictsIsLeftAlone(t *testing.T) {
	list := newTruth(3).surveys()
	list = []survey.Survey{list[3], list[0], list[1]}
	slips[Doubled](list, 1)
	found := Check(ways, records(t, list))
	want := []Remedy{{Slip: Division, Survey: "front by level", Times: 2}, {Slip: Doubled, Survey: "front"}}
	if len(found) != 1 || !slices.Equal(found[0].Remedy, want) {
		t.Errorf("%+v", found)
	}
}

// slips are mistakes of a pen: what they do to a survey's readings.
var slips = map[Slip]func(list []survey.Survey, i int){
	TurnedSign: func(l []survey.Survey, i int) { each(&l[i], func(v []float64) { scale(v, -1) }) },
	Doubled:    func(l []survey.Survey, i int) { each(&l[i], func(v []float64) { scale(v, 2) }) },
	Halved:     func(l []survey.Survey, i int) { l[i].Doubled = true },
	Division:   func(l []survey.Survey, i int) { l[i].Scale /= 2 },
	OtherUnit:  func(l []survey.Survey, i int) { l[i].Scale = 1e-6 }, // µm/m for arcsec
	FarEnd: func(l []survey.Survey, i int) {
		each(&l[i], func(v []float64) { slices.Reverse(v); scale(v, -1) })
	},
	FarRows: func(l []survey.Survey, i int) { each(&l[i], slices.Reverse[[]float64]) },
	Early: func(l []survey.Survey, i int) { // the first row was forgotten
		for r, run := range l[i].Readings.Runs {
			l[i].Readings.Runs[r].Values = run.Values[1:]
		}
		if n := len(l[i].Readings.X); n > 0 {
			l[i].Readings.X = l[i].Readings.X[:n-1]
		}
	},
	Late: func(l []survey.Survey, i int) { // the first row was written twice
		for r, run := range l[i].Readings.Runs {
			l[i].Readings.Runs[r].Values = slices.Insert(run.Values, 0, run.Values[0])
		}
		if x := l[i].Readings.X; len(x) > 0 {
			l[i].Readings.X = append(x, 2*x[len(x)-1]-x[len(x)-2])
		}
	},
	Exchanged: func(l []survey.Survey, _ int) { l[0].Readings, l[1].Readings = l[1].Readings, l[0].Readings },
}

// Every kind of slip is named in nine of ten cases, with the survey that it
// befell; where it is, it comes first in nearly all.
func TestEverySlipIsNamed(t *testing.T) {
	const trials = 5
	for slip, spoil := range slips {
		cases, named, first := 0, 0, 0
		for i, what := range []string{"front", "back", "twist", "front by level"} {
			if sighted := i < 2; (slip == Doubled || slip == Halved || slip == OtherUnit) && !sighted || slip == Division && sighted || slip == Exchanged && i > 0 {
				continue
			}
			for seed := range uint64(trials) {
				list := newTruth(1000*uint64(i+1) + seed).surveys()
				spoil(list, i)
				cases++
				at := rank(Check(ways, records(t, list)), slip, what)
				if at >= 0 {
					named++
				}
				if at == 0 {
					first++
				}
			}
		}
		if named < cases*9/10 || first < named*19/20 {
			t.Errorf("%s was named in %d of %d cases, first in %d", slip, named, cases, first)
		}
	}
}

// What puts most right comes first, then what fits best; what makes the readings less than a
// thousandth as likely, e^(−χ²/2), is no remedy, nor is what puts less right.
func TestUnlikelyRemedies(t *testing.T) {
	all := func(misfit float64, survey string, right ...int) candidate {
		return candidate{Remedy{Slip: TurnedSign, Survey: survey}, misfit, right}
	}
	right, got := likeliest([]candidate{all(-50, "one right", 1), all(-30+2*math.Log(1001), "unlikely", 1, 2), all(-30+2*math.Log(999), "likely", 1, 2), all(-30, "best", 1, 3)})
	if !slices.Equal(right, []int{1, 3}) || len(got) != 2 || got[0].Survey != "best" || got[1].Survey != "likely" {
		t.Errorf("%v put right by %+v", right, got)
	}
}

// rank returns the place of a slip among the remedies of a finding, −1 without one.
func rank(found []Finding, slip Slip, what string) int {
	for _, f := range found {
		if i := slices.IndexFunc(f.Remedy, func(r Remedy) bool { return r.Slip == slip && (r.Survey == what || r.With == what) }); i >= 0 {
			return i
		}
	}
	return -1
}

// Of two ways and a cross level alone nobody can tell whether the ways' files were
// exchanged or the level turned: both are named.
func TestWhatCannotBeToldApart(t *testing.T) {
	for seed := range uint64(10) {
		list := newTruth(seed).surveys()[:3]
		slips[Exchanged](list, 0)
		found := Check(ways, records(t, list))
		if rank(found, Exchanged, "front") < 0 || rank(found, TurnedSign, "twist") < 0 {
			t.Errorf("seed %d: %+v", seed, found)
		}
	}
}

// Where one collimator read both ways its slip is in both: with a way by level too that
// is plain, without it the level across may as well be worth half of what is written.
func TestBothWaysByOneInstrument(t *testing.T) {
	told := 0
	for seed := range uint64(10) {
		list := newTruth(seed).surveys()
		slip := Doubled
		if seed%2 == 0 {
			slip = Halved
		}
		slips[slip](list, 0)
		slips[slip](list, 1)
		found := Check(ways, records(t, list))
		if both := (Remedy{Slip: slip, Survey: "front", With: "back"}); len(found) != 1 || len(found[0].Remedy) == 0 || found[0].Remedy[0] != both {
			t.Errorf("seed %d: %+v", seed, found)
		}
		found = Check(ways, records(t, list[:3]))
		if len(found) == 0 { // ways that differ by little: nobody can tell
			continue
		}
		told++
		if rank(found, slip, "back") < 0 || rank(found, Division, "twist") < 0 {
			t.Errorf("seed %d, three surveys: %+v", seed, found)
		}
	}
	if told < 5 {
		t.Errorf("%d of 10 were seen without the level along", told)
	}
}

// What was done between two surveys, or the table elsewhere, is no contradiction.
func TestWhatWasDoneIsNoSlip(t *testing.T) {
	tr := newTruth(5)
	list := tr.surveys()
	bent := *newTruth(6)
	bent.length = tr.length
	list = append(list[:1], bent.read(survey.Survey{Name: "later", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, bent.shape(-0.25), 0.3))
	r := records(t, list)
	if found := Check(ways, r); len(found) != 1 || len(found[0].Remedy) != 0 || !slices.Equal(found[0].Surveys, []string{"front", "later"}) {
		t.Errorf("nothing was done: %+v", found)
	}
	at := 0.3
	for what, do := range map[string]func(*survey.Record){
		"a foot was touched":   func(r *survey.Record) { r.Epoch = 1 },
		"metal was cut":        func(r *survey.Record) { r.Cut = 1 },
		"the table was put on": func(r *survey.Record) { r.Survey.TableAt = &at },
		"another standing":     func(r *survey.Record) { r.Survey.Standing = "elsewhere" },
		"another plane":        func(r *survey.Record) { r.Survey.Sideways = true },
		"the table's own way":  func(r *survey.Record) { r.Survey.OfTable = true },
	} {
		changed := slices.Clone(r)
		do(&changed[1])
		if found := Check(ways, changed); len(found) != 0 {
			t.Errorf("%s: %+v", what, found)
		}
	}
}

// Of two cross levels only the zero is free: that one has another twist is told, in
// slopes.
func TestTwistOfTwoCrossLevels(t *testing.T) {
	tr := newTruth(4)
	twisted := tr.cross()
	for i, x := range twisted.X {
		twisted.Y[i] += 30e-6 * x / tr.length
	}
	level := survey.Survey{Instrument: survey.CrossLevel, Unit: "div", Scale: 2e-5}
	var list []survey.Survey
	for name, shape := range map[string]shape.Shape{"a": tr.cross(), "b": twisted} {
		level.Name = name
		list = append(list, tr.read(level, shape, 0.05))
	}
	found := Check(ways, records(t, list))
	if len(found) != 1 || !found[0].Across || found[0].Off < 5e-6 || found[0].Off > 30e-6 {
		t.Errorf("%+v", found)
	}
}

// What is put right must not break what holds: of three surveys of a way the first
// with a turned sign is named, not the second, which agrees with the third.
func TestNothingElseIsBroken(t *testing.T) {
	tr := newTruth(12)
	var list []survey.Survey
	for _, name := range []string{"one", "two", "three"} {
		list = append(list, tr.read(survey.Survey{Name: name, Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 0.3))
	}
	slips[TurnedSign](list, 0)
	found := Check(ways, records(t, list))
	if len(found) != 1 || len(found[0].Remedy) != 1 || found[0].Remedy[0] != (Remedy{Slip: TurnedSign, Survey: "one"}) {
		t.Errorf("%+v", found)
	}
}

// Metal cut from any way between the surveys that a cross level ties ends the tie.
func TestCutEndsTheTie(t *testing.T) {
	list := newTruth(5).surveys()[:3]
	slips[TurnedSign](list, 2)
	r := records(t, list)
	if len(Check(ways, r)) != 1 {
		t.Fatal("the slip was not seen")
	}
	r[1].AnyCut = 1
	if found := Check(ways, r); len(found) != 0 {
		t.Errorf("%+v", found)
	}
	r[1].AnyCut, r[1].Survey.OfTable = 0, true
	if found := Check(ways, r); len(found) != 0 {
		t.Errorf("a way of the table: %+v", found)
	}
}
