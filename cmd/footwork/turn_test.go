package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/internal/shop/turn"
	"footwork/reports"
	"footwork/survey/log"
)

// helper is a person at the invented bed: reads its instruments and turns its feet.
type helper struct {
	inv     invented
	job     *job.Job
	solver  *beam.Solver
	now     beam.Case
	zero    map[string]float64 // of each set-up, rad
	noise   float64            // share of the stated uncertainty of a reading
	rng     *rand.Rand
	wrong   bool // turns the wrong way once
	other   string
	minutes int
	log     []log.Line
}

func newHelper(t *testing.T) *helper {
	s, err := openSmall()
	if err != nil {
		t.Fatal(err)
	}
	v, err := beam.NewSolver(s.Bed, s.Standings[0].Standing, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	inv := smallBed()
	return &helper{inv: inv, job: s.Job, solver: v, now: inv.at(slices.Clone(inv.heights)), zero: map[string]float64{}, noise: 1, rng: rand.New(rand.NewPCG(5, 3))}
}

// smallBed is the small job's, invented like the demo's.
func smallBed() invented {
	const um = 1e-6
	return invented{standing: "floor", sheets: []string{"front.csv", "back.csv"}, bedFactor: 0.9, footFactor: 0.95, gradient: 0.03, scatter: 0.9, metal: 0.3,
		heights: []float64{6 * um, -4 * um, -14 * um, 18 * um, 10 * um, -8 * um}}
}

func (h *helper) when() log.Moment {
	h.minutes++
	return log.Moment{Day: "2026-03-05", Clock: fmt.Sprintf("%02d:%02d:00", 8+h.minutes/60, h.minutes%60)}
}

// shows is what a set-up's instrument shows of the bed at a place, SI.
func (h *helper) shows(t *testing.T, name string, at float64) float64 {
	t.Helper()
	st, err := h.solver.Solve(h.now)
	if err != nil {
		t.Fatal(err)
	}
	height := func(way string, offset, x float64) float64 {
		return st.Read(h.solver.Probe([]float64{x}, offset))[0] + h.inv.form(way, x, h.job.Bed.Length)
	}
	for _, s := range h.job.SetUps {
		if s.Name != name {
			continue
		}
		if _, ok := h.zero[name]; !ok {
			h.zero[name] = 10e-6 * h.rng.NormFloat64()
		}
		if s.Way == "" {
			a, b := h.job.Bed.Ways[0], h.job.Bed.Ways[1]
			return h.zero[name] + (height(b.Name, b.Offset, at)-height(a.Name, a.Offset, at))/(b.Offset-a.Offset)
		}
		for _, w := range h.job.Bed.Ways {
			if w.Name == s.Way {
				return h.zero[name] + math.Atan((height(w.Name, w.Offset, at+s.Base)-height(w.Name, w.Offset, at))/s.Base)
			}
		}
	}
	t.Fatalf("no set-up %q", name)
	return 0
}

// reads is what the helper types: the reading in the survey's unit, with its noise.
func (h *helper) reads(t *testing.T, c turn.Card) string {
	for _, s := range h.job.SetUps {
		if s.Name == c.Survey {
			v := h.shows(t, c.Survey, c.At) + h.noise*s.Uncertainty*h.rng.NormFloat64()
			return fmt.Sprintf("%.2f", v/s.One())
		}
	}
	t.Fatalf("no instrument for %+v", c)
	return ""
}

// turns a foot until the instrument shows what the card says.
func (h *helper) turns(t *testing.T, c turn.Card) {
	name := c.Foot
	if h.other != "" {
		name, h.other = h.other, ""
	}
	f := slices.IndexFunc(h.job.Standings[0].Feet, func(f beam.Foot) bool { return f.Name == name })
	begin := h.now.Heights[f]
	if h.wrong {
		h.wrong = false
		h.now.Heights[f] -= c.Raise
		return
	}
	if name != c.Foot {
		h.now.Heights[f] += c.Raise
		return
	}
	lo, hi := begin-20e-6-math.Abs(c.Raise)*2, begin+20e-6+math.Abs(c.Raise)*2
	at := func(x float64) float64 { h.now.Heights[f] = x; return h.shows(t, c.Survey, c.At) - c.Until }
	if at(lo)*at(hi) > 0 {
		h.now.Heights[f] = begin + c.Raise
		return
	}
	rising := at(hi) > 0
	for range 40 {
		mid := (lo + hi) / 2
		if (at(mid) > 0) == rising {
			hi = mid
		} else {
			lo = mid
		}
	}
	h.now.Heights[f] = (lo+hi)/2 + 0.3e-6*h.rng.NormFloat64()
}

// answers a card as a person does.
func (h *helper) answers(t *testing.T, c turn.Card) string {
	switch c.Kind {
	case turn.Question:
		if c.What == turn.Alone || c.What == turn.LockNuts {
			return "no"
		}
		return "yes"
	case turn.Trial, turn.Step, turn.Back:
		h.turns(t, c)
		return h.reads(t, c)
	case turn.Touch:
		f := slices.IndexFunc(h.job.Standings[0].Feet, func(f beam.Foot) bool { return f.Name == c.Foot })
		st, err := h.solver.Solve(h.now)
		if err != nil {
			t.Fatal(err)
		}
		if foot := st.Feet()[f]; foot.Lifted {
			h.now.Heights[f] += foot.Gap + 2e-6*h.rng.NormFloat64()
			return "nips"
		}
		return "solid"
	case turn.Angle:
		f := slices.IndexFunc(h.job.Standings[0].Feet, func(f beam.Foot) bool { return f.Name == c.Foot })
		h.now.Heights[f] += c.Raise + 1.6e-6*h.rng.NormFloat64()
		return "done"
	case turn.Solid:
		st, err := h.solver.Solve(h.now)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range st.Feet() {
			if slices.Contains(c.Feel, f.Name) && f.Lifted {
				return "free " + f.Name
			}
		}
		return "yes"
	case turn.Misfit:
		return "yes"
	case turn.Resurvey:
		return "skip"
	}
	return h.reads(t, c)
}

// work goes on with a session until it is over or so many lines were typed.
func (h *helper) work(t *testing.T, s *turn.Session, most int) (last turn.Card) {
	for range most {
		c := s.Card()
		if c.Kind == turn.Over {
			return c
		}
		text := h.answers(t, c)
		if err := s.Take(text, h.when()); err != nil {
			t.Fatalf("%+v: %q: %v", c, text, err)
		}
		h.log = append(h.log, s.Lines()...)
	}
	return s.Card()
}

// writeSmall writes the small job with the readings of its invented bed a log that has no
// line yet, and more at its end.
func writeSmall(dir, more string) (file string, err error) {
	const from = "../../testdata/jobs/small"
	file = filepath.Join(dir, "job.toml")
	text, err := os.ReadFile(filepath.Join(from, "job.toml"))
	if err != nil {
		return file, err
	}
	text = append(text, "\n[log]\nfile = \"log.csv\"\n"+more...)
	j, err := job.Read(file, text, func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(from, name)) })
	if err != nil {
		return file, err
	}
	files, err := smallBed().readings(j)
	if err != nil {
		return file, err
	}
	files["job.toml"] = text
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return file, err
		}
	}
	return file, nil
}

