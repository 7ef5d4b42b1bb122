package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/log"
)

const um = 1e-6

// task is an invented bed on four pairs, its draws unsure of heights and stiffness.
func task(t *testing.T, r *rand.Rand, draws int) plan.Task {
	bed := casting.Bed{Length: 4, Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: 4, Area: 0.045, Inertia: 9e-4, ShearArea: 0.02, Torsion: 3e-5, Depth: 0.45}},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}}}
	s := beam.Standing{Name: "shop floor"}
	for i := range 4 {
		for side, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: 0.3 + 1.13*float64(i), Offset: y, Stiffness: 6e8})
		}
	}
	v, err := beam.NewSolver(bed, s, beam.Options{Cells: 400})
	if err != nil {
		t.Fatal(err)
	}
	task := plan.Task{Bed: bed, Standing: s, Solver: v, Ways: []plan.Way{{Of: 0}, {Of: 1}},
		Instruments: []plan.Instrument{{Name: "front way", Way: 0, Base: 0.15, At: []float64{0.8, 2}, Noise: 1.5e-6}}}
	for range draws {
		d := beam.Draw{Bending: math.Exp(0.15 * r.NormFloat64()), Twist: math.Exp(0.15 * r.NormFloat64())}
		for range s.Feet {
			d.Heights = append(d.Heights, 5*um*r.NormFloat64())
		}
		task.Draws = append(task.Draws, d)
	}
	return task
}

// What the beds say that a turn did covers what it did on beds of their own kind, in
// about 95 of 100, and is known better than by the hand; a reading that was not foretold
// so is off by what it misses.
func TestReadingTellsTheTurn(t *testing.T) {
	const sd, meant = 4 * um, 20 * um
	held, tries, narrow := 0, 60, 0.0
	for seed := range tries {
		r := rand.New(rand.NewPCG(uint64(seed), 9))
		k := task(t, r, 41)
		truth := k
		truth.Draws = k.Draws[:1]
		k.Draws = k.Draws[1:]
		real, err := newBeds(truth)
		if err != nil {
			t.Fatal(err)
		}
		b, err := newBeds(k)
		if err != nil {
			t.Fatal(err)
		}
		p, m := Place{0, 0.8}, move{foot: 2, raise: meant, sd: sd}
		const noise = 1.5e-6
		real.note(p, 0)
		b.note(p, noise*r.NormFloat64())
		did := meant + sd*r.NormFloat64()
		if err := real.carry(move{foot: 2, raise: did}); err != nil {
			t.Fatal(err)
		}
		change := real.shows(real.all[0].state, p) + real.all[0].zero[p].mean + noise*r.NormFloat64()
		if err := b.carry(m); err != nil {
			t.Fatal(err)
		}
		if f := b.foretell(p, change, 0); math.Abs(f.off()) > 4 || math.Abs(b.foretell(p, -change, 0).off()) < 3 {
			t.Errorf("bed %d: off by %.1f", seed, f.off())
		}
		if err := b.learn(p, change, m); err != nil {
			t.Fatal(err)
		}
		mean, unsure := b.came(lately)
		narrow += unsure / sd / float64(tries)
		if math.Abs(mean-did) < 2*unsure {
			held++
		}
	}
	t.Logf("%d of %d held, %.2f of the hand's slip left", held, tries, narrow)
	if held < 51 || narrow > 0.8 {
		t.Errorf("%d of %d held, %.2f of the hand's slip left", held, tries, narrow)
	}
}

