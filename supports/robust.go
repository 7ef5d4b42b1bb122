package supports

import "footwork/beam"

// Belief is what is known of a bed that shall be adjusted: not one state but many,
// each as likely as any other.
type Belief struct {
	Bed       beam.Bed
	Standing  beam.Standing
	Solver    *beam.Solver // of both
	Ways      []BelievedWay
	Tied      bool      // the ways' heights are in one frame: they shall lie in one plane
	Scenarios []Likely  // four or more
	MoveSD    []float64 // m, of what a foot does about what was meant
	Touch     []bool    // feet to be raised first until they just take load: found loose by hand, or watched
	TouchSD   float64   // m, how well that is seen; 0: as well as a move
}

// BelievedWay is a way and its stations.
type BelievedWay struct {
	Name   string
	Offset float64   // m across the bed
	X      []float64 // m, increasing
}

// Likely is one likely state.
type Likely struct {
	Heights               []float64 // m, of each foot
	BedFactor, FootFactor float64
	Gradient              float64     // K
	Form                  [][]float64 // [way][station] m
}

// Careful is a plan that knows how sure it is. A bed that is left as it is lacks no
// load while no foot is more likely too light than not.
type Careful struct {
	Moves     []CarefulMove
	Raise     []float64 // m, of every foot, after touching
	Touch     []bool    // raise the foot until it just takes load, first
	Zone      float64   // m, expected
	ZoneSigma float64   // m, its standard deviation over all that is not known
	Wrong     float64   // m, expected, of a way's middle on the side that is not allowed
	Keep      float64   // N, the least load asked for
	Short     float64   // mean foot loads, expected to lack of it, of all feet
	Lacking   float64   // mean foot loads, by which feet may miss it with 5 % probability
	Ways      []CarefulWay
	Feet      []CarefulFoot
	Limited   bool // what is not known limits the zone: make a first move, then survey again
	First     int  // index of the move that tells most, −1 without
}

// CarefulMove is one foot's part of a plan.
type CarefulMove struct {
	Foot  string
	Raise float64 // m
	Touch bool    // raise until it just takes load (it stops turning freely), then by Raise
}

// CarefulWay is a way as the plan leaves it: mean and 95 % band, about the line
// through its ends, m.
type CarefulWay struct {
	Name             string
	X, Height, Sigma []float64
	Low, High        []float64
}

// CarefulFoot is how a foot will stand.
type CarefulFoot struct {
	Name            string
	Load, Low, High float64 // N, mean and 95 % interval
	Least           float64 // N, that it carries at least with 95 % probability
	Carries         float64 // probability
	Sure            bool    // carries in all scenarios: the plan says that it stays loaded
}

// PlanCarefully returns the moves that leave the least zone to be expected, with
// bands for all that is not known. Loads are kept above the least with 95 %
// probability where any moves can do that and no foot hangs by an unknown gap; moves
// are such as the adjusters can make; and no foot moves that does not make the result
// better than the slip of its own screw makes it worse. Feet of Touch are first raised
// until they take load, which does away with their unknown gap. One half of the
// scenarios choose the plan, the other half foretell it, so that the forecast is not
// better than the bed. It is an error when a scenario cannot stand.
func PlanCarefully(b Belief, feet []Adjuster, goal Goal) (Careful, error) {
	choose, foretell := b, b
	choose.Scenarios, foretell.Scenarios = nil, nil
	for i, s := range b.Scenarios {
		if i%2 == 0 {
			choose.Scenarios = append(choose.Scenarios, s)
		} else {
			foretell.Scenarios = append(foretell.Scenarios, s)
		}
	}
	o, err := newOutlook(choose, feet, goal)
	if err != nil {
		return Careful{}, err
	}
	raise, err := o.choose()
	if err != nil {
		return Careful{}, err
	}
	return Foretell(foretell, raise, feet, goal)
}

// Foretell returns what a plan is expected to do over all scenarios of a belief,
// with the slips of the hand that its moves add · raise of every foot, m; of feet
// that Belief.Touch names, after they just take load.
func Foretell(b Belief, raise []float64, feet []Adjuster, goal Goal) (Careful, error) {
	o, err := newOutlook(b, feet, goal)
	if err != nil {
		return Careful{}, err
	}
	return o.careful(raise)
}
