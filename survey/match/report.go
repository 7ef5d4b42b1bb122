package match

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/sample"
)

// Result is what the surveys and the hand tell: each unknown with its 95 % interval, the
// parts of the profiles, and equally likely beds.
type Result struct {
	Draws     []beam.Draw // of the standing asked for, as it stands now
	Stood     []Stood     // how each of these stands
	Middle    int         // which of them is the most central of the likeliest contact
	Bending   Estimate    // factors
	Twist     Estimate
	Feet      Estimate
	Gradient  Estimate // K, the latest
	Reference []int    // the feet whose plane heights are about
	Foot      []Foot
	Shares    [OfRest + 1]Estimate // m, by Part: what each adds to the measured zone of the worst way; they add up to it
	Zone      float64              // m, that zone
	ZoneWay   int
	Cause     Part // Unclear when none is sure
	Ways      []Parts
	Advice    []Advice // the most told for its effort first
	Doubts    []Doubt
	LeftOut   int // surveys that are so old that they were not reckoned with
	Settled   bool
	Rhat, ESS float64 // the worst of all that is reported
}

// Stood is how a draw's feet stand.
type Stood struct{ Loads, Gaps []float64 } // N, m

// Estimate is an unknown with its 95 % interval.
type Estimate struct {
	Value, Low, High float64
	Told             bool // what was measured narrowed it
}

// Foot is what is known of one foot as it stands now.
type Foot struct {
	Height  Estimate // m, about the plane of the reference, beside the standing's own
	Load    Estimate // N
	Carries float64  // probability
	Gap     Estimate // m, where it does not carry
	Factor  Estimate // on its stiffness
	Own     Estimate // the part of Factor that is not all feet's
	Softer  float64  // probability that it is softer than the others, which are alike; one half where it is as they are
	Between [2]int   // feet of the reference on either side of it in its row; −1 each without
	Above   Estimate // m, above the line through these
}

// Part is what a measured zone is a sum of.
type Part int

const (
	Unclear Part = iota
	OfFeet
	OfSag
	OfHeat
	OfMetal
	OfRest
)

// Parts is the latest profile of one way in its parts.
type Parts struct {
	Way       int
	X         []float64
	Measured  []float64
	Of        [OfRest + 1][]float64 // by Part, m, about the line through its ends
	Zones     [OfRest + 1]Estimate  // m, by Part: how far each is out of straight by itself
	FormSigma []float64
}

// Match returns the posterior over how stiff the bed and its feet are, how these stand,
// what heat does and what is metal, given all that was measured and felt; see the
// package's documentation. It is an error when the standing asked for was never surveyed
// or when a standing cannot stand.
func Match(in Input) (Result, error) {
	in, left := in.recent()
	m, err := newModel(in, nil)
	if err != nil {
		return Result{}, err
	}
	list, d, err := m.sample(m.sums)
	if err != nil {
		return Result{}, err
	}
	all := handedOn(list)
	middle := m.typical(all)
	var doubts []Doubt
	var wg sync.WaitGroup
	wg.Go(func() { doubts = m.doubts(all[middle]) })
	out := m.report(list, all, d)
	m.advise(all[middle], &out)
	wg.Wait()
	out.Middle, out.Doubts, out.LeftOut = middle, doubts, left
	return out, nil
}

// told: what was measured took at least three tenths off the prior's deviation.
const toldBelow = 0.7

// estimate returns that of an unknown from its draws, which it puts in order.
func estimate(v []float64, prior float64) Estimate {
	told := stat.StdDev(v, nil) < toldBelow*prior
	slices.Sort(v)
	return Estimate{sample.Quantile(v, 0.5), sample.Quantile(v, 0.025), sample.Quantile(v, 0.975), told}
}

// exp turns the estimate of a logarithm into that of a factor.
func (e Estimate) exp() Estimate {
	return Estimate{math.Exp(e.Value), math.Exp(e.Low), math.Exp(e.High), e.Told}
}

