package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/internal/shop/turn"
	"footwork/survey/log"
)

// hand is a person at a hidden bed with its job, log and readings in a folder, who does what the cards of
// `turn` ask.
type hand struct {
	*truth
	way    guidedWay
	dir    string
	zero   map[string]float64 // of each set-up, unknown
	shift  []float64          // m, of each lock nut
	locked []bool
	light  []float64 // N, what each foot carried as it was surveyed; +Inf once it has carried its least load since
	most   int       // surveys
	sheets int
	lines  int
	last   string // where the instrument stood
	at     string // the foot in hand
	out    guided
}

// guided is what became of one bed in one session.
type guided struct {
	before, after, best, unsure float64 // m
	early                       float64 // m, as it was left before one more survey than fewSurveys
	turned                      map[string]bool
	turns, setups, surveys      int
	visits, acts                visits    // as each foot was left, its nut tightened and what that did put right; as each turn and each nut left it
	plans                       []float64 // steps a foot moved, of each plan as a session began
}

// when is a moment later than the one before.
func (h *hand) when() log.Moment {
	h.lines++
	return log.Moment{Day: fmt.Sprintf("2030-01-%02d", 1+h.lines/600), Clock: fmt.Sprintf("%02d:%02d:00", 8+h.lines%600/60, h.lines%60)}
}

// write puts a file into the folder.
func (h *hand) write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(h.dir, name), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// writeJob writes what is known of the bed, surveyed once.
func (h *hand) writeJob(t testing.TB) {
	var b strings.Builder
	say := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	s, m := h.job.Sections[0], h.job.Material
	say("[bed]\nlength = %s\nmodulus = \"%g GPa\"\nshear_modulus = \"%g GPa\"\ndensity = \"%g kg/m3\"\nexpansion = \"%g /K\"", mm(h.job.Length), m.Modulus/1e9, m.ShearModulus/1e9, m.Density, m.Expansion)
	say("[[bed.section]]\nfrom = \"0 mm\"\nto = %s\ntorsion = \"%g m4\"\nplates = [", mm(s.To), s.Torsion)
	for _, p := range s.Plates {
		say("{ width = %s, height = %s, offset = %s, bottom = %s },", mm(p.Width), mm(p.Height), mm(p.Offset), mm(p.Bottom))
	}
	say("]\n[[standing]]\nname = %q", h.nominal.Name)
	for _, f := range h.nominal.Feet {
		say("[[standing.foot]]\nname = %q\nat = %s\noffset = %s\nstiffness = \"%g N/mm\"\nadjust = \"screw M20x1.5\"", f.Name, mm(f.At), mm(f.Offset), f.Stiffness/1e3)
	}
	for _, w := range h.ways {
		say("[[way]]\nname = %q\noffset = %s\nwidth = %s\nfinished_to = \"%g µm\"", w.Name, mm(w.Offset), mm(w.Width), trialFinish*1e6)
	}
	by := "date = 2029-12-31\nstanding = %q\nreading = %q\nuncertainty = \"%g %s\"\nfile = %q\n"
	for _, w := range h.ways {
		say("[[survey]]\nname = %q\nway = %q\ninstrument = %q\nbase = %s\nstart = %s", w.Name, w.Name, h.way.by, mm(h.base), mm(h.stations[0]))
		say(by, h.nominal.Name, h.way.unit, h.noise/h.way.one, h.way.unit, h.sheet(t, w.Name))
	}
	say("[[survey]]\nname = %q\ninstrument = \"cross level\"", twist)
	say(by, h.nominal.Name, h.way.unit, h.noise/h.way.one, h.way.unit, h.sheet(t, twist))
	say("[adjust]\nleast_load = \"%g %%\"\n[log]\nfile = \"log.csv\"", 100*leastLoad)
	h.write(t, "job.toml", b.String())
}

// twist is the survey by the cross level.
const twist = "twist"

// sheet takes a survey into a file of its own.
func (h *hand) sheet(t testing.TB, name string) (file string) {
	var b strings.Builder
	way, at := h.wayOf(name), h.stations
	if way >= 0 {
		at = at[:len(at)-1]
	}
	b.WriteString("x (mm),run 1\n")
	for _, x := range at {
		fmt.Fprintf(&b, "%.3f,%.2f\n", x*1e3, (h.slope(t, way, x)+h.noise*h.rng.NormFloat64())/h.way.one)
	}
	h.sheets++
	file = fmt.Sprintf("%s-%d.csv", name, h.sheets)
	h.write(t, file, b.String())
	return file
}

