package supports

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"footwork/beam"
)

// Levelling is how a bed that was just set down is brought onto all its feet:
// stand it on three, bring the others to just touch, share the load in small turns.
type Levelling struct {
	Three [3]int       // feet to stand on
	Loads []float64    // N, of every foot while it stands on three
	Drop  []float64    // m, how far below its final height each foot just touches; 0 for the three
	Turns []LevelRound // rounds in which the others are raised by Drop, a part of it each time
}

// LevelRound is one turn of all feet but the three.
type LevelRound struct {
	Raise []float64 // m, of each foot in this round
	Loads []float64 // N, of each foot after it
}

const (
	levelRounds = 3     // small turns in rotation: common practice, no source
	leastShare  = 0.05  // of the weight, that each of the three must carry for the bed to stand safely
	mostThrees  = 100   // threes of feet that are looked at
	outOfReach  = 10e-3 // m, how low a foot stands that shall not touch
)

// Level returns the sequence for a standing of which nothing is known but what
// its job says · the feet end at the standing's own heights. Of the threes on
// which the bed stands safest it takes that on which it hangs least out of shape.
// It is an error when no three feet hold the bed safely, as the four corners of a
// bed do not.
func Level(v *beam.Solver, s beam.Standing) (Levelling, error) {
	best, hang := Levelling{}, math.Inf(1)
	for _, three := range safeThrees(s.Feet, v.Linear(beam.Case{}).Resultant) {
		feet, err := standOnThree(v, s, three)
		if err != nil {
			return Levelling{}, err
		}
		l := Levelling{Three: three}
		l.take(feet, three)
		if worst := farthest(l.Drop); worst < hang {
			best, hang = l, worst
		}
	}
	if best.Loads == nil {
		return Levelling{}, errors.New("no three feet hold the bed safely: block it up while its feet are set, or give it a foot nearer to its middle")
	}
	return best, best.share(v, s)
}

// safeThrees returns the three feet on which the bed stands safely, by statics, at
// most mostThrees of them, those with the greatest least load first · weight is
// ΣF, ΣFx, ΣFy.
func safeThrees(feet []beam.Foot, weight [3]float64) (threes [][3]int) {
	n := len(feet)
	least := map[[3]int]float64{}
	for a := range n {
		for b := a + 1; b < n; b++ {
			for c := b + 1; c < n; c++ {
				if l := leastOfThree(feet[a], feet[b], feet[c], weight); l > leastShare*weight[0] {
					threes, least[[3]int{a, b, c}] = append(threes, [3]int{a, b, c}), l
				}
			}
		}
	}
	slices.SortStableFunc(threes, func(p, q [3]int) int { return cmp.Compare(least[q], least[p]) })
	return threes[:min(len(threes), mostThrees)]
}

func farthest(v []float64) (m float64) {
	for _, x := range v {
		m = max(m, math.Abs(x))
	}
	return m
}

// leastOfThree returns the least load of three feet by statics, N; negative when
// one would have to pull or they stand in a line. Each foot's share is the area of
// the triangle of the weight's place and the two other feet over that of all three.
func leastOfThree(p, q, r beam.Foot, weight [3]float64) float64 {
	x, y := weight[1]/weight[0], weight[2]/weight[0]
	area := func(ax, ay, bx, by, cx, cy float64) float64 { return (bx-ax)*(cy-ay) - (cx-ax)*(by-ay) }
	whole := area(p.At, p.Offset, q.At, q.Offset, r.At, r.Offset)
	if whole == 0 {
		return -1
	}
	return weight[0] * min(
		area(x, y, q.At, q.Offset, r.At, r.Offset)/whole,
		area(p.At, p.Offset, x, y, r.At, r.Offset)/whole,
		area(p.At, p.Offset, q.At, q.Offset, x, y)/whole)
}

// standOnThree solves the bed on three of its feet, the others out of reach.
func standOnThree(v *beam.Solver, s beam.Standing, three [3]int) ([]beam.FootState, error) {
	heights := make([]float64, len(s.Feet))
	for i, f := range s.Feet {
		heights[i] = f.Height - outOfReach
	}
	for _, i := range three {
		heights[i] = s.Feet[i].Height
	}
	st, err := v.Solve(beam.Case{Draw: beam.Draw{Heights: heights}})
	if err != nil {
		return nil, err
	}
	return st.Feet(), nil
}

// take notes the loads and how far below its final height each foot touches.
func (l *Levelling) take(feet []beam.FootState, three [3]int) {
	for i, f := range feet {
		l.Loads = append(l.Loads, f.Load)
		drop := 0.0
		if i != three[0] && i != three[1] && i != three[2] {
			drop = outOfReach - f.Gap
		}
		l.Drop = append(l.Drop, drop)
	}
}

// share raises the others in rounds to their final heights.
func (l *Levelling) share(v *beam.Solver, s beam.Standing) error {
	for r := 1; r <= levelRounds; r++ {
		heights, raise := make([]float64, len(s.Feet)), make([]float64, len(s.Feet))
		for i, f := range s.Feet {
			raise[i] = l.Drop[i] / levelRounds
			heights[i] = f.Height - l.Drop[i]*float64(levelRounds-r)/levelRounds
		}
		st, err := v.Solve(beam.Case{Draw: beam.Draw{Heights: heights}})
		if err != nil {
			return err
		}
		round := LevelRound{Raise: raise}
		for _, f := range st.Feet() {
			round.Loads = append(round.Loads, f.Load)
		}
		l.Turns = append(l.Turns, round)
	}
	return nil
}