// report returns what the draws tell · all that are handed on.
func (m *model) report(list [chains][]*point, all []*point, d diagnosis) (out Result) {
	out = Result{Settled: d.settled(), Rhat: d.rhat, ESS: d.ess, Zone: m.zone, Reference: m.reference(list)}
	of := func(k int) Estimate {
		return estimate(collect(all, func(p *point) float64 { return m.value(p.z, k) }), m.sd[k])
	}
	out.Bending, out.Twist, out.Feet = of(m.bend).exp(), of(m.bend+1).exp(), of(m.bend+2).exp()
	out.Gradient = of(m.heat[m.states[m.now].heat])
	ways := make([]Parts, len(m.latest))
	var wg sync.WaitGroup
	for w, k := range m.latest {
		if k >= 0 {
			wg.Go(func() { ways[w] = m.curves(all, w, m.blocks[k]) })
		}
	}
	m.feet(all, &out)
	m.share(all, &out)
	for _, p := range all {
		out.Draws = append(out.Draws, m.draw(p))
		out.Stood = append(out.Stood, Stood{p.bed.loads, p.bed.gaps})
	}
	wg.Wait()
	out.Ways = slices.DeleteFunc(ways, func(p Parts) bool { return p.X == nil })
	return out
}

// handedOn returns the draws that are.
func handedOn(list [chains][]*point) (all []*point) {
	n := len(list[0])
	each := min(n, mostDraws/chains)
	for i := range each { // one chain after another would part what is thinned later
		for _, c := range list {
			all = append(all, c[i*n/each])
		}
	}
	return all
}

// mostDraws is how many beds are handed on.
const mostDraws = 800

func collect(all []*point, of func(p *point) float64) []float64 {
	v := make([]float64, len(all))
	for i, p := range all {
		v[i] = of(p)
	}
	return v
}

// draw returns a point as a bed to be solved.
func (m *model) draw(p *point) beam.Draw {
	s := m.states[m.now]
	g := m.value(p.z, m.heat[s.heat])
	d := beam.Draw{Heights: p.bed.heights, Bending: m.factor(p.z, m.bend), Twist: m.factor(p.z, m.bend+1), Gradient: &g}
	for f := range m.in.Standings[s.standing].Feet {
		d.Feet = append(d.Feet, m.footFactor(p.z, s.standing, f))
	}
	for w := range m.in.Bed.Ways {
		d.Form = append(d.Form, shape.Shape{X: m.modes.x, Y: m.metalOf(p, w)})
	}
	return d
}

func (m *model) footFactor(z []float64, standing, foot int) float64 {
	return math.Exp(z[m.bend+2]*m.sd[m.bend+2] + m.departs(z, standing, foot))
}

// departs returns the logarithm of a foot's stiffness about that of all.
func (m *model) departs(z []float64, standing, foot int) float64 {
	e := m.depart[standing][foot]
	return z[e] * m.sd[e]
}

// metalOf returns the metal of a way at the knots, as the latest survey of it saw it.
func (m *model) metalOf(p *point, way int) []float64 {
	form := len(m.forms) - 1
	if k := m.latest[way]; k >= 0 {
		form = m.blocks[k].form
	}
	n := len(m.modes.wave)
	y := make([]float64, len(m.modes.x))
	for i, q := range m.parts {
		if q.ways[way] != 0 {
			for k, w := range m.modes.wave {
				floats.AddScaled(y, q.ways[way]*p.metal[form][i*n+k], w)
			}
		}
	}
	if !m.tied() {
		aboutEnds(m.modes.x, y)
	}
	return y
}

// tied tells whether a cross level ties the ways together.
func (m *model) tied() bool {
	for _, b := range m.blocks {
		if b.survey != nil && b.way < 0 {
			return true
		}
	}
	return false
}

// typical returns which point is nearest to the middle among those with the likeliest
// contact. A mean of points would be no standing: its contact would be none of theirs.
func (m *model) typical(all []*point) (best int) {
	contact := func(p *point) string {
		on := make([]byte, len(p.bed.gaps))
		for i, g := range p.bed.gaps {
			if g > 0 {
				on[i] = 1
			}
		}
		return string(on)
	}
	count := map[string]int{}
	mean := make([]float64, len(m.mean))
	for _, p := range all {
		count[contact(p)]++
		floats.AddScaled(mean, 1/float64(len(all)), p.z)
	}
	n, off := -1, 0.0
	for i, p := range all {
		d := floats.Distance(p.z, mean, 2)
		if c := count[contact(p)]; c > n || c == n && d < off {
			best, n, off = i, c, d
		}
	}
	return best
}

