package plan

import (
	"cmp"
	"fmt"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/internal/sample"
	"footwork/supports"
)

const (
	// handy is the length that programmes reckon in, m: moves and zones are some of it.
	handy = 1e-5
	// telling is the least change of a zone that is one: nothing on a bed is known to a nanometre.
	telling = 1e-9
	// nothing is the share of the mean foot load below which a foot carries nothing.
	nothing = 1e-4
	// doubtful is the share of draws in which a foot hangs from which its gap is in doubt.
	doubtful = 0.02
	// hanging is the share of draws from which it is raised until it touches, if it can be.
	hanging = 0.2
	// missed is the share of draws in which any foot may miss what is promised of its load: 95 % hold it.
	missed = 0.05
	// missedNext is that share at the bed, where every step is one more chance to miss it.
	missedNext = 0.01
	// even is that share where a hand feels the feet after each small step.
	even = 0.5
	// defaultBudget is one to two seconds of work.
	defaultBudget = 2_000_000_000
)

// planner is a task with what is worked out once.
type planner struct {
	*Task
	*site
	feet          int
	choose, judge []*bed
	mean          float64   // N, mean foot load
	counts        []bool    // the foot has to carry: it does not hang on its bolts
	hangs         []float64 // share of choosing draws in which it hangs
	touch         []bool    // it is raised until it touches, first
	gap           []float64 // m, the widest that is likely of it
	notch         []notches
	watch         []*watched // nil: the foot goes by its angle
	sd            []float64  // m, standard uncertainty of a move
	twist         []float64  // of each foot's load in the pattern that twists the bed
	share         []float64  // N, mean load on level feet
	linears       map[string]*linear
	verdicts      map[string]verdict // of moves that a pattern search tried
	spread        []float64          // N, standard deviation of each load over the draws once all feet are moved; nil: not known yet
	next          bool               // one step is wanted, not a ladder
	last          *Step              // the one before it
	dear          float64            // m of zone for a mean foot load that a limit may not lack
	work          int                // left
	warnings      []Warning
}

// newPlanner makes the draws ready. It is an error when one of them cannot stand.
func newPlanner(t *Task, last *Step) (*planner, error) {
	n := len(t.Standing.Feet)
	if len(t.Feet) != n || len(t.Draws) == 0 || len(t.Ways) == 0 {
		panic("plan: a task without draws or ways, or adjusters that are not of the standing's feet")
	}
	p := &planner{Task: t, site: newSite(t), last: last, feet: n, linears: map[string]*linear{}, verdicts: map[string]verdict{}, work: cmp.Or(t.Budget, defaultBudget),
		sd: make([]float64, n), watch: make([]*watched, n)}
	choose, judge := Split(t.Draws)
	rng := rand.New(rand.NewPCG(uint64(len(t.Draws)), 17))
	var err error
	if p.choose, err = p.beds(choose, rng); err != nil {
		return nil, err
	}
	p.judge = p.choose
	if len(t.Draws) > 1 {
		if p.judge, err = p.beds(judge, rng); err != nil {
			return nil, err
		}
	}
	p.known()
	p.means()
	p.watches()
	p.prices()
	return p, nil
}

