package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/shape"
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
		if c.Down {
			d.Heights[f] -= 1e-3
			st = stand(t, in, d)
		}
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

// A foot that was felt to carry and is felt to hang since, or the other way about, is past touching by no
// more than it went in between, whether it was felt in this session or before the survey; one that was
// never felt by as much as is said.
func TestFeltBefore(t *testing.T) {
	const sd = 40 * um
	for _, far := range []float64{8 * um, -8 * um} { // of its neighbour
		for _, ever := range []bool{true, false} {
			in := lowPair(t, 100*um)
			for i := range in.Draws {
				in.Draws[i].Heights[2] += 44 * um
				if far < 0 {
					in.Draws[i].Heights[2] -= 90 * um
				}
			}
			before := log.Entry{Act: log.Act{What: log.Feel, Foot: in.Standing.Feet[2].Name, Feel: map[bool]log.Touch{true: log.Solid, false: log.Free}[far > 0]}, In: in.Standing.Name}
			if in.Earlier = []log.Entry{{Act: log.Act{What: log.Turn, Foot: in.Standing.Feet[2].Name}}, before}; !ever {
				in.Earlier = []log.Entry{before, in.Earlier[0]} // it was turned since
			}
			s, err := Begin(in)
			if err != nil {
				t.Fatal(err)
			}
			b := s.beds
			was := make([]float64, len(b.all))
			for i, one := range b.all {
				was[i], _ = b.untilTouch(one, 2)
			}
			if err := b.carry(move{foot: 4, raise: far, sd: 1e-9}); err != nil {
				t.Fatal(err)
			}
			went := make([]float64, len(b.all))
			for i, one := range b.all {
				now, _ := b.untilTouch(one, 2)
				went[i] = math.Abs(now - was[i])
			}
			if err := b.feels(2, far < 0, sd, true); err != nil {
				t.Fatal(err)
			}
			beyond := 0
			for i, one := range b.all {
				by, _ := b.untilTouch(one, 2)
				if one.state.Feet()[2].Lifted != (far > 0) {
					t.Errorf("%.0f µm, bed %d: %+v", far/um, i, one.state.Feet()[2])
				}
				if math.Abs(by) > 1.05*went[i] {
					beyond++
				}
			}
			if (beyond == 0) != ever {
				t.Errorf("%.0f µm, felt before: %v: %d of %d beds are farther past touching than they went", far/um, ever, beyond, len(b.all))
			}
		}
	}
}

// A hand that feels a foot carry that hangs on every bed brings it to touch on each, and one
// that feels it free where it carries on every bed takes its load off.
func TestHandAgainstAllBeds(t *testing.T) {
	b, err := newBeds(task(t, rand.New(rand.NewPCG(6, 9)), 40))
	if err != nil {
		t.Fatal(err)
	}
	for _, carries := range []bool{false, true} {
		if err := b.feels(2, carries, 2*um, false); err != nil {
			t.Fatal(err)
		}
		for i, one := range b.all {
			if f := one.state.Feet()[2]; f.Lifted == carries || f.Gap > 8*um {
				t.Errorf("bed %d: felt to carry: %v, but lifted %v by %.1f µm", i, carries, f.Lifted, f.Gap/um)
			}
		}
	}
}

// A bed on three feet cannot stand without any of them: a hand that feels one free moves none.
func TestHandAgainstStatics(t *testing.T) {
	k := task(t, rand.New(rand.NewPCG(6, 9)), 5)
	k.Standing.Feet = []beam.Foot{k.Standing.Feet[0], k.Standing.Feet[1], k.Standing.Feet[6]}
	k.Standing.Feet[2].Offset = 0
	var err error
	if k.Solver, err = beam.NewSolver(k.Bed, k.Standing, beam.Options{Cells: 200}); err != nil {
		t.Fatal(err)
	}
	for i := range k.Draws {
		k.Draws[i].Heights = k.Draws[i].Heights[:3]
	}
	b, err := newBeds(k)
	if err != nil {
		t.Fatal(err)
	}
	was := b.all[0].draw.Heights[2]
	if err := b.feels(2, false, 2*um, false); err != nil || b.all[0].draw.Heights[2] != was || b.all[0].state.Feet()[2].Lifted {
		t.Errorf("a foot of three is felt free: %v", err)
	}
}