// openSmall is that job, matched and planned once for all that begin there.
var openSmall = sync.OnceValues(func() (*opened, error) {
	dir, err := os.MkdirTemp("", "small")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file, err := writeSmall(dir, "")
	if err != nil {
		return nil, err
	}
	return (&terminal{out: io.Discard, err: io.Discard}).open(file)
})

func begin(t *testing.T, s *opened, err error) *turn.Session {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	session, err := s.Turn(nil)
	if err != nil {
		t.Fatal(err)
	}
	return session
}

// A session at the invented bed, turned to readings, cut off in the middle and taken up
// again from the log alone, leaves it nearly as straight as its feet can, in few steps.
func TestTurnAtTheBed(t *testing.T) {
	if testing.Short() {
		t.Skip("a match, and another of what the log has since")
	}
	h := newHelper(t)
	before := h.inv.zone(t, h.job, h.solver, h.now)
	s, err := openSmall()
	h.work(t, begin(t, s, err), 12)
	dir := t.TempDir()
	file, err := writeSmall(dir, "")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := log.File(filepath.Join(dir, "log.csv")).Append(h.log...); err != nil {
		t.Fatal(err)
	}
	s, err = (&terminal{out: io.Discard, err: io.Discard}).open(file)
	if c := h.work(t, begin(t, s, err), 1000); c.Kind != turn.Over {
		t.Fatalf("ended at %+v", c)
	}
	turns := 0
	for _, l := range h.log {
		if l.What == "turn" && l.Value != "to touch" { // from there it is turned on: one step
			turns++
		}
	}
	after := h.inv.zone(t, h.job, h.solver, h.now)
	t.Logf("from %.1f to %.1f µm in %d turns and %d lines", before*1e6, after*1e6, turns, len(h.log))
	plan := foretold(t)
	if after > plan.High || turns > 2*plan.FeetMoved { // though the survey that is asked for is left out
		t.Errorf("left at %.1f µm after %d turns, the plan of %d feet says up to %.1f", after*1e6, turns, plan.FeetMoved, plan.High*1e6)
	}
}

