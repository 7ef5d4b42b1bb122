package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/supports"
	"footwork/survey/log"
)

// openBed is a bed whose ways are known and whose loads are open: every draw shows the ways of the
// first, by other feet and other metal.
func openBed(t *testing.T, seed uint64) Input {
	const spread, unsure = 8 * um, 12 * um
	r := rand.New(rand.NewPCG(seed, 15))
	in := lowPair(t, 250*um)
	in.Goal.LeastLoad, in.Draws = 0.15, in.Draws[:24]
	in.Instruments[0].At, in.Instruments[0].Noise = []float64{0.8, 1.4, 2, 2.6}, 0.3e-6
	first := &in.Draws[0]
	for f := range first.Heights {
		first.Heights[f] = spread * r.NormFloat64()
	}
	first.Bending, first.Twist = 0, 0
	ways := waysOf(t, in, *first)
	for i := range in.Draws {
		d := &in.Draws[i]
		d.Bending, d.Twist = 0, 0
		for f := range d.Heights {
			if i > 0 {
				d.Heights[f] = first.Heights[f] + unsure*r.NormFloat64()
			}
		}
		for w, y := range waysOf(t, in, *d) {
			floats.SubTo(y, ways[w], y)
			d.Form = append(d.Form, shape.Shape{X: in.Ways[w].X, Y: y})
		}
	}
	return in
}

