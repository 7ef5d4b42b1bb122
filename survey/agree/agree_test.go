package agree

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/survey"
)

const (
	arcsec = math.Pi / 180 / 3600
	µm     = 1e-6
)

var ways = []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}}

// truth is an invented bed: what both ways share, and in what they differ.
type truth struct {
	length        float64
	common, apart []float64 // m, amplitudes of half-waves over the length
	twist         float64   // m over the length
	r             *rand.Rand
}

func newTruth(seed uint64) *truth {
	r := rand.New(rand.NewPCG(seed, 7))
	t := &truth{length: 2.5 + 4*r.Float64(), twist: 60 * µm * r.NormFloat64(), r: r}
	for k := range 8 {
		fall := 1 / (1 + 0.5*float64(k))
		t.common = append(t.common, 10*µm*fall*r.NormFloat64())
		t.apart = append(t.apart, 5*µm*fall*r.NormFloat64())
	}
	return t
}

// height is that of a way, m.
func (t *truth) height(offset, x float64) float64 {
	h := offset / 0.5 * t.twist * x / t.length
	for k := range t.common {
		wave := math.Sin(math.Pi * float64(k+1) * x / t.length)
		h += (t.common[k] + math.Copysign(t.apart[k], offset)) * wave
	}
	return h
}

func (t *truth) shape(offset float64) (s shape.Shape) {
	for i := range 401 {
		x := t.length * float64(i) / 400
		s.X, s.Y = append(s.X, x), append(s.Y, t.height(offset, x))
	}
	return s
}

// cross is the slope across the bed.
func (t *truth) cross() shape.Shape {
	front, back := t.shape(-0.25), t.shape(0.25)
	for i := range back.Y {
		back.Y[i] = (back.Y[i] - front.Y[i]) / 0.5
	}
	return back
}

// read returns a survey with readings of a shape to a tenth of their unit, noise in
// that unit, and a zero that drifts a little from the first reading out to the last
// back.
func (t *truth) read(s survey.Survey, of shape.Shape, noise float64) survey.Survey {
	s.Standing = "shop floor"
	n := int((t.length - 0.1) / s.Base)
	if s.Instrument == survey.CrossLevel {
		s.Readings.X = nil
		for x := 0.1; x < t.length; x += 0.3 {
			s.Readings.X = append(s.Readings.X, x)
		}
		n, s.XScale = len(s.Readings.X), 1
	}
	for _, name := range []string{"out", "back"} {
		s.Readings.Runs = append(s.Readings.Runs, survey.Run{Name: name, Values: make([]float64, n)})
	}
	_, clean := s.Expect(of)
	drift := noise / float64(n) * t.r.NormFloat64() // from one reading to the next
	for back, run := range s.Readings.Runs {
		for i, v := range clean {
			when := float64(i + 2*back*(n-i))
			run.Values[i] = math.Round(10*(v+noise*t.r.NormFloat64()+drift*when)) / 10
		}
	}
	return s
}

// surveys is a day's work on the bed: both ways by collimator, one of them by level
// too, and the cross level.
func (t *truth) surveys() []survey.Survey {
	sight := survey.Survey{Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}
	level := survey.Survey{Instrument: survey.Level, Unit: "div", Scale: 2e-5, Base: 0.2, Start: 0.05}
	name := func(s survey.Survey, name, way string) survey.Survey { s.Name, s.Way = name, way; return s }
	sigma := 0.2 + 0.3*t.r.Float64()
	list := []survey.Survey{
		t.read(name(sight, "front", "front"), t.shape(-0.25), sigma),
		t.read(name(sight, "back", "back"), t.shape(0.25), sigma),
		t.read(survey.Survey{Name: "twist", Instrument: survey.CrossLevel, Unit: "div", Scale: 2e-5}, t.cross(), 0.05+0.05*t.r.Float64()),
		t.read(name(level, "front by level", "front"), t.shape(-0.25), 0.08),
	}
	if t.r.IntN(2) == 0 {
		for i := range list {
			list[i].Uncertainty = []float64{0.5 * arcsec, 0.5 * arcsec, 0.1 * 2e-5, 0.1 * 2e-5}[i]
		}
	}
	return list
}

func records(t testing.TB, list []survey.Survey) (out []survey.Record) {
	for _, s := range list {
		p, err := survey.Reduce(s)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, survey.Record{Survey: s, Profile: p})
	}
	return out
}

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