// On a bed that answers evenly a slip and a reading make the slip what the product of two normal
// densities has it, mean and variance in closed form (JCGM 101, 6.4.7, for each), of a reading that
// may be misread what the products with either have it, weighed by how likely it makes each: where it
// fits the first alone counts, where it is far off the slip is what was meant.
func TestWentIsThePosterior(t *testing.T) {
	const rate, noise, tries = 0.7, 2.0, 2000
	m, z := move{raise: 10, sd: 5}, zero{mean: 3}
	shown := make([]float64, nodes)
	for k := range shown {
		shown[k] = rate * m.at(k*fine)
	}
	wide := misreadBy * noise
	type product struct{ likely, mean, square float64 }
	products := func(reads float64) (whole product) {
		for variance, p := range map[float64]float64{noise * noise: 1 - misread, noise*noise + wide*wide: misread} {
			spread := m.sd*m.sd*rate*rate + variance
			weight, off := m.sd*m.sd*rate*rate/spread, reads-z.mean-rate*m.raise
			likely := p * math.Exp(-off*off/(2*spread)) / math.Sqrt(spread)
			mean := m.raise + weight*off/rate
			whole.likely += likely
			whole.mean += likely * mean
			whole.square += likely * (mean*mean + m.sd*m.sd*(1-weight))
		}
		whole.mean, whole.square = whole.mean/whole.likely, whole.square/whole.likely
		return whole
	}
	_, first := m.went(shown, 12, z, noise, 0.5)
	for _, reads := range []float64{12, 15, 20, 40, 80} {
		sum, squares, want := 0.0, 0.0, products(reads)
		for i := range tries {
			v, _ := m.went(shown, reads, z, noise, (float64(i)+0.5)/tries)
			sum, squares = sum+v/tries, squares+v*v/tries
		}
		sd, wantSD := math.Sqrt(squares-sum*sum), math.Sqrt(want.square-want.mean*want.mean)
		if math.Abs(sum-want.mean) > 0.02*wantSD || math.Abs(sd/wantSD-1) > 0.02 {
			t.Errorf("reads %.0f: %.3f ± %.3f, want %.3f ± %.3f", reads, sum, sd, want.mean, wantSD)
		}
		_, likely := m.went(shown, reads, z, noise, 0.5)
		if by := math.Log(want.likely / products(12).likely); math.Abs(likely-first-by) > 0.01*(1+math.Abs(by)) {
			t.Errorf("reads %.0f: likely by %.4f more, want %.4f", reads, likely-first, by)
		}
	}
}

// A foot is turned until the instrument reads what it should, from a reading that was misread: no
// reading there shows how far it went. Other places do, read before and after: they bring what is
// said of the foot to what it did, nearly; where nothing was misread they leave it.
func TestMisreadBeforeATurn(t *testing.T) {
	for _, by := range []float64{0, 15, -12} {
		const foot, raise = 2, 12 * um
		k := task(t, rand.New(rand.NewPCG(3, 15)), 1)
		k.Draws = slices.Repeat(k.Draws, 256)
		b, err := newBeds(k)
		if err != nil {
			t.Fatal(err)
		}
		p, others, noise := Place{0, 0.8}, []Place{{0, 1.6}, {0, 1.3}, {0, 1.0}}, k.Instruments[0].Noise
		one := b.all[0]
		rate, err := b.rate(p, foot, raise)
		if err != nil {
			t.Fatal(err)
		}
		went := raise - by*noise/rate
		there, err := b.raised(one, foot, went)
		if err != nil {
			t.Fatal(err)
		}
		m := move{foot: foot, raise: raise, sd: 3 * um}
		b.note(p, b.shows(one.state, p)+by*noise)
		for _, q := range others {
			b.note(q, b.shows(one.state, q))
		}
		if err := b.carry(m); err != nil {
			t.Fatal(err)
		}
		if err := b.learn(p, b.shows(there.state, p), m); err != nil {
			t.Fatal(err)
		}
		for _, q := range others {
			b.again(q, b.shows(there.state, q))
		}
		mean, sd := b.came(lately)
		if off := math.Abs(mean - went); off > max(2*um, math.Abs(went-raise)/3) || off > 3*sd || b.few && by == 0 {
			t.Errorf("misread by %.0f: the foot went %.1f µm, said is %.1f ± %.1f; few beds are left: %v", by, went/um, mean/um, 2*sd/um, b.few)
		}
	}
}