// foretold is the plan that a session at the small bed begins with.
func foretold(t *testing.T) reports.Plan {
	t.Helper()
	s, err := openSmall()
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	return a.Plans[a.Recommended]
}

// slipAtTheBed is what goes wrong at one of the turns, and what is answered when it is
// asked about.
type slipAtTheBed struct {
	at     int // of the turns; turning down a foot that only touches moves nothing
	wrong  bool
	other  string
	misled float64 // div, of one reading
	means  turn.Meaning
	says   string
	asked  bool
}

// What goes wrong at the bed is asked about with what it was among what it could be, and
// put right it costs no more than a few turns: one thing after another in one session.
func TestTurnNotices(t *testing.T) {
	if testing.Short() {
		t.Skip("a match")
	}
	small, err := openSmall()
	h, s := newHelper(t), begin(t, small, err)
	slips := []*slipAtTheBed{
		{at: 2, other: "F1", means: turn.WrongFoot, says: "F1"},
		{at: 4, wrong: true, means: turn.WrongWay, says: "yes"},
		{at: 6, misled: 8, means: turn.Knock, says: "no"},
	}
	now, turned := &slipAtTheBed{}, 0
	for range 60 {
		card := s.Card()
		if card.Kind == turn.Over {
			break
		}
		if card.Kind == turn.Step || card.Kind == turn.Trial {
			turned++
			if i := slices.IndexFunc(slips, func(c *slipAtTheBed) bool { return c.at == turned }); i >= 0 {
				now = slips[i]
				h.wrong, h.other = now.wrong, now.other
			}
		}
		text := h.answers(t, card)
		if turned == now.at && card.Kind == turn.Step && now.misled != 0 {
			text = fmt.Sprintf("%.2f", card.Until*1e6/20+now.misled)
		}
		if card.Kind == turn.Misfit {
			t.Logf("turn %d: %+v", turned, card.Means)
			if text = "yes"; !now.asked {
				text, now.asked = now.says, slices.Contains(card.Means, now.means)
			}
			if now.means == turn.WrongFoot && text == now.other && !slices.Contains(card.Others, now.other) {
				t.Errorf("%s is not among %v", now.other, card.Others)
			}
		}
		if err := s.Take(text, h.when()); err != nil {
			t.Fatalf("%+v: %q: %v", card, text, err)
		}
	}
	for _, c := range slips {
		if !c.asked {
			t.Errorf("turn %d: not asked whether %v", c.at, c.means)
		}
	}
	after := h.inv.zone(t, h.job, h.solver, h.now)
	t.Logf("left at %.1f µm after %d turns", after*1e6, turned)
	if plan := foretold(t); after > plan.High || turned > 2*(plan.FeetMoved+len(slips)) {
		t.Errorf("left at %.1f µm after %d turns, the plan of %d feet says up to %.1f", after*1e6, turned, plan.FeetMoved, plan.High*1e6)
	}
}

// The reading after a turn and what comes of it, for a bed on eight feet.
func BenchmarkTurn(b *testing.B) {
	s := demoShop(b)
	for b.Loop() {
		b.StopTimer()
		session, err := s.Turn(&turn.Session{})
		if err != nil {
			b.Fatal(err)
		}
		one := func(text string) {
			if err := session.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
				b.Fatal(err)
			}
		}
		c := session.Card()
		for ; c.Kind != turn.Step && c.Kind != turn.Trial; c = session.Card() {
			one(cmp.Or(map[turn.Kind]string{turn.Solid: "yes", turn.Touch: "nips"}[c.Kind], "5.45"))
		}
		b.StartTimer()
		one(fmt.Sprintf("%.2f", 5.45*c.Until/c.Before))
	}
}
