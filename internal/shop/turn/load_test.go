package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"footwork/beam/free"
	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey/log"
)

// held has no turn dared but one that may leave feet light.
func held(s *Session, raise float64) bool {
	s.unsafe, s.tried, s.held = true, true, plan.Step{Foot: 2, Raise: raise, Watch: &plan.Watch{Change: 1, Within: 0.05}}
	return s.tellLoad()
}

// Where no turn is dared a foot that may go light is let down until it just touches, once after a
// survey. Raised from there it carries what is then said on hidden beds too, known at least twice as well
// as before.
func TestLoadIsTold(t *testing.T) {
	const on = 15 * um
	var miss []float64
	for seed := range uint64(16) {
		in := openBed(t, seed)
		bed := in.Draws[0]
		in.Draws = in.Draws[1:]
		s, err := Begin(in)
		if err != nil {
			t.Fatal(err)
		}
		load := func(f int, raise float64) (mean, sd float64) {
			loads, weights := make([]float64, len(s.beds.all)), make([]float64, len(s.beds.all))
			for i, one := range s.beds.all {
				there, err := s.beds.raised(one, f, raise)
				if err != nil {
					t.Fatal(err)
				}
				loads[i], weights[i] = there.state.Feet()[f].Load/s.beds.meanLoad(one), one.weight
			}
			return stat.PopMeanStdDev(loads, weights)
		}
		take := func(text string) error { return s.Take(text, log.Moment{Day: "2026-03-05"}) }
		if !held(s, on) {
			continue
		}
		f := s.step.Foot
		_, was := load(f, 0)
		for k := 0; !s.told[f] || s.last != nil; k++ { // until it was read where it touches
			if c := s.Card(); c.Kind == Touch && (take("free") != errDown || take("solid") != errDown) {
				t.Errorf("bed %d: what it is before it is let down is taken for what it then is: %+v", seed, s.Card())
			}
			if err := take(does(t, in, s, bed)); err != nil || k > 5 {
				t.Fatal(s.Card(), err)
			}
			if s.last == nil && !s.told[f] {
				held(s, on)
			}
		}
		if left := s.threadLeft(f); left.Down >= s.in.Task.Feet[f].Left.Down {
			t.Errorf("bed %d: let down, foot %d has %.0f µm of its thread left", seed, f, left.Down/um)
		}
		bed.Heights[f] += on
		st := stand(t, in, bed)
		mean, sd := load(f, on)
		if sd > was/2 {
			t.Errorf("bed %d: its load was known to %.2f, and is to %.2f", seed, was, sd)
		}
		miss = append(miss, (st.Feet()[f].Load/st.Weight()*float64(len(st.Feet()))-mean)/sd)
		if held(s, on) && s.step.Foot == f {
			t.Errorf("bed %d: foot %d is let down again", seed, f)
		}
	}
	if rms := math.Sqrt(stat.MomentAbout(2, miss, 0, nil)); len(miss) < 8 || rms > 1.5 || rms < 0.4 {
		t.Errorf("of %d loads told each is missed by %.2f of its standard deviation, root mean square", len(miss), rms)
	}
}

// Nobody lets a foot down alone, or beyond its thread; who would rather not is not asked again, and the foot
// is turned as before.
func TestLetDown(t *testing.T) {
	in := openBed(t, 3)
	s, err := Begin(in)
	if err != nil || !held(s, 15*um) {
		t.Fatalf("%+v, %v", s.Card(), err)
	}
	f := s.step.Foot
	if !s.letsDown(f) {
		t.Errorf("foot %d cannot be let down", f)
	}
	for _, at := range in.Instruments[0].At { // it is read where it shows most
		there, _ := s.beds.rate(Place{0, at}, f, 10*um)
		best, _ := s.beds.rate(Place{0, s.step.Watch.At}, f, 10*um)
		if over := math.Abs(at+in.Instruments[0].Base/2-in.Standing.Feet[f].At) < in.Instruments[0].Base; !over && math.Abs(there) > 1.1*math.Abs(best) {
			t.Errorf("foot %d is watched at %.1f m, and shows more at %.1f", f, s.step.Watch.At, at)
		}
	}
	if s.alone = true; !held(s, 15*um) || s.Card().Kind != Two {
		t.Errorf("alone: %+v", s.Card())
	}
	if err := s.Take("skip", log.Moment{Day: "2026-03-05"}); err != nil || s.skipped[f] || !s.told[f] || len(s.Lines()) != 1 {
		t.Errorf("what is not let down is turned no more, or let down yet: %v", err)
	}
	s.in.Task.Feet[f].Left = &supports.Thread{}
	if s.letsDown(f) {
		t.Error("it is let down beyond its thread")
	}
}

// Who types at once what it reads where the foot touches has let it down, too.
func TestLetDownAndRead(t *testing.T) {
	in := openBed(t, 3)
	bed := in.Draws[0]
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	for k := 0; !held(s, 15*um) || s.Card().Kind != Touch; k++ {
		if err := s.Take(does(t, in, s, bed), log.Moment{Day: "2026-03-05"}); err != nil || k > 5 {
			t.Fatal(s.Card(), err)
		}
	}
	f, p := s.step.Foot, s.at
	does(t, in, s, bed) // its draw shares the heights
	if err := s.Take(fmt.Sprintf("%.2f", s.beds.shows(stand(t, in, bed), p)/um), log.Moment{Day: "2026-03-05"}); err != nil || !s.told[f] || s.sought[f] == 0 {
		t.Errorf("told %v, sought %v, %+v: %v", s.told, s.sought, s.Card(), err)
	}
}

// What stands on the bed besides is put there once, not whenever a foot is turned: how a bed stands takes as
// much with a table on it.
func TestTableIsPutOnOnce(t *testing.T) {
	takes := func(lines []free.Line) float64 {
		k := task(t, rand.New(rand.NewPCG(4, 4)), 2)
		k.Loads.Lines = lines
		b, err := newBeds(k)
		if err != nil {
			t.Fatal(err)
		}
		return testing.AllocsPerRun(1000, func() { _ = b.settle(b.all[0]) })
	}
	const chance = 2 // what is kept for the next is dropped at random where races are looked for; bending the bed takes seven
	if bare, table := takes(nil), takes([]free.Line{{From: 1, To: 2, Start: 3000, End: 3000}}); table > bare+chance {
		t.Errorf("%.0f allocations with a table, %.0f without", table, bare)
	}
}