// Whatever is read, again and again, some of the survey's draws are left that differ, and it is known
// that they are few; what all fit leaves all.
func TestSomeDrawsAreLeft(t *testing.T) {
	b, err := newBeds(task(t, rand.New(rand.NewPCG(6, 6)), 40))
	if err != nil {
		t.Fatal(err)
	}
	if b.reweigh(make([]float64, 40)); b.few || math.Abs(b.left(true)-40) > 1e-9 {
		t.Errorf("%.1f are left of 40; few: %v", b.left(true), b.few)
	}
	for range 4 {
		likely := make([]float64, 40)
		for i := range likely {
			likely[i] = -1000 * float64(b.all[i].from)
		}
		b.reweigh(likely)
	}
	_, sd := b.came(func(one *bed) float64 { return one.draw.Heights[3] })
	if left := b.left(true); left < 2 || !b.few || sd < 0.1*um {
		t.Errorf("%.1f are left of 40, a foot known to %.2f µm; few: %v", left, sd/um, b.few)
	}
}

// The planner gets as many beds as its task has, of all those that readings choose from, each as often
// as it is likely.
func TestPlannedOfMore(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Beds, in.Draws = in.Draws, in.Draws[:10]
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	likely := make([]float64, 40)
	for i := range likely[:20] {
		likely[i] = math.Log(4)
	}
	s.beds.reweigh(likely)
	s.moved = true // else the plan of the survey holds
	if p, err := s.Plan(); err != nil || len(p.Draws) > 10 {
		t.Errorf("planned on %d draws of 10: %v", len(p.Draws), err)
	}
	heavy := 0
	for _, d := range s.beds.draws(nil, 10) {
		if slices.ContainsFunc(in.Beds[:20], func(o beam.Draw) bool { return slices.Equal(o.Heights, d.Heights) }) {
			heavy++
		}
	}
	if heavy != 8 {
		t.Errorf("%d of 10 are of the half that is four times as likely", heavy)
	}
}

// Every reading at a place tells of its zero: after n of them, each with its move, it is known to
// the noise of one by √n, and lies where they say in the mean.
func TestZeroOfManyReadings(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(5, 9)), 1)
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	p, noise, sum := Place{0, 0.8}, k.Instruments[0].Noise, 0.0
	off := []float64{1, -0.5, 2, 0.25}
	for i, z := range off {
		m := move{foot: 2, raise: 5 * um, sd: 1e-12}
		if i == 0 {
			b.note(p, b.shows(b.all[0].state, p)+z*noise)
			for _, one := range b.all { // of which nobody doubts
				one.zero[p] = zero{one.zero[p].mean, noise * noise, 0}
			}
		} else if err := b.carry(m); err != nil {
			t.Fatal(err)
		} else if err := b.learn(p, b.shows(b.all[0].state, p)+z*noise, m); err != nil {
			t.Fatal(err)
		}
		sum += z
	}
	n := float64(len(off))
	if z := b.all[0].zero[p]; math.Abs(z.variance*n/(noise*noise)-1) > 1e-6 || math.Abs(z.mean-sum/n*noise) > 1e-3*noise {
		t.Errorf("%g ± %g, want %g ± %g", z.mean, math.Sqrt(z.variance), sum/n*noise, noise/math.Sqrt(n))
	}
}

// A foot lowered until it comes off shows no more by how much: what is known of it then is
// that it hangs, and its slip is as unsure as before.
func TestReadingOfAFootThatHangs(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(3, 9)), 40)
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.8}
	b.note(p, 0)
	m := move{foot: 2, raise: -300 * um, sd: 30 * um}
	if err := b.carry(m); err != nil {
		t.Fatal(err)
	}
	shown := b.foretell(p, 0, 0)
	if err := b.learn(p, shown.expected, m); err != nil {
		t.Fatal(err)
	}
	if mean, sd := b.came(lately); math.Abs(mean-m.raise) > m.sd || sd < 0.7*m.sd {
		t.Errorf("came %.0f ± %.0f µm, want %.0f ± %.0f", mean/um, sd/um, m.raise/um, m.sd/um)
	}
}