// stand stands a draw by package beam alone.
func stand(t *testing.T, in Input, d beam.Draw) *beam.State {
	st, err := in.Solver.Solve(beam.Case{Draw: d})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// waysOf are the heights of the ways of a draw, m.
func waysOf(t *testing.T, in Input, d beam.Draw) (out [][]float64) {
	st := stand(t, in, d)
	for w, way := range in.Ways {
		y := st.Read(in.Solver.Probe(way.X, in.Bed.Ways[way.Of].Offset))
		if len(d.Form) > w {
			floats.Add(y, d.Form[w].Y)
		}
		out = append(out, y)
	}
	return out
}

// zoneOf is the zone of the ways of a draw about one plane, m.
func zoneOf(t *testing.T, in Input, d beam.Draw) float64 {
	var x, y, h []float64
	for w, heights := range waysOf(t, in, d) {
		for i, v := range heights {
			x, y, h = append(x, in.Ways[w].X[i]), append(y, in.Bed.Ways[w].Offset), append(h, v)
		}
	}
	z, _, _, _ := shape.NewPlanes(x, y).Zone(h)
	return z
}

// does what a card asks of the bed that a draw is, without slips, and tells what is typed.
func does(t *testing.T, in Input, s *Session, d beam.Draw) (text string) {
	c, st := s.Card(), stand(t, in, d)
	f := s.foot(c.Foot)
	switch c.Kind {
	case Solid:
		for _, name := range c.Feel {
			if st.Feet()[s.foot(name)].Lifted {
				return "free " + name
			}
		}
		return "yes"
	case Touch:
		if d.Heights[f] += st.Feet()[f].Gap; st.Feet()[f].Lifted {
			return "nips"
		}
		return "solid"
	case Angle:
		d.Heights[f] += c.Raise
		return "done"
	case Trial, Step:
		d.Heights[f] += c.Raise
	case Misfit:
		return "yes"
	}
	return fmt.Sprintf("%.2f", s.beds.shows(stand(t, in, d), Place{0, c.At})/um)
}

// Where surveys leave loads open the plan does not stall: small steps, with the feet felt that
// may have gone light, bring ways of 15 to 20 µm to less than a third; surveys alone would have
// left 5 to 12. Of the bed itself no foot goes below half the least load.
func TestOpenLoadsDoNotStall(t *testing.T) {
	named := 0
	for _, seed := range []uint64{2, 3, 5} {
		in := openBed(t, seed)
		s, err := Begin(in)
		if err != nil {
			t.Fatal(err)
		}
		bed := in.Draws[0]
		before := zoneOf(t, in, bed)
		for k := 0; s.Card().Kind != Over && s.Card().Kind != Resurvey; k++ {
			switch c := s.Card(); c.Kind {
			case Solid:
				named += len(c.Feel)
			case Step:
				if len(c.Feel) > 0 && (c.Raise > small || c.Raise < -small) {
					t.Errorf("bed %d: %v may come loose, and %s is turned by %.1f µm at once", seed, c.Feel, c.Foot, c.Raise/um)
				}
			}
			if err := s.Take(does(t, in, s, bed), log.Moment{Day: "2026-03-05"}); err != nil || k > 100 {
				t.Fatalf("%+v: %v", s.Card(), err)
			}
			st := stand(t, in, bed)
			for f, foot := range st.Feet() {
				if share := foot.Load / st.Weight() * float64(len(st.Feet())); share < in.Goal.LeastLoad/2 {
					t.Errorf("bed %d: foot %d carries %.2f of the mean", seed, f, share)
				}
			}
		}
		if after := zoneOf(t, in, bed); after > before/3 || !s.byFeel {
			t.Errorf("bed %d: %.1f µm before, %.1f after; by feel: %v", seed, before/um, after/um, s.byFeel)
		}
	}
	if named == 0 {
		t.Error("no foot was to be felt")
	}
}

// A reading that does not fit, and is so all the same, may mean a foot that hangs: all are felt, the
// one that was turned too; of those that carry not each is told, and the others are asked for on.
func TestSurpriseIsFelt(t *testing.T) {
	s, err := Begin(lowPair(t, 100*um))
	if err != nil {
		t.Fatal(err)
	}
	at(t, s, Card{Kind: Step, Foot: "F3", Survey: "front way", Raise: 10 * um, Before: 0, Until: -9 * um, Within: um}, 4, Place{0, 0.8})
	want := []struct {
		text string
		kind Kind
		feel string
	}{
		{"0", Misfit, "[]"},
		{"yes", Solid, "[F1 B1 F2 B2 F3 B3 F4 B4]"},
		{"free F3", Solid, "[F1 B1 F2 B2 B3 F4 B4]"},
		{"free B1", Solid, "[F1 F2 B2 B3 F4 B4]"},
	}
	for _, w := range want {
		if err := s.Take(w.text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatal(err)
		}
		if c := s.Card(); c.Kind != w.kind || fmt.Sprint(c.Feel) != w.feel {
			t.Fatalf("%q: card %v of %v, want %v of %s", w.text, c.Kind, c.Feel, w.kind, w.feel)
		}
	}
	if err := s.Take("yes", log.Moment{Day: "2026-03-05"}); err != nil || s.Card().Kind == Solid {
		t.Errorf("then %v: %v", s.Card().Kind, err)
	}
}

// After too many turns only a survey tells more, whatever the planner would still gain.
func TestTooManyTurns(t *testing.T) {
	in := lowPair(t, 100*um)
	in.SurveyWith = []string{"front way"}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	for f := range in.Standing.Feet {
		s.known[f] = true
	}
	s.tried, s.stirred, s.done = true, false, mostVisits*len(in.Standing.Feet)
	if err := s.next(); err != nil || s.Card().Kind == Resurvey {
		t.Fatalf("already %+v: %v", s.Card(), err)
	}
	s.done--
	s.beds.few = true // what hardly any bed fits neither
	if err := s.next(); err != nil || s.Card().Kind != Resurvey || !s.Card().Few {
		t.Errorf("%+v: %v", s.Card(), err)
	}
	s.beds.few, s.done = false, s.done+2
	if err := s.next(); err != nil || s.Card().Kind != Resurvey || s.Card().Known != 0 || !(s.Card().Now > 0) {
		t.Errorf("%+v: %v", s.Card(), err)
	}
}

// A foot that lost much since it was felt is felt again, though no bed has it hang.
func TestLostLoadIsFelt(t *testing.T) {
	in := lowPair(t, 100*um)
	for i := range in.Draws { // all on level feet: all carry
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet))
	}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []struct {
		lost float64
		asks bool
	}{{0.3, false}, {0.5, true}} {
		s.stirred = true
		s.firm[3] = s.beds.load(3) + w.lost
		if got := s.doubtful(); got != w.asks || got && fmt.Sprint(s.Card().Feel) != "[B2]" {
			t.Errorf("lost %.1f: asked %v of %v", w.lost, got, s.Card().Feel)
		}
	}
}