// curves returns a way in its parts.
func (m *model) curves(all []*point, way int, k *block) Parts {
	x := k.survey.Profile.X
	y := slices.Clone(k.y)
	aboutEnds(x, y)
	t := Parts{Way: way, X: x, Measured: y}
	for part := OfFeet; part <= OfRest; part++ {
		t.Zones[part] = estimate(collect(all, func(p *point) float64 { return shape.Zone(x, p.bed.ways[way][part]) }), m.zone)
		for i := range x {
			v := collect(all, func(p *point) float64 { return p.bed.ways[way][part][i] })
			if part == OfMetal {
				t.FormSigma = append(t.FormSigma, stat.StdDev(v, nil))
			}
			t.Of[part] = append(t.Of[part], sample.Median(v))
		}
	}
	return t
}

// functional returns what turns a profile of the worst way into its zone: the height of
// one station over the line through two others.
func (m *model) functional() (way int, of func(y []float64) float64) {
	most := -1.0
	for w, k := range m.latest {
		if k >= 0 {
			if z := shape.Zone(m.blocks[k].survey.Profile.X, m.blocks[k].y); z > most {
				way, most = w, z
			}
		}
	}
	k := m.blocks[m.latest[way]]
	x := k.survey.Profile.X
	at := shape.Touch(x, k.y)
	t := (x[at.At] - x[at.Left]) / (x[at.Right] - x[at.Left])
	raw := func(y []float64) float64 { return y[at.At] - (1-t)*y[at.Left] - t*y[at.Right] }
	sign := math.Copysign(1, raw(k.y))
	return way, func(y []float64) float64 { return sign * raw(y) }
}

// share says what the parts add to the measured zone, and which is its cause.
func (m *model) share(all []*point, out *Result) {
	way, of := m.functional()
	out.ZoneWay = way
	for part := OfFeet; part <= OfRest; part++ {
		v := collect(all, func(p *point) float64 { return of(p.bed.ways[way][part]) })
		out.Shares[part] = estimate(v, m.zone/2)
	}
	out.Cause = cause(out.Shares, m.zone)
}

// surely is the share of the zone from which a part is its cause, when its interval does
// not touch another's.
const surely = 2. / 3

func cause(shares [OfRest + 1]Estimate, zone float64) Part {
	causes := []Part{OfFeet, OfHeat, OfMetal}
	for _, a := range causes {
		alone := !slices.ContainsFunc(causes, func(b Part) bool { return b != a && shares[b].High >= shares[a].Low })
		if shares[a].Value >= surely*zone && alone {
			return a
		}
	}
	return Unclear
}

// quantities returns all that is reported over the chains, to be judged.
func (m *model) quantities(list [chains][]*point) (out [][][]float64) {
	add := func(of func(p *point) float64) {
		v := make([][]float64, chains)
		for c := range list {
			v[c] = collect(list[c], of)
		}
		out = append(out, v)
	}
	for k := m.bend; k < m.bend+3; k++ {
		add(func(p *point) float64 { return p.z[k] })
	}
	for _, h := range m.heat {
		add(func(p *point) float64 { return p.z[h] })
	}
	for _, of := range m.ofFeet(m.reference(list)) {
		add(of)
	}
	way, of := m.functional()
	for part := OfFeet; part < OfRest; part++ {
		add(func(p *point) float64 { return of(p.bed.ways[way][part]) })
	}
	for w, k := range m.latest {
		if k >= 0 {
			n := len(m.blocks[k].y)
			for _, i := range []int{n / 4, n / 2, 3 * n / 4} {
				add(func(p *point) float64 { return p.bed.ways[w][OfMetal][i] })
			}
		}
	}
	return out
}