// A foot that only touches and is turned down instead of up moves nothing: with a slip as wide
// as was owned to, the unmoved reading says that it hangs now, on nearly every bed.
func TestWrongTurnOfATouchingFoot(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(11, 9)), 60)
	for i := range k.Draws {
		k.Draws[i].Heights[2] -= 200 * um
	}
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.carry(move{foot: 2, touch: true, sd: 0.1 * um}); err != nil {
		t.Fatal(err)
	}
	p, m := Place{0, 0.8}, move{foot: 2, raise: 20 * um, sd: 40 * um}
	b.note(p, 0)
	if err := b.carry(m); err != nil {
		t.Fatal(err)
	}
	if err := b.learn(p, 0, m); err != nil {
		t.Fatal(err)
	}
	if hangs := b.light(2, 0.1); hangs < 0.9 {
		t.Errorf("it carries little in %.2f of the beds", hangs)
	}
	if mean, _ := b.came(lately); mean > 0 {
		t.Errorf("came %.1f µm", mean/um)
	}
}

// A log that has a turn and what an indicator beside the foot saw of it is taken up again as it
// was: the beds rise there by what was seen, whatever the hand meant.
func TestIndicatorIsReplayed(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(12, 9)), 60)
	k.Instruments = append(k.Instruments, plan.Instrument{Noise: 0.3 * um})
	k.Slip = make([]float64, len(k.Standing.Feet))
	for f := range k.Slip {
		k.Slip[f] = 5 * um
	}
	before, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	s := &Session{in: Input{Task: k, Setups: []survey.Survey{{Name: "front way"}, {Unit: "µm", Instrument: survey.Heights}}}, nuts: map[int]LockNut{},
		read: map[Place]float64{}, seen: map[int]Place{}, touched: map[int]bool{}, loose: map[int]bool{}, went: map[int]float64{}}
	if s.beds, err = newBeds(k); err != nil {
		t.Fatal(err)
	}
	const seen = 14 * um
	s.in.Since = []log.Entry{{Act: log.Act{What: log.Turn, Foot: "F2", Value: 10 * um}}, {Act: log.Act{What: log.Indicator, Foot: "F2", Value: seen}}}
	if err := s.replay(); err != nil {
		t.Fatal(err)
	}
	height := func(b *beds) (mean float64) {
		for _, one := range b.all {
			mean += one.weight * one.draw.Heights[2]
		}
		return mean
	}
	rose, rate := height(s.beds)-height(before), 0.0
	if rate, err = before.rate(Place{1, 2}, 2, um); err != nil {
		t.Fatal(err)
	}
	if math.Abs(rose-seen/rate) > 2*um {
		t.Errorf("F2 came %.1f µm, where %.1f were seen and the bed follows by %.2f", rose/um, seen/um, rate)
	}
}

// Stirred, copies of a bed stand on other feet, and the ways and all that was read are as they were.
func TestStirredIsReadAlike(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(8, 8)), 30)
	x := shape.Even(0.1, 3.9, 12)
	for i := range k.Draws {
		for range k.Ways {
			k.Draws[i].Form = append(k.Draws[i].Form, shape.Shape{X: x, Y: make([]float64, len(x))})
		}
	}
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.8}
	b.note(p, 3*um)
	height := func(one *bed, way int) []float64 {
		y := one.state.Read(b.Solver.Probe(x, b.Bed.Ways[way].Offset))
		floats.Add(y, one.draw.Form[way].Y)
		return y
	}
	was := b.copy()
	b.stir(was.all)
	moved := 0.0
	for i, one := range b.all {
		for way := range k.Ways {
			if off := floats.Distance(height(one, way), height(was.all[i], way), math.Inf(1)); off > 1e-12 {
				t.Errorf("bed %d: way %d is %g m elsewhere", i, way, off)
			}
		}
		if off := b.shows(one.state, p) + one.zero[p].mean - 3*um; math.Abs(off) > 1e-12 {
			t.Errorf("bed %d: reads %g off", i, off)
		}
		moved += floats.Distance(one.draw.Heights, was.all[i].draw.Heights, 2) / math.Sqrt(8*30)
	}
	if want := stirred * 5 * um * math.Sqrt2; moved/math.Sqrt(30) < want/2 || moved/math.Sqrt(30) > 2*want {
		t.Errorf("feet were moved by %.2f µm, about %.2f wanted", moved/math.Sqrt(30)/um, want/um)
	}
}
