package log

import "slices"

// Entry is an act with how the bed stood when it was done.
type Entry struct {
	Act
	In    string // standing in force, for a survey its own
	Epoch int    // how often the bed's standing had been touched; of a touch, its own number
	Zero  int    // of Survey, SetUp and Read: readings of one survey with one number share their zero
	Cut   int    // how often metal had been cut from its way; of a cross level, from any
	Cuts  int    // how often metal had been cut from any way
	Done  int    // scraping passes done on its way; of a cross level, the most on any
	Table *Act   // where the table was parked last; nil when the log does not say
	Heat  *Act   // the day's measured gradient nearest before, else after; nil without one
}

// History is the acts that count, in time order, each with how the bed stood.
type History struct {
	Entries []Entry
	bed     Bed
}

// Fold returns the history of acts in time order; void ones are left out.
func Fold(b Bed, acts []Act) History {
	h, s, struck := History{bed: b}, start(b), struckOut(acts)
	line := 0
	for _, a := range acts {
		if a.Line > 0 {
			line++
		}
		if a.What == Void || a.Line > 0 && struck[line] {
			continue
		}
		s.take(a)
		h.Entries = append(h.Entries, s.entry(a))
	}
	h.warm()
	return h
}

// struckOut returns which lines of the log do not count. Voids counts them alone,
// so that acts from elsewhere may stand among them.
func struckOut(acts []Act) map[int]bool {
	out := map[int]bool{}
	for i := range acts {
		if acts[i].What == Void {
			out[acts[i].Voids] = true
		}
	}
	return out
}

// warm gives every entry the gradient measured on its day, before it or else after.
func (h *History) warm() {
	var heat *Act
	pass := func(i int) {
		e := &h.Entries[i]
		if e.What == Heat {
			heat = &e.Act
		}
		if heat != nil && heat.When.Day == e.When.Day && e.Heat == nil {
			e.Heat = heat
		}
	}
	for i := range h.Entries {
		pass(i)
	}
	for i := range slices.Backward(h.Entries) {
		pass(i)
	}
}

// State is how a bed stands after some of its history.
type State struct {
	In     string         // standing in force
	Epoch  int            // how often the standing was touched
	Table  *Act           // nil when the log does not say
	Passes map[string]int // of scraping, by way; of "", the most on any
	Feet   map[At]FootState
	Bolts  map[At]bool // tight; absent: nobody said

	bed   Bed
	cuts  map[string]int // acts of scraping, by way
	zeros map[string]int // by survey
	sight string         // the survey along whose way an instrument looked last
}

// At names a foot where it is at home.
type At struct{ Standing, Foot string }

// FootState is what was done to one foot and is known of it.
type FootState struct {
	Raised  float64 // m, all that was meant since the log begins
	Turned  float64 // m, what of it was turned by a screw
	Unsure  bool    // it was also turned until it touched, by an unknown amount
	Touches bool    // nothing moved it since it was turned until it touched
	Lately  []Act   // what was felt, gauged or weighed since it was last moved
}

func start(b Bed) *State {
	return &State{In: b.Standing, bed: b, Passes: map[string]int{}, Feet: map[At]FootState{}, Bolts: map[At]bool{},
		cuts: map[string]int{}, zeros: map[string]int{}}
}

// At returns how the bed stood after all acts that are not surely later than a
// moment.
func (h History) At(m Moment) State {
	s := start(h.bed)
	for _, e := range h.Entries {
		if m.Before(e.When) {
			break
		}
		s.take(e.Act)
	}
	return *s
}

// Now returns how the bed stands after the last act.
func (h History) Now() State { return h.At(Moment{}) }

// take carries one act out.
func (s *State) take(a Act) {
	s.In = s.bed.next(s.In, a)
	foot := At{a.Standing, a.Foot}
	f := s.Feet[foot]
	if a.What.Touching() {
		s.Epoch++
	}
	switch a.What {
	case Survey, SetUp, Read:
		s.look(a)
	case Turn, Shim:
		f.Lately, f.Touches = nil, a.ToTouch
		f.Raised, f.Unsure = f.Raised+a.Value, f.Unsure || a.ToTouch
		if a.What == Turn {
			f.Turned += a.Value
		}
		s.Feet[foot] = f
	case Lock:
		f.Lately, f.Touches = nil, false
		s.Feet[foot] = f
	case Feel, Gap, Load:
		f.Lately = append(slices.Clip(f.Lately), a)
		s.Feet[foot] = f
	case Bolts:
		s.bolt(a)
	case Table:
		s.Table = &a
	case Scrape:
		if a.Pad { // too small to be the way's
			return
		}
		s.Passes[a.Way] += a.Passes
		s.cuts[a.Way]++
		s.cuts[""]++
		s.Passes[""] = max(s.Passes[""], s.Passes[a.Way])
	}
}

// look counts the zeros of an instrument: a set-up makes a new one, and so does
// a sighted instrument that looked along another way meanwhile.
func (s *State) look(a Act) {
	setup, _ := s.bed.setup(a.Survey)
	if a.What != Read || setup.Sighted && s.sight != a.Survey || s.zeros[a.Survey] == 0 {
		s.zeros[a.Survey]++
	}
	if setup.Sighted {
		s.sight = a.Survey
	}
}

func (s *State) bolt(a Act) {
	if a.Foot != "" {
		s.Bolts[At{a.Standing, a.Foot}] = a.Tight
		return
	}
	p, _ := s.bed.place(a.Standing)
	for _, f := range p.Feet {
		home, _, _ := s.bed.home(a.Standing, f.Name)
		s.Bolts[At{home, f.Name}] = a.Tight
	}
}

func (s *State) entry(a Act) Entry {
	return Entry{Act: a, In: s.In, Epoch: s.Epoch, Zero: s.zeros[a.Survey], Cut: s.cuts[a.Way], Cuts: s.cuts[""], Done: s.Passes[a.Way], Table: s.Table}
}
