package supports

import (
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// outlook is a belief made ready to foretell plans: how each scenario stands now, and
// the slips of the hand that it will see.
type outlook struct {
	Belief
	goal     Goal
	feet     int
	notches  []notches // of each foot
	probes   []*beam.Probe
	start    []forecast  // of each scenario, nothing raised
	from     [][]float64 // [scenario][foot] m, heights after touching
	contact  [][]bool
	mean     float64     // N, mean foot load
	hangs    []float64   // probability that a foot hangs now, and its gap is not known
	noise    [][]float64 // [scenario][foot] m
	promised bool        // the least load is a limit
	x, y, h  []float64   // scratch
}

// straightened is the mean over the scenarios of what the bed does while its
// contact stays, which is linear in the raises.
type straightened struct {
	shape     [][]float64   // [way][station] m, nothing raised
	influence [][][]float64 // [foot][way][station] m/m
	load      []float64     // N
	loadBy    [][]float64   // [foot raised][foot] N/m
}

// forecast is one scenario's outcome.
type forecast struct {
	ways  [][]float64 // m, form and all
	loads []float64
	gaps  []float64
	zone  float64
	wrong float64 // m, how far a way's middle lies on the side that is not allowed
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
func newOutlook(b Belief, feet []Adjuster, goal Goal) (*outlook, error) {
	o := &outlook{Belief: b, goal: goal, feet: len(b.Standing.Feet)}
	for _, a := range feet {
		o.notches = append(o.notches, notchesOf(a, goal))
	}
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

// straighten returns the linear answers of the bed on a solver about some raises,
// with the contact that each scenario has there.
func (o *outlook) straighten(v *beam.Solver, raise []float64) (*straightened, error) {
	l := o.noAnswer()
	probes := make([]*beam.Probe, len(o.Ways))
	for w, way := range o.Ways {
		probes[w] = v.Probe(way.X, way.Offset)
	}
	for s := range o.Scenarios {
		st, err := v.Solve(o.caseOf(s, floats.AddTo(make([]float64, o.feet), o.from[s], raise)))
		if err != nil {
			return nil, err
		}
		unit, err := st.Respond()
		if err != nil {
			return nil, err
		}
		l.add(st, unit, probes, o.Scenarios[s].Form, 1/float64(len(o.Scenarios)))
	}
	for f, r := range raise { // back to where nothing is raised
		addScaled(l.load, -r, l.loadBy[f])
		for w := range l.shape {
			addScaled(l.shape[w], -r, l.influence[f][w])
		}
	}
	return l, nil
}

func (o *outlook) noAnswer() *straightened {
	l := &straightened{load: make([]float64, o.feet)}
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
	for f, foot := range st.Feet() {
		l.load[f] += share * foot.Load
	}
	for f := range unit {
		for g, v := range unit[f].Loads {
			l.loadBy[f][g] += share * v
		}
	}
}

func (o *outlook) caseOf(s int, heights []float64) beam.Case {
	l := &o.Scenarios[s]
	return beam.Case{Draw: beam.Draw{Heights: heights, Bending: l.BedFactor, Twist: l.BedFactor, Feet: slices.Repeat([]float64{l.FootFactor}, o.feet), Gradient: &l.Gradient}}
}

// forecast returns what a scenario becomes when the feet are raised, contact
// and all; noisy: as a person would raise them.
func (o *outlook) forecast(s int, raise []float64, noisy bool) (forecast, error) {
	h := slices.Clone(o.from[s])
	for i, r := range raise {
		h[i] += r
		if noisy && o.touches(i) && o.start[s].gaps[i] > 0 {
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
	f.zone, f.wrong = o.zone(f.ways)
	return f, nil
}

func (o *outlook) touches(i int) bool { return o.Touch != nil && o.Touch[i] }

// zone returns the quantity that is made least, about the wanted form, and how far
// the worst way lies on the side that is not allowed.
func (o *outlook) zone(ways [][]float64) (zone, wrong float64) {
	x, y, h := o.x[:0], o.y[:0], o.h[:0]
	for w, heights := range ways {
		way := o.Ways[w]
		heights = lessCrown(way.X, heights, o.goal.Crown)
		wrong = max(wrong, wrongSide(way.X, heights, o.goal.Allow))
		if !o.Tied || len(ways) < 2 {
			zone = max(zone, beam.Zone(way.X, heights))
			continue
		}
		for i, at := range way.X {
			x, y, h = append(x, at), append(y, way.Offset), append(h, heights[i])
		}
	}
	if o.x, o.y, o.h = x, y, h; len(h) == 0 {
		return zone, wrong
	}
	zone, _, _, _, err := beam.PlaneZone(x, y, h)
	if err != nil {
		panic("supports: " + err.Error())
	}
	return zone, wrong
}