// A foot that moved and is felt to carry where no bed has it so moved by that; one that did not move
// stood elsewhere all the while.
func TestFeltIsHowFarItMoved(t *testing.T) {
	for _, moved := range []bool{true, false} {
		k := lowPair(t, 100*um).Task // its third foot hangs in all beds
		b, err := newBeds(k)
		if err != nil {
			t.Fatal(err)
		}
		was := make([]float64, len(b.all))
		for i, one := range b.all {
			was[i] = one.draw.Heights[2]
		}
		if err := b.feels(2, true, 2*um, moved); err != nil {
			t.Fatal(err)
		}
		for i, one := range b.all {
			up, want := one.draw.Heights[2]-was[i], 0.0
			if moved {
				want = up
			}
			if up <= 0 || math.Abs(one.went[2]-want) > 1e-12 || math.Abs(one.moved-want) > 1e-12 {
				t.Errorf("moved %v, bed %d: %.1f µm higher, went %.1f, by the last move %.1f", moved, i, up/um, one.went[2]/um, one.moved/um)
			}
		}
	}
}

// A hand that feels a foot free which carries in every bed says that the feet stand elsewhere by what is
// not known of them: a foot whose height is known stays nearly as it is, its neighbour is the one that
// stands higher, and all is read as before.
func TestHandTellsOfTheFeetTogether(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(3, 7)), 60)
	r := rand.New(rand.NewPCG(9, 9))
	for i := range k.Draws {
		d := &k.Draws[i]
		clear(d.Heights)
		d.Bending, d.Twist, d.Heights[2], d.Heights[4] = 1, 1, -20*um, -30*um+12*um*r.NormFloat64()
	}
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.8}
	b.note(p, 3*um)
	was, light := b.copy(), b.light(2, 0.02)
	if err := b.feels(2, false, um, false); err != nil || light > handWrong {
		t.Fatalf("light in %.2f of the beds: %v", light, err)
	}
	own, other, off := 0.0, 0.0, 0.0
	for i, one := range b.all {
		from := was.all[i].draw.Heights
		own, other = own+math.Abs(one.draw.Heights[2]-from[2])/60, other+(one.draw.Heights[4]-from[4])/60
		off = max(off, math.Abs(b.shows(one.state, p)+one.zero[p].mean-3*um))
	}
	if hangs := b.light(2, 1e-9); hangs < 1-1e-9 || own > other/3 || off > 1e-12 {
		t.Errorf("hangs in %.2f of the beds; itself %.1f µm elsewhere, its neighbour %.1f higher; read %g off", hangs, own/um, other/um, off)
	}
}

// A nut that seems to have done what no nut does was read against a reading that was wrong: nothing
// is learnt of it, nor of the bed, and the instrument goes on from there.
func TestNutAgainstAMisreading(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Locks, in.ByLock = true, 5*um
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.5}
	at(t, s, Card{Kind: Slacken, Foot: "F1", Survey: "front way"}, 0, p)
	for _, text := range []string{"60", "yes"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	if _, sd := s.beds.came(lately); sd > 2*in.ByLock || !s.unseen(0) || math.Abs(s.read[p]-60*um) > 1e-12 {
		t.Errorf("came ± %.1f µm, its nut %v, read %v", sd/um, s.nuts, s.read)
	}
}

