package supports

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"

	"footwork/beam"
)

// Belief is what is known of a bed that shall be adjusted: not one state but many,
// each as likely as any other.
type Belief struct {
	Bed       beam.Bed
	Standing  beam.Standing
	Solver    *beam.Solver // of both
	Ways      []BelievedWay
	Tied      bool    // the ways' heights are in one frame: they shall lie in one plane
	Crown     float64 // m, wanted form over each way's stations, middle high positive
	Scenarios []Likely
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

// Careful is a plan that knows how sure it is.
type Careful struct {
	Moves       []CarefulMove
	Raise       []float64 // m, of every foot, after touching
	Touch       []bool    // raise the foot until it just takes load, first
	Zone        float64   // m, expected
	ZoneSigma   float64   // m, its standard deviation over all that is not known
	BeforeZone  float64   // m, expected, as the bed stands now
	BeforeSigma float64   // m
	Ways        []CarefulWay
	Feet        []CarefulFoot
	Limited     bool   // what is not known limits the zone: a first move, then survey again
	First       int    // index of the move that tells most, −1 without
	Text        string // what to do, in one sentence
}

// CarefulMove is one foot's part of a plan.
type CarefulMove struct {
	Foot  string
	Raise float64 // m
	Touch bool    // raise until it just takes load (it stops turning freely), then by Raise
	Text  string
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

// outlook is a belief made ready: for every scenario, what the bed would do if
// all feet carried, which is linear in the raises.
type outlook struct {
	Belief
	feet    int
	probes  []*beam.Probe
	start   []forecast  // of each scenario, nothing raised
	from    [][]float64 // [scenario][foot] m, heights after touching
	contact [][]bool
	mean    float64   // N, mean foot load
	hangs   []float64 // probability that a foot hangs now, and its gap is not known
	noise   [][]float64
}

// straightened is the mean over the scenarios of what the bed does while all feet
// carry, which is linear in the raises.
type straightened struct {
	shape     [][]float64   // [way][station] m, nothing raised
	influence [][][]float64 // [foot][way][station] m/m
	load      []float64     // N
	loadSD    []float64
	loadBy    [][]float64 // [foot raised][foot] N/m
}

// forecast is one scenario's outcome.
type forecast struct {
	ways  [][]float64 // m, form and all
	loads []float64
	gaps  []float64
	zone  float64
}

// nothing is the share of the bed's weight below which a foot carries nothing.
const nothing = 1e-6

func (f forecast) total() (sum float64) {
	for _, load := range f.loads {
		sum += load
	}
	return sum
}

// newOutlook foretells the present. It is an error when a scenario cannot stand.
func newOutlook(b Belief) (*outlook, error) {
	o := &outlook{Belief: b, feet: len(b.Standing.Feet)}
	o.hangs = make([]float64, o.feet)
	for _, w := range b.Ways {
		o.probes = append(o.probes, b.Solver.Probe(w.X, w.Offset))
	}
	rng := rand.New(rand.NewPCG(uint64(len(b.Scenarios)), 17))
	for s, l := range b.Scenarios {
		noise := make([]float64, o.feet)
		for i := range noise {
			noise[i] = b.MoveSD[i] * rng.NormFloat64()
		}
		o.noise, o.from, o.contact = append(o.noise, noise), append(o.from, slices.Clone(l.Heights)), append(o.contact, nil)
		now, err := o.forecast(s, make([]float64, o.feet), false)
		if err != nil {
			return nil, err
		}
		o.start = append(o.start, now)
		for i, load := range now.loads {
			o.mean += load / float64(o.feet*len(b.Scenarios))
			if o.touches(i) {
				o.from[s][i] += now.gaps[i]
			} else if load <= nothing*now.total() {
				o.hangs[i] += 1 / float64(len(b.Scenarios))
			}
		}
	}
	return o, nil
}

// outlookCells is fine enough for differences of shape: 1e-4 of them.
const outlookCells = 500

// held returns the bed's solver with all feet held down, so that it is linear.
func (o *outlook) held() (*beam.Solver, error) {
	held := o.Standing
	held.Feet = slices.Clone(held.Feet)
	for i := range held.Feet {
		held.Feet[i].Held = true
	}
	return beam.NewSolver(o.Bed, held, beam.Options{Cells: outlookCells})
}

// straighten returns the linear answers.
func (o *outlook) straighten(all *beam.Solver) (*straightened, error) {
	l := o.noAnswer()
	probes := make([]*beam.Probe, len(o.Ways))
	for w, way := range o.Ways {
		probes[w] = all.Probe(way.X, way.Offset)
	}
	loads := make([][]float64, o.feet)
	for s := range o.Scenarios {
		st, err := all.Solve(o.caseOf(s, o.from[s]))
		if err != nil {
			return nil, err
		}
		unit, err := st.Respond()
		if err != nil {
			return nil, err
		}
		l.add(st, unit, probes, o.Scenarios[s].Form, 1/float64(len(o.Scenarios)))
		for f, foot := range st.Feet() {
			loads[f] = append(loads[f], foot.Load)
		}
	}
	for f, v := range loads {
		l.load[f], l.loadSD[f] = stat.MeanStdDev(v, nil)
	}
	return l, nil
}

func (o *outlook) noAnswer() *straightened {
	l := &straightened{load: make([]float64, o.feet), loadSD: make([]float64, o.feet)}
	for _, w := range o.Ways {
		l.shape = append(l.shape, make([]float64, len(w.X)))
	}
	for range o.feet {
		row := make([][]float64, len(o.Ways))
		for w, way := range o.Ways {
			row[w] = make([]float64, len(way.X))
		}
		l.influence = append(l.influence, row)
		l.loadBy = append(l.loadBy, make([]float64, o.feet))
	}
	return l
}

// add takes in one scenario with its share.
func (l *straightened) add(st *beam.State, unit []beam.Response, probes []*beam.Probe, form [][]float64, share float64) {
	for w, p := range probes {
		for i, y := range st.Read(p) {
			l.shape[w][i] += share * (y + form[w][i])
		}
		for f := range unit {
			for i, y := range st.ReadResponse(p, unit[f]) {
				l.influence[f][w][i] += share * y
			}
		}
	}
	for f := range unit {
		for g, v := range unit[f].Loads {
			l.loadBy[f][g] += share * v
		}
	}
}

func (o *outlook) caseOf(s int, heights []float64) beam.Case {
	l := &o.Scenarios[s]
	return beam.Case{Heights: heights, BedFactor: l.BedFactor, FootFactor: l.FootFactor, Gradient: &l.Gradient}
}

// forecast returns what a scenario becomes when the feet are raised, contact
// and all; noisy: as a person would raise them.
func (o *outlook) forecast(s int, raise []float64, noisy bool) (forecast, error) {
	h := slices.Clone(o.from[s])
	for i, r := range raise {
		h[i] += r
		if noisy && o.touches(i) {
			h[i] += o.noise[s][i] * max(1, o.TouchSD/o.MoveSD[i])
		} else if noisy && r != 0 {
			h[i] += o.noise[s][i]
		}
	}
	c := o.caseOf(s, h)
	c.Contact = o.contact[s]
	st, err := o.Solver.Solve(c)
	if err != nil {
		return forecast{}, err
	}
	o.contact[s] = st.Contact()
	var f forecast
	for w, p := range o.probes {
		y := st.Read(p)
		for i := range y {
			y[i] += o.Scenarios[s].Form[w][i]
		}
		f.ways = append(f.ways, y)
	}
	for _, foot := range st.Feet() {
		f.loads, f.gaps = append(f.loads, foot.Load), append(f.gaps, foot.Gap)
	}
	f.zone = o.zone(f.ways)
	return f, nil
}

func (o *outlook) touches(i int) bool { return o.Touch != nil && o.Touch[i] }

// zone returns the quantity that is made least, about the wanted form.
func (o *outlook) zone(ways [][]float64) float64 {
	zone := 0.0
	if !o.Tied || len(ways) < 2 {
		for w, y := range ways {
			zone = max(zone, beam.Zone(o.Ways[w].X, lessCrown(o.Ways[w].X, y, o.Crown)))
		}
		return zone
	}
	var x, y, h []float64
	for w, heights := range ways {
		heights = lessCrown(o.Ways[w].X, heights, o.Crown)
		for i, at := range o.Ways[w].X {
			x, y, h = append(x, at), append(y, o.Ways[w].Offset), append(h, heights[i])
		}
	}
	zone, _, _, _, err := beam.PlaneZone(x, y, h)
	if err != nil {
		panic("supports: " + err.Error())
	}
	return zone
}

// PlanCarefully returns the moves that leave the least zone to be expected, with
// bands for all that is not known: the loads of feet that carry now are kept
// above the least with 95 % probability, and the plan moves no foot that does not
// make the result better than the slip of its own screw makes it worse. Feet of
// Touch are first raised until they take load, which does away with their unknown
// gap. One half of the scenarios choose the plan, the other half foretell it, so
// that the forecast is not better than the bed. It is an error when a scenario
// cannot stand.
func PlanCarefully(b Belief, feet []Adjuster, goal Goal) (Careful, error) {
	b.Crown = goal.Crown
	choose, foretell := b, b
	choose.Scenarios, foretell.Scenarios = nil, nil
	for i, s := range b.Scenarios {
		if i%2 == 0 {
			choose.Scenarios = append(choose.Scenarios, s)
		} else {
			foretell.Scenarios = append(foretell.Scenarios, s)
		}
	}
	o, err := newOutlook(choose)
	if err != nil {
		return Careful{}, err
	}
	raise, err := o.choose(feet, goal)
	if err != nil {
		return Careful{}, err
	}
	if o, err = newOutlook(foretell); err != nil {
		return Careful{}, err
	}
	return o.careful(raise, feet)
}

// careful foretells the plan over all scenarios.
func (o *outlook) careful(raise []float64, feet []Adjuster) (Careful, error) {
	c := Careful{Raise: raise, Touch: make([]bool, o.feet), First: -1}
	var ends []forecast
	var zones, before, slips []float64
	for s := range o.Scenarios {
		f, err := o.forecast(s, raise, true)
		if err != nil {
			return Careful{}, err
		}
		clean, err := o.forecast(s, raise, false)
		if err != nil {
			return Careful{}, err
		}
		slips = append(slips, f.zone-clean.zone)
		ends = append(ends, f)
		zones, before = append(zones, f.zone), append(before, o.start[s].zone)
	}
	c.Zone, c.ZoneSigma = stat.MeanStdDev(zones, nil)
	c.BeforeZone, c.BeforeSigma = stat.MeanStdDev(before, nil)
	for i, f := range o.Standing.Feet {
		c.Touch[i] = o.touches(i)
		if raise[i] != 0 || c.Touch[i] {
			c.Moves = append(c.Moves, CarefulMove{Foot: f.Name, Raise: raise[i], Touch: c.Touch[i]})
		}
		c.Feet = append(c.Feet, o.footOf(i, ends))
	}
	for w, way := range o.Ways {
		c.Ways = append(c.Ways, bandOf(way, w, ends))
	}
	o.say(&c, feet, stat.StdDev(slips, nil))
	return c, nil
}

// sureAbove: a foot is said to stay loaded when all but one scenario in a hundred say so.
const sureAbove = 0.99

func (o *outlook) footOf(i int, ends []forecast) CarefulFoot {
	f := CarefulFoot{Name: o.Standing.Feet[i].Name}
	var loads []float64
	for _, e := range ends {
		loads = append(loads, e.loads[i])
		f.Load += e.loads[i] / float64(len(ends))
		if e.loads[i] > nothing*e.total() {
			f.Carries += 1 / float64(len(ends))
		}
	}
	slices.Sort(loads)
	f.Low, f.Least, f.High = between(loads, 0.025), between(loads, 0.05), between(loads, 0.975)
	f.Sure = f.Carries > sureAbove
	return f
}

// between returns a quantile of sorted values.
func between(sorted []float64, q float64) float64 {
	t := q*float64(len(sorted)) - 0.5
	i := min(max(int(math.Floor(t)), 0), len(sorted)-2)
	return sorted[i] + min(max(t-float64(i), 0), 1)*(sorted[i+1]-sorted[i])
}

// bandOf returns a way's heights about its ends over the forecasts.
func bandOf(way BelievedWay, w int, ends []forecast) CarefulWay {
	n := len(way.X)
	c := CarefulWay{Name: way.Name, X: way.X, Height: make([]float64, n), Sigma: make([]float64, n), Low: make([]float64, n), High: make([]float64, n)}
	at := make([][]float64, n)
	for _, e := range ends {
		for i, y := range (beam.Shape{X: way.X, Y: e.ways[w]}).AboutEnds().Y {
			at[i] = append(at[i], y)
		}
	}
	for i, v := range at {
		c.Height[i], c.Sigma[i] = stat.MeanStdDev(v, nil)
		slices.Sort(v)
		c.Low[i], c.High[i] = between(v, 0.025), between(v, 0.975)
	}
	return c
}
