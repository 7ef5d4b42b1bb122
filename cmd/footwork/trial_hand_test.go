package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/internal/shop/turn"
	"footwork/survey/log"
	"footwork/survey/match"
)

// hand is a person at a hidden bed who does what the cards of a session ask.
type hand struct {
	*truth
	noise  float64
	zero   map[string]float64   // of each set-up, unknown
	shift  []float64            // m, of each lock nut
	nuts   map[int]turn.LockNut // what the program has learnt of them
	locked []bool
	turned map[int]bool
	moved  map[int]bool      // since the survey or the last touch
	noted  map[int]turn.News // how far each foot had come then, as the session has it
	epochs []match.Epoch     // what was done up to each touch since the survey
	lines  int
	turns  int
	setups int
	last   string              // where the instrument stood
	visits visits              // as each foot was left, its nut tightened and what that did put right
	felt   map[int]match.Touch // by hand since anything was moved, as it was asked
	acts   visits              // as each turn and each nut left it
	plans  []float64           // guided steps a foot moved, of each plan as a session began
}

func (h *hand) when() log.Moment {
	h.lines++
	return log.Moment{Day: fmt.Sprintf("20%02d-01-01", 30+h.lines%60), Clock: "08:00:00"}
}

// shows is what the card's instrument shows of the bed as it is, with its zero.
func (h *hand) shows(t testing.TB, c turn.Card) float64 {
	place := fmt.Sprint(c.Survey, c.At)
	if place != h.last {
		h.last, h.setups = place, h.setups+1
	}
	if _, ok := h.zero[c.Survey]; !ok {
		h.zero[c.Survey] = 10 * arcsec * h.rng.NormFloat64()
	}
	st := h.stand(t)
	height := func(way int, x float64) float64 {
		return st.Read(h.solver.Probe([]float64{x}, h.ways[way].Offset))[0] + h.form[way](x)
	}
	if c.Survey == "twist" {
		return h.zero[c.Survey] + (height(1, c.At)-height(0, c.At))/(h.ways[1].Offset-h.ways[0].Offset)
	}
	way := slices.IndexFunc(h.ways, func(w casting.Way) bool { return w.Name == c.Survey })
	return h.zero[c.Survey] + math.Atan((height(way, c.At+h.base)-height(way, c.At))/h.base)
}