// levelled is a bed on level feet, all of which carry, the third in hand and raised by so much, seen
// from a place.
func levelled(t *testing.T, raise float64) *Session {
	in := lowPair(t, 100*um)
	in.Goal.LeastLoad, in.Locks, in.Nuts = 0.15, true, map[int]LockNut{2: {SD: um / 10}}
	for i := range in.Draws {
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet))
	}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	at(t, s, Card{Kind: Step}, 2, Place{0, 0.8})
	s.step = s.onward(*s.step, raise)
	s.lately, s.loose[2], s.tried, s.lights = 2, true, true, s.lightIf(0)
	if err := s.move(move{foot: 2, raise: raise, sd: 1e-9}); err != nil {
		t.Fatal(err)
	}
	s.last = nil
	return s
}

// A foot that went light in a visit carries again before the foot in hand is left: that is turned back
// by as much as it takes, or on where it is light itself, a few times at most and never beyond its
// thread. What was light before is no fault of the visit.
func TestLightFeetAreMended(t *testing.T) {
	for _, far := range []float64{60 * um, -45 * um} {
		s := levelled(t, far)
		lightened, was := s.lightIf(0), s.lights
		if s.lights = lightened; far > 0 && s.mend() {
			t.Errorf("what was light before is mended: %+v", s.Card())
		}
		s.lights = was
		s.in.Task.Feet[2].Left = &supports.Thread{Up: far, Down: -far}
		if s.mend() {
			t.Errorf("beyond its thread: %+v", s.Card())
		}
		s.in.Task.Feet[2].Left = nil
		for f := range s.beds.Feet {
			s.beds.Feet[f].Rated = 1 // N
		}
		if s.mend() {
			t.Errorf("beyond its rating: %+v", s.Card())
		}
		for f := range s.beds.Feet {
			s.beds.Feet[f].Rated = 0
		}
		if !s.mend() {
			t.Fatalf("%v went light, asked is %+v", lightened, s.Card())
		}
		c := s.Card()
		f := s.foot(c.Lightened)
		if c.Foot != "F2" || f < 0 || lightened[f] < 0.5 || c.Raise*far >= 0 || math.Abs(c.Raise) > math.Abs(far) {
			t.Errorf("raised by %.0f µm: %+v", far/um, c)
		}
		if own := f == 2; own != (far < 0) {
			t.Errorf("raised by %.0f µm, and %s went light", far/um, c.Lightened)
		}
		if left := s.lightIf(s.step.Raise)[f]; left > lightened[f]/2 {
			t.Errorf("%s is light still in %.2f of the beds", c.Lightened, left)
		}
		if s.mends = mends; s.mend() {
			t.Errorf("once more: %+v", s.Card())
		}
	}
}

// A foot that carried and is felt to hang, other than the one in hand, comes before all that is planned.
func TestFallenComesFirst(t *testing.T) {
	s := levelled(t, 0)
	s.lately, s.loose[2] = 0, false
	if got := s.fallen(); got != nil {
		t.Fatalf("%v fell", got)
	}
	for _, one := range s.beds.all {
		one.draw.Heights[2] -= 40 * um
	}
	if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
		t.Fatal(err)
	}
	if got := s.fallen(); fmt.Sprint(got) != "[2]" {
		t.Fatalf("%v fell", got)
	}
	s.feet, s.moved = []int{0, 1}, true
	if worth, err := s.steps(s.fallen()); err != nil || len(worth) != 1 || worth[0].Foot != 2 || !worth[0].Touch && worth[0].Raise <= 0 {
		t.Errorf("asked for %+v: %v", worth, err)
	}
	if s.skipped[2] = true; s.fallen() != nil {
		t.Error("what is left alone is to be raised")
	}
}

// A foot that touches is turned on from there only as long as no other goes light by that.
func TestTouchIsTurnedOnSafely(t *testing.T) {
	for raise, on := range map[float64]bool{10 * um: true, 240 * um: false} {
		s := levelled(t, 0)
		s.card, s.loose[2], s.byFeel = Card{Kind: Touch, Foot: "F2"}, true, false
		s.step.Raise, s.step.Touch = raise, true
		if err := s.Take("nips", log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatal(err)
		}
		if c := s.Card(); (c.Kind == Read && c.Foot == "F2") != on {
			t.Errorf("%.0f µm beyond touching: %+v", raise/um, c)
		}
	}
}