func (p *planner) beds(draws []beam.Draw, rng *rand.Rand) ([]*bed, error) {
	beds := make([]*bed, len(draws))
	err := sample.Each(len(draws), 0, func(i int) (err error) {
		if beds[i], err = p.bed(p.Task, draws[i]); err != nil {
			err = fmt.Errorf("feet as they are: %w", err)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	for _, b := range beds {
		for range p.feet {
			b.slip, b.touch = append(b.slip, rng.NormFloat64()), append(b.touch, rng.NormFloat64())
		}
	}
	p.spendOn(beds, 4)
	return beds, nil
}

// spendOn takes off the budget what it took to stand draws up and to read each so many times.
func (p *planner) spendOn(beds []*bed, times int) {
	p.spend(len(beds) * times * (3*len(p.points) + 60) * len(p.x))
	for _, b := range beds {
		p.spend(int(b.problem.Work - b.spent))
		b.spent = b.problem.Work
	}
}

// spend takes work off the budget.
func (p *planner) spend(work int) { p.work -= work }

// known finds what feet do now: mean load, which hang, which have to carry.
func (p *planner) known() {
	p.hangs, p.gap, p.share, p.counts = make([]float64, p.feet), make([]float64, p.feet), make([]float64, p.feet), make([]bool, p.feet)
	each := 1 / float64(len(p.choose))
	for _, b := range p.choose {
		p.mean += floats.Sum(b.now.load) * each / float64(p.feet)
	}
	if !(p.mean > 0) {
		p.mean = 1 // nothing is carried by feet: shares have no meaning
	}
	if p.feet == 0 { // nor has a rest
		p.Goal.Aim = supports.Straight
	}
	pulls := make([]float64, p.feet)
	for _, b := range p.choose {
		for f, load := range b.now.load {
			if load <= nothing*p.mean && b.now.gap[f] > 0 {
				p.hangs[f] += each
				p.gap[f] = max(p.gap[f], b.now.gap[f])
			}
			if load < -1e-6*p.mean {
				pulls[f] += each
			}
		}
	}
	for f := range p.counts {
		p.counts[f] = pulls[f] < 0.5
	}
}

// means finds what a person can do at each foot.
func (p *planner) means() {
	for f, a := range p.Feet {
		n := notchesOf(a, p.Goal)
		if n.none() && a.Kind == supports.Shim {
			p.warn(NoLeaves, 0, 0, f)
		}
		p.notch = append(p.notch, n)
		p.touch = append(p.touch, p.hangs[f] > hanging && (a.Kind == supports.Screw || a.Kind == supports.Free))
		if p.Slip != nil {
			p.sd[f] = p.Slip[f]
		}
	}
}

// prices finds what load is worth, and the pattern of loads that twists the bed.
func (p *planner) prices() {
	const lever = 0.1 // m: a foot that needs such a raise to gain a mean load has no say in loads
	p.dear = limitPrice
	if l, err := p.carrying(nil); err == nil {
		for f := range p.feet {
			if raise := p.mean / l.loadBy[f][f]; raise > 0 && raise < lever {
				p.dear = max(p.dear, 10*raise)
			}
		}
	}
	if p.feet > 0 {
		p.twist = twistOf(p.Standing.Feet)
	}
	if p.Goal.Aim == supports.AtRest {
		for _, b := range p.choose {
			for f, load := range b.level() {
				p.share[f] += load / float64(len(p.choose))
			}
		}
	}
}

// level returns the loads of the draw on level feet in even warmth: nothing bends it
// but its own weight.
func (b *bed) level() []float64 {
	if b.rest == nil {
		d, none := b.draw, 0.0
		d.Heights, d.Gradient = make([]float64, len(b.now.load)), &none
		_, c := b.linear.Of(d)
		own := b.c
		b.c = c
		st, err := b.stand(d.Heights)
		if b.c = own; err != nil {
			st = b.now
		}
		b.rest = st.load
	}
	return b.rest
}

// twistOf returns the loads of unit size on feet that twist a bed and neither lift, pitch
// nor roll it: what x·y has that 1, x and y have not; zeros where that is nothing.
func twistOf(feet []beam.Foot) []float64 {
	n := len(feet)
	out := make([]float64, n)
	if n <= 3 {
		return out
	}
	plain, xy := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	for i, f := range feet {
		plain.SetRow(i, []float64{1, f.At, f.Offset})
		xy.SetVec(i, f.At*f.Offset)
	}
	var by, left mat.VecDense
	if by.SolveVec(plain, xy) != nil { // on one line nothing twists
		return out
	}
	left.MulVec(plain, &by)
	left.SubVec(xy, &left)
	if size := mat.Norm(&left, 2); size > 1e-9*mat.Norm(xy, 2) {
		floats.AddScaled(out, 1/size, left.RawVector().Data)
	}
	return out
}

func (p *planner) warn(k Kind, value, of float64, feet ...int) {
	p.warnings = append(p.warnings, Warning{k, feet, value, of})
}
