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
	stays   map[string]*stay // by standing
}

// History returns the history of a bed · rows: what a job file says was done and
// read, in its order · acts: those of the log, of which void ones are left out.
// Rows whose place in time nobody can tell are returned beside, by their index.
func (b Bed) History(rows, acts []Act) (h History, unsure []int) {
	s := state{bed: b, in: b.Standing, passes: map[string]int{}, cuts: map[string]int{}, zeros: map[string]int{}, stays: map[string]*stay{}}
	for _, a := range merge(b, rows, counted(acts)) {
		for _, again := range s.stoodAgain(a) {
			h.Entries = append(h.Entries, s.take(again))
		}
		h.Entries = append(h.Entries, s.take(a))
	}
	h.bed, h.stays = b, s.stays
	h.warm()
	return h, unordered(rows)
}

// counted leaves void acts out, and those that say so.
func counted(acts []Act) (list []Act) {
	struck := map[int]bool{}
	for _, a := range acts {
		if a.What == Void {
			struck[a.Voids] = true
		}
	}
	for i, a := range acts {
		if a.What != Void && !struck[i+1] {
			list = append(list, a)
		}
	}
	return list
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

// state is how a bed stands while its history is followed.
type state struct {
	bed    Bed
	in     string         // standing in force
	epoch  int            // how often the standing was touched
	table  *Act           // nil when the log does not say
	passes map[string]int // of scraping, by way; of "", the most on any
	cuts   map[string]int // acts of scraping, by way; of "", on any
	zeros  map[string]int // by survey
	sight  string         // the survey along whose way an instrument looked last
	stays  map[string]*stay
}

// take carries one act out.
func (s *state) take(a Act) Entry {
	s.in = s.bed.next(s.in, a)
	if a.What.Touching() {
		s.epoch++
	}
	switch a.What {
	case Survey, SetUp, Read:
		s.look(a)
	case Table:
		s.table = &a
	case Scrape:
		if a.Pad { // too small to be the way's
			break
		}
		s.passes[a.Way] += a.Passes
		s.passes[""] = max(s.passes[""], s.passes[a.Way])
		s.cuts[a.Way]++
		s.cuts[""]++
	}
	return Entry{Act: a, In: s.in, Epoch: s.epoch, Zero: s.zeros[a.Survey], Cut: s.cuts[a.Way], Cuts: s.cuts[""], Done: s.passes[a.Way], Table: s.table}
}

// look counts the zeros of an instrument: a set-up makes a new one, and so does
// a sighted instrument that looked along another way meanwhile.
func (s *state) look(a Act) {
	setup, _ := s.bed.setup(a.Survey)
	if a.What != Read || setup.Sighted() && s.sight != a.Survey || s.zeros[a.Survey] == 0 {
		s.zeros[a.Survey]++
	}
	if setup.Sighted() {
		s.sight = a.Survey
	}
}

// Raised returns how far a foot was meant to be raised in all, m, in whatever
// standing that shares it.
func (h History) Raised(standing, foot string) (sum float64) {
	home, f, _ := h.bed.home(standing, foot)
	for _, e := range h.Entries {
		if e.What != Turn && e.What != Shim {
			continue
		}
		if at, moved, _ := h.bed.home(e.Standing, e.Foot); at == home && moved.Name == f.Name {
			sum += e.Value
		}
	}
	return sum
}

// Touched returns what was done to each foot after one epoch up to another, added
// into one act a foot, in the order of the first touch: Value is all that was
// meant, ToTouch that it was also turned until it touched, and What is Lock where
// its lock nut was tightened last; where lines say how far it came, Value is that.
func (h History) Touched(after, upTo int) (list []Act) {
	for _, e := range h.SummedUp() {
		if !e.What.Touching() && e.What != Came || e.What == Bolts || e.Epoch <= after || e.Epoch > upTo {
			continue
		}
		k := slices.IndexFunc(list, func(a Act) bool { return a.Standing == e.Standing && a.Foot == e.Foot })
		if k < 0 {
			list, k = append(list, Act{Standing: e.Standing, Foot: e.Foot}), len(list)
		}
		c := &list[k]
		c.What, c.Value, c.ToTouch = e.What, c.Value+e.Value, c.ToTouch || e.ToTouch
	}
	return list
}
