package supports

import (
	"errors"
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
)

// errUnsafe says that no pair and centre block hold a bed safely.
var errUnsafe = errors.New("the weight lies too far out to stand the bed on a pair and a centre block")

// Levelling is how a bed that was just set down is brought onto all its feet: with the
// table off it is stood on a pair about 0.22 of its length in and a block under its
// centre line as far from the other end, where neither sag nor a corner twists or bends
// it much; the feet are brought to just touch, and share the load in small turns until
// the blocks come free.
type Levelling struct {
	On    [3]Rest      // the pair, then the centre block
	Drop  []float64    // m, how far below its final height each foot just touches then
	Turns []LevelRound // rounds in which the feet are raised by Drop, a part of it each time
	Clear float64      // m, by which the blocks are free in the end
}

// Rest is one of three places that a bed stands on.
type Rest struct {
	Foot       int     // the standing's own foot there; −1: a block
	At, Offset float64 // m
	Load       float64 // N
}

// LevelRound is one turn of all feet.
type LevelRound struct {
	Raise []float64 // m, of each foot in this round
	Loads []float64 // N, of each foot after it
}

const (
	levelRounds = 3       // small turns in rotation: common practice, no source
	pairAt      = 0.22    // of the length: a bar on two points there bends least (0.2203 for equal slopes, Bessel)
	ownPair     = 0.08    // of the length, by which feet may stand off that place and still be the pair
	leastShare  = 1.0 / 6 // of the weight, that each of the three must carry for the bed to stand safely
	clearance   = 50e-6   // m, that a block is to come free by: a foil goes in
)

// Level returns the sequence for a standing of which nothing is known but what its job
// says · the feet end in one plane with the standing's own heights. It is an error when
// the weight lies too near to a side of the three.
func Level(b casting.Bed, s beam.Standing, o beam.Options) (Levelling, error) {
	var l Levelling
	three := s
	three.Bearings, three.Feet = nil, nil
	for i, r := range restsOf(b, s) {
		l.On[i] = r
		three.Feet = append(three.Feet, beam.Foot{At: r.At, Offset: r.Offset, Stiffness: math.Inf(1)})
	}
	v, err := beam.NewSolver(b, three, o)
	if err != nil {
		return l, err
	}
	st, err := v.Solve(beam.Case{})
	if err != nil {
		return l, errors.Join(errUnsafe, err)
	}
	for i, f := range st.Feet() {
		if l.On[i].Load = f.Load; f.Load < leastShare*st.Weight() {
			return l, errUnsafe
		}
	}
	touching := make([]float64, len(s.Feet))
	for i, f := range s.Feet {
		touching[i] = st.Read(v.Probe([]float64{f.At}, f.Offset))[0]
	}
	return l, l.share(b, s, o, touching)
}

// restsOf returns the pair and the block: at the end where the standing has feet nearest
// to the pair's place, which then are the pair if they are near enough.
func restsOf(b casting.Bed, s beam.Standing) [3]Rest {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range s.Feet {
		low, high = min(low, f.Offset), max(high, f.Offset)
	}
	nearest := func(x, y float64) (foot int, off float64) {
		foot, off = -1, math.Inf(1)
		for i, f := range s.Feet {
			if d := math.Abs(f.At - x); math.Abs(f.Offset-y) < 1e-3 && d < off {
				foot, off = i, d
			}
		}
		return foot, off
	}
	left, right := pairAt*b.Length, (1-pairAt)*b.Length
	far := func(x float64) float64 {
		_, p := nearest(x, low)
		_, q := nearest(x, high)
		return max(p, q)
	}
	pair, block := left, right
	if far(right) < far(left) {
		pair, block = right, left
	}
	out := [3]Rest{{-1, pair, low, 0}, {-1, pair, high, 0}, {-1, block, (low + high) / 2, 0}}
	if far(pair) <= ownPair*b.Length {
		for k, y := range []float64{low, high} {
			f, _ := nearest(pair, y)
			out[k] = Rest{Foot: f, At: s.Feet[f].At, Offset: y}
		}
	}
	return out
}

// share raises the feet in rounds to their final heights, at which the blocks are free ·
// touching height of each foot when the bed on the three just touches it, m.
func (l *Levelling) share(b casting.Bed, s beam.Standing, o beam.Options, touching []float64) error {
	all := s
	all.Feet = slices.Clone(s.Feet)
	for _, r := range l.On {
		if r.Foot < 0 {
			all.Feet = append(all.Feet, beam.Foot{At: r.At, Offset: r.Offset, Height: -1, Stiffness: math.Inf(1)})
		}
	}
	v, err := beam.NewSolver(b, all, o)
	if err != nil {
		return err
	}
	final, err := v.Solve(beam.Case{})
	if err != nil {
		return err
	}
	lift := 0.0
	for _, f := range final.Feet()[len(s.Feet):] { // 1 m below: its gap tells how high the bed stands over it
		lift = max(lift, 1-f.Gap+clearance)
	}
	l.Clear = clearance
	heights := make([]float64, len(all.Feet))
	for i, f := range s.Feet {
		heights[i] = f.Height + lift
		l.Drop = append(l.Drop, heights[i]-touching[i])
	}
	return l.turns(v, heights)
}

// turns raises the feet to their final heights round by round.
func (l *Levelling) turns(v *beam.Solver, heights []float64) error {
	for left := levelRounds - 1; left >= 0; left-- {
		round, now := LevelRound{}, slices.Clone(heights)
		for i, drop := range l.Drop {
			round.Raise = append(round.Raise, drop/levelRounds)
			now[i] -= drop * float64(left) / levelRounds
		}
		st, err := v.Solve(beam.Case{Draw: beam.Draw{Heights: now}})
		if err != nil {
			return err
		}
		for _, f := range st.Feet()[:len(l.Drop)] {
			round.Loads = append(round.Loads, f.Load)
		}
		l.Turns = append(l.Turns, round)
	}
	return nil
}