// slope is what an instrument would show without zero and noise, rad.
func (h *hand) slope(t testing.TB, way int, x float64) float64 {
	st := h.stand(t)
	height := func(way int, x float64) float64 {
		return st.Read(h.solver.Probe([]float64{x}, h.ways[way].Offset))[0] + h.form[way](x)
	}
	if way < 0 {
		return (height(1, x) - height(0, x)) / (h.ways[1].Offset - h.ways[0].Offset)
	}
	return math.Atan((height(way, x+h.base) - height(way, x)) / h.base)
}

// wayOf is the way of a survey; −1 across.
func (h *hand) wayOf(name string) int {
	return slices.IndexFunc(h.ways, func(w casting.Way) bool { return w.Name == name })
}

// tell writes lines into the log.
func (h *hand) tell(t testing.TB, lines ...log.Line) {
	if _, _, err := log.File(filepath.Join(h.dir, "log.csv")).Append(lines...); err != nil {
		t.Fatal(err)
	}
}

// feelAll feels every foot and writes it down.
func (h *hand) feelAll(t testing.TB) {
	for _, f := range h.nominal.Feet {
		how := map[bool]log.Touch{true: log.Solid, false: log.Free}[h.carries(t, f.Name)]
		h.tell(t, log.Line{When: h.when().String(), What: string(log.Feel), Where: f.Name, Value: string(how)})
	}
}

// carries tells what a hand feels of a foot.
func (h *hand) carries(t testing.TB, foot string) bool {
	st := h.stand(t)
	return st.Feet()[h.foot(foot)].Load >= felt*st.Weight()/float64(len(h.nominal.Feet))
}

// shows is what the card's instrument shows of the bed as it is, with its zero.
func (h *hand) shows(t testing.TB, c turn.Card) float64 {
	place := fmt.Sprint(c.Survey, c.At)
	if place != h.last {
		h.last, h.out.setups = place, h.out.setups+1
	}
	if _, ok := h.zero[c.Survey]; !ok {
		h.zero[c.Survey] = 10 * arcsec * h.rng.NormFloat64()
	}
	return h.zero[c.Survey] + h.slope(t, h.wayOf(c.Survey), c.At)
}

// reads is what the person types, now and then misread.
func (h *hand) reads(t testing.TB, c turn.Card) string {
	v := h.shows(t, c) + h.noise*h.rng.NormFloat64()
	if h.rng.IntN(misreads) == 0 {
		v += misread
	}
	return fmt.Sprintf("%.2f", v/h.way.one)
}

// turnTo turns a foot until the instrument shows a value, as far as its noise lets one see.
func (h *hand) turnTo(t testing.TB, foot int, c turn.Card) {
	begin, want := h.state.Heights[foot], c.Until+h.noise*h.rng.NormFloat64()
	h.unlock(foot)
	at := func(x float64) float64 { h.state.Heights[foot] = x; return h.shows(t, c) - want }
	far := 30e-6 + 3*math.Abs(c.Raise)
	lo, hi := begin-far, begin+far
	a, b := at(lo), at(hi)
	if a*b > 0 { // it does not get there: as far as was asked
		h.state.Heights[foot] = begin + c.Raise
		return
	}
	for range 40 {
		mid := (lo + hi) / 2
		if v := at(mid); (v > 0) == (b > 0) {
			hi = mid
		} else {
			lo = mid
		}
	}
	h.state.Heights[foot] = (lo + hi) / 2
}

func (h *hand) lock(foot int) {
	if !h.locked[foot] {
		h.locked[foot] = true
		h.state.Heights[foot] += h.shift[foot]
	}
}

func (h *hand) unlock(foot int) {
	if h.locked[foot] {
		h.locked[foot] = false
		h.state.Heights[foot] -= h.shift[foot]
	}
}

// visits are states of a bed, those in which a foot is light that should not be, and which foot in
// which of them.
type visits struct {
	light, of int
	feet      []string
}

// watchLoads counts a state of the bed: light when a foot carries less than half the least load. One
// that did as it was surveyed counts once it has carried since, or when it is lighter still by more
// than anybody notices.
func (h *hand) watchLoads(t testing.TB, v *visits) {
	const unnoticed = 0.02
	st := h.stand(t)
	mean := st.Weight() / float64(len(h.nominal.Feet))
	v.of++
	var feet []string
	for i, f := range st.Feet() {
		switch least := leastLoad * mean / 2; {
		case f.Load >= least && v == &h.out.visits: // its nut is tight
			h.light[i] = math.Inf(1)
		case f.Load >= least:
		case h.light[i] >= least || f.Load < h.light[i]-unnoticed*mean:
			feet = append(feet, fmt.Sprintf("%s %.2f", f.Name, f.Load/mean))
		}
	}
	if feet != nil {
		v.light++
		v.feet = append(v.feet, fmt.Sprintf("%d after %s: %s", v.of, h.at, strings.Join(feet, ", ")))
	}
}