// Two surveys are compared from two stations more than terms are taken out: two of a line, one of a level's zero.
func TestStationsThatAreCompared(t *testing.T) {
	for instrument, fewest := range map[survey.Instrument]int{survey.Heights: 4, survey.CrossLevel: 3} {
		for n := fewest - 1; n <= fewest; n++ {
			one := survey.Record{Survey: survey.Survey{Instrument: instrument, Uncertainty: 1}, Profile: survey.Profile{X: shape.Even(0, 1, n), Height: make([]float64, n), Cov: mat.NewSymDense(n, nil)}}
			for i := range n {
				one.Profile.Cov.SetSym(i, i, 1)
			}
			if _, ok := (constraint{}).fit([]survey.Record{one, one}); ok != (n == fewest) {
				t.Errorf("%s, %d stations: compared %v", instrument, n, ok)
			}
		}
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

func each(s *survey.Survey, do func([]float64)) {
	for _, run := range s.Readings.Runs {
		do(run.Values)
	}
}

func scale(v []float64, by float64) {
	for i := range v {
		v[i] *= by
	}
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

// Two surveys of one way by slopes at the same stations: with the line taken out
// their heights differ as their slopes less the mean slope do, which are
// independent, so rᵀC⁻¹r is the sum of squares over the variance of a difference.
func TestMisfitOfSlopes(t *testing.T) {
	tr := newTruth(3)
	list := tr.surveys()[:1]
	again := tr.read(survey.Survey{Name: "again", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 0.5)
	list = append(list, again)
	for i := range list {
		list[i].Uncertainty = 0.6 * arcsec
	}
	r := records(t, list)
	m, ok := constraint{of: []int{0, 1}}.fit(r)
	n := len(r[0].Profile.X) - 1
	var d []float64
	for i := range n {
		one := func(p survey.Profile) float64 { return (p.Height[i+1] - p.Height[i]) / 0.15 }
		d = append(d, one(r[1].Profile)-one(r[0].Profile))
	}
	mean, want := 0.0, 0.0
	for _, v := range d {
		mean += v / float64(n)
	}
	for _, v := range d {
		want += (v - mean) * (v - mean) / (0.36 * arcsec * arcsec) // two means of two runs
	}
	if !ok || math.Abs(m.squares/want-1) > 1e-3 || m.free != n-1 {
		t.Errorf("%v with %d degrees of freedom, not %v with %d", m.squares, m.free, want, n-1)
	}
	for i := range r { // nobody gave their noise and no repeats told it: three times as much is let pass
		r[i].Survey.Uncertainty, r[i].Profile.Free = 0, 0
	}
	if unsure, _ := (constraint{of: []int{0, 1}}).fit(r); math.Abs(unsure.squares*9/m.squares-1) > 1e-9 {
		t.Errorf("%v of surveys of assumed noise, not a ninth of %v", unsure.squares, m.squares)
	}
	cold, warm, same := 0.0, 0.05, 0.01
	for g, want := range map[*float64]bool{nil: false, &warm: true, &same: false} {
		r[0].Survey.Gradient, r[1].Survey.Gradient = &cold, g
		if differ(r) != want {
			t.Errorf("warmed differently: %v at %v", !want, g)
		}
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

// A bow between two surveys is told as what heat does, with its size; where the
// gradients were measured and differ it is no contradiction at all.
func TestHeat(t *testing.T) {
	tr := newTruth(8)
	list := tr.surveys()[:1]
	warm := tr.shape(-0.25)
	end := tr.length
	for i, x := range warm.X {
		warm.Y[i] += 12 * µm * 4 * x * (end - x) / (end * end)
	}
	list = append(list, tr.read(survey.Survey{Name: "noon", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, warm, 0.2))
	found := Check(ways, records(t, list))
	if len(found) != 1 || len(found[0].Remedy) != 1 || found[0].Remedy[0].Slip != Warmed || found[0].Remedy[0].Survey != "noon" || math.Abs(found[0].Remedy[0].Bow/(12*µm)-1) > 0.2 {
		t.Errorf("%+v", found)
	}
	morning, noon := 0.0, 0.5
	list[0].Gradient, list[1].Gradient = &morning, &noon
	if found := Check(ways, records(t, list)); len(found) != 0 {
		t.Errorf("the heat was measured: %+v", found)
	}
}

// A place where two surveys differ is told, with its size.
func TestWhere(t *testing.T) {
	tr := newTruth(9)
	list := tr.surveys()[:1]
	dent := tr.shape(-0.25)
	at := 0.05 + 0.15*8
	for i, x := range dent.X {
		if math.Abs(x-at) < 0.1 {
			dent.Y[i] -= 8 * µm
		}
	}
	list = append(list, tr.read(survey.Survey{Name: "dented", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, dent, 0.2))
	found := Check(ways, records(t, list))
	if len(found) != 1 || math.Abs(found[0].At-at) > 1e-9 || math.Abs(found[0].Off-8*µm) > 2*µm || found[0].Noise > µm {
		t.Errorf("%+v", found)
	}
}

// The degrees of freedom behind a difference of two like surveys are those of Welch
// and Satterthwaite: of 10 and 30 behind equal variances, 4/(1/10 + 1/30) = 30.
func TestDegreesBehind(t *testing.T) {
	tr := newTruth(3)
	r := records(t, append(tr.surveys()[:1:1], tr.read(survey.Survey{Name: "again", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 0.4)))
	r[1].Profile.Cov = r[0].Profile.Cov
	r[0].Profile.Free, r[1].Profile.Free = 10, 30
	if m, _ := (constraint{of: []int{0, 1}}).fit(r); math.Abs(m.behind-30) > 1e-9 {
		t.Errorf("%v, not 30", m.behind)
	}
	if p := scaled(r[0].Profile, 2); math.Abs(p.Cov.At(5, 7)/r[0].Profile.Cov.At(5, 7)-4) > 1e-12 || p.Height[5] != 2*r[0].Profile.Height[5] {
		t.Error("readings twice as large have not four times the covariance")
	}
}

// Where nobody gave an uncertainty and one run tells none, an instrument that is
// twice as noisy as others is not doubted.
func TestAssumedNoiseIsNotHeldAgainstASurvey(t *testing.T) {
	for seed := range uint64(20) {
		tr := newTruth(seed)
		var list []survey.Survey
		for _, name := range []string{"morning", "noon"} {
			s := tr.read(survey.Survey{Name: name, Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 1)
			s.Readings.Runs = s.Readings.Runs[:1]
			list = append(list, s)
		}
		if found := Check(ways, records(t, list)); len(found) > 0 {
			t.Errorf("seed %d: %+v", seed, found)
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