// reads is what the person types, now and then misread.
func (h *hand) reads(t testing.TB, c turn.Card) string {
	v := h.shows(t, c) + h.noise*h.rng.NormFloat64()
	if h.rng.IntN(misreads) == 0 {
		v += misread
	}
	return fmt.Sprintf("%.2f", v/arcsec)
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
// that did as the session began counts once it has carried since, or when it is lighter still by more
// than anybody notices · by: the foot that was turned.
func (h *hand) watchLoads(t testing.TB, v *visits, begin []float64, by string) {
	const unnoticed = 0.02
	st := h.stand(t)
	mean := st.Weight() / float64(len(h.nominal.Feet))
	v.of++
	var feet []string
	for i, f := range st.Feet() {
		switch least := leastLoad * mean / 2; {
		case f.Load >= least && v == &h.visits: // its nut is tight
			begin[i] = math.Inf(1)
		case f.Load >= least:
		case begin[i] >= least || f.Load < begin[i]-unnoticed*mean:
			feet = append(feet, fmt.Sprintf("%s %.2f", f.Name, f.Load/mean))
		}
	}
	if feet != nil {
		v.light++
		v.feet = append(v.feet, fmt.Sprintf("%d after %s: %s", v.of, by, strings.Join(feet, ", ")))
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
		return map[bool]string{true: "no", false: "yes"}[c.What == turn.Alone]
	case turn.Touch:
		h.unlock(foot)
		if c.Down {
			h.state.Heights[foot] -= 1e-3
			h.state.Heights[foot] += h.stand(t).Feet()[foot].Gap + touchMiss*h.rng.NormFloat64()
			h.turned[foot] = true
			return "nips"
		}
		if st := h.stand(t); st.Feet()[foot].Load < felt*st.Weight()/float64(len(h.nominal.Feet)) {
			f := st.Feet()[foot]
			h.state.Heights[foot] += f.Gap + touchMiss*h.rng.NormFloat64()
			h.turned[foot] = true
			return "nips"
		}
		return "solid"
	case turn.Angle:
		h.unlock(foot)
		h.turns++
		h.turn(foot, c.Raise)
		h.turned[foot] = true
		return "done"
	case turn.Trial, turn.Step, turn.Back:
		h.turns++
		h.turnTo(t, foot, c)
		h.turned[foot] = true
		return h.reads(t, c)
	case turn.Slacken:
		h.unlock(foot)
	case turn.Nut:
		h.lock(foot)
		return "lock"
	case turn.Solid:
		for i, f := range h.stand(t).Feet() {
			if name := h.nominal.Feet[i].Name; slices.Contains(c.Feel, name) && f.Load < felt*h.stand(t).Weight()/float64(len(h.nominal.Feet)) {
				h.felt[i] = match.Free
				return "free " + name
			}
		}
		for i, f := range h.nominal.Feet {
			if slices.Contains(c.Feel, f.Name) {
				h.felt[i] = match.Solid
			}
		}
		return "yes"
	case turn.Misfit:
		return "no"
	case turn.Two:
		return "two"
	case turn.Resurvey:
		return "skip"
	}
	return h.reads(t, c)
}

// came notes for the next match how far each foot came since the last touch, as the session has it.
func (h *hand) came(list []turn.News) {
	for _, n := range list {
		foot := h.foot(n.Foot)
		if !h.moved[foot] {
			continue
		}
		by := n.Raised - h.noted[foot].Raised
		sd := math.Sqrt(max(0, n.SD*n.SD-h.noted[foot].SD*h.noted[foot].SD))
		h.moves = append(h.moves, match.Move{Foot: foot, Raise: by, SD: math.Hypot(math.Hypot(sd, leastKnown), rate*by)})
		h.noted[foot] = n
	}
	clear(h.moved)
}

// touched notes for the next match that a foot just touches, of which nobody knows how far it came for that, as the
// program has the match know it of the log.
func (h *hand) touched(foot int, before, now []turn.News) {
	h.came(before)
	h.epochs = append(h.epochs, match.Epoch{Moves: append(h.moves, match.Move{Foot: foot, SD: byTouch}), Felt: []match.Felt{{Foot: foot, Touch: match.Nips, Heat: h.day}}})
	h.moves = nil
	for _, n := range now {
		if h.foot(n.Foot) == foot {
			h.noted[foot] = n
		}
	}
}

func (h *hand) foot(name string) int {
	return slices.IndexFunc(h.nominal.Feet, func(f beam.Foot) bool { return f.Name == name })
}

// session works through a session; it tells whether a survey is asked for, or to be taken to be sure of
// what was turned · last: it was surveyed often enough, so that is left, and the session goes on as it can.
func (h *hand) session(t testing.TB, s *turn.Session, last bool) bool {
	begin := make([]float64, len(h.nominal.Feet))
	for i, f := range h.stand(t).Feet() {
		begin[i] = f.Load
	}
	refused, at := 0, ""
	for range 600 {
		c := s.Card()
		over := c.Kind == turn.Over || c.Kind == turn.Resurvey && !last
		if at != "" && (over || moves[c.Kind] && c.Foot != at) {
			h.watchLoads(t, &h.visits, begin, at)
		}
		if over {
			h.came(c.Came)
			return c.Kind == turn.Resurvey || at != "" && len(c.Surveys) > 0 && !last
		}
		before := s.Came()
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
		if c.Kind == turn.Touch && text == "nips" {
			h.touched(h.foot(c.Foot), before, s.Came())
		} else if moves[c.Kind] {
			h.moved[h.foot(c.Foot)] = true
		}
		h.feels(t, c, s)
		if moves[c.Kind] {
			clear(h.felt)
			at = c.Foot
			h.watchLoads(t, &h.acts, begin, at)
		}
	}
	t.Errorf("a session of 600 lines was not over")
	return false
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
	st := h.stand(t)
	for i, f := range st.Feet() {
		name := h.nominal.Feet[i].Name
		if slices.Contains(c.Feel, name) && f.Load < felt*st.Weight()/float64(len(h.nominal.Feet)) {
			if err := s.Take("free "+name, h.when()); err != nil {
				t.Fatal(err)
			}
		}
	}
}