// answer does what a card asks, and says what is typed.
func (h *hand) answer(t testing.TB, c turn.Card) string {
	foot := h.foot(c.Foot)
	switch c.Kind {
	case turn.Touch, turn.Trial, turn.Step, turn.Back, turn.Slacken:
		if c.Survey != "" && math.Abs(h.shows(t, c)+h.noise*h.rng.NormFloat64()-c.Before) > 6*h.noise {
			return "strike out" // it does not read now what was typed before
		}
	}
	switch c.Kind {
	case turn.Question:
		switch c.What {
		case turn.BoltsSlack:
			return "none"
		case turn.Alone:
			return "no"
		}
		return "yes"
	case turn.Touch:
		h.unlock(foot)
		if !c.Down && h.carries(t, c.Foot) {
			return "solid"
		}
		if c.Down {
			h.state.Heights[foot] -= 1e-3
		}
		h.state.Heights[foot] += h.stand(t).Feet()[foot].Gap + touchMiss*h.rng.NormFloat64()
		h.out.turned[c.Foot] = true
		return "nips"
	case turn.Angle:
		h.unlock(foot)
		h.out.turns++
		h.turn(foot, c.Raise)
		h.out.turned[c.Foot] = true
		return "done"
	case turn.Trial, turn.Step, turn.Back:
		h.out.turns++
		h.turnTo(t, foot, c)
		h.out.turned[c.Foot] = true
	case turn.Slacken:
		h.unlock(foot)
	case turn.Nut:
		h.lock(foot)
		return "lock"
	case turn.Solid:
		for _, name := range c.Feel {
			if !h.carries(t, name) {
				return "free " + name
			}
		}
		return "yes"
	case turn.Misfit:
		return "no"
	case turn.Two:
		return "two"
	case turn.Resurvey:
		if h.out.surveys == h.most {
			return "skip"
		}
		return fmt.Sprintf("survey %s %s", c.Surveys[0], h.sheet(t, c.Surveys[0]))
	}
	return h.reads(t, c)
}

func (h *hand) foot(name string) int {
	return slices.IndexFunc(h.nominal.Feet, func(f beam.Foot) bool { return f.Name == name })
}

// session works through a session, to its end or to a survey.
func (h *hand) session(t testing.TB, s *turn.Session) turn.Card {
	refused := 0
	h.at = ""
	for range 600 {
		c := s.Card()
		over := c.Kind == turn.Over || c.Kind == turn.Resurvey
		if h.at != "" && (over || moves[c.Kind] && c.Foot != h.at) {
			h.watchLoads(t, &h.out.visits)
			h.at = ""
		}
		if c.Kind == turn.Over {
			return c
		}
		text := h.answer(t, c)
		if c.Kind == turn.Misfit {
			if refused++; refused == 3 {
				text, refused = "yes", 0 // read three times, and it reads so
			}
		} else if moves[c.Kind] {
			refused = 0
		}
		err := s.Take(text, h.when())
		if err != nil && text == "strike out" { // typed too long ago: from here it is another zero
			err = s.Take("knocked", h.when())
		}
		if err != nil {
			t.Fatalf("%+v: %q: %v", c, text, err)
		}
		h.feels(t, c, s)
		h.tell(t, s.Lines()...)
		if moves[c.Kind] {
			h.at = c.Foot
			h.watchLoads(t, &h.out.acts)
		}
	}
	t.Errorf("a session of 600 lines was not over")
	return s.Card()
}

func (v *visits) add(w visits) {
	v.light, v.of, v.feet = v.light+w.light, v.of+w.of, append(v.feet, w.feet...)
}

func (v visits) share() float64 { return float64(v.light) / float64(v.of) }

// moves are the cards after which a foot stands elsewhere.
var moves = map[turn.Kind]bool{turn.Trial: true, turn.Step: true, turn.Touch: true, turn.Angle: true, turn.Back: true, turn.Slacken: true, turn.Nut: true}

// feels tells of feet that were to stay solid and came loose.
func (h *hand) feels(t testing.TB, c turn.Card, s *turn.Session) {
	if k := s.Card().Kind; !moves[c.Kind] || k == turn.Over || k == turn.Misfit {
		return
	}
	for _, name := range c.Feel {
		if !h.carries(t, name) {
			if err := s.Take("free "+name, h.when()); err != nil {
				t.Fatal(err)
			}
		}
	}
}
