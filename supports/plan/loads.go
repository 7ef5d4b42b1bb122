package plan

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"footwork/internal/convex"
)

// tangents are where the probability of a miss is held from below, standard deviations.
var tangents = []float64{0, 0.8, 1.5, 2.1, 2.7}

// certain is the standard deviation of a load below which it is none, mean foot loads.
const certain = 1e-6

// loadRows keep the mean of a foot's load above the least and below its rating, and hold from below
// the probability that it misses what is promised.
func (p *planner) loadRows(q *convex.Program, w layout, c choice, l *linear, f int) {
	q.AtLeast(0)[w.lack+f] = 1
	q.AtLeast(0)[w.risk+f] = 1
	sd := p.spreadAfter(l, c, f)
	if rated := p.Feet[f].Rated; rated > 0 {
		p.loadRow(q, c, l, f, -1, -max(rated, l.load[f])/p.mean) // at no price, nor beyond what it carries now
		p.missRows(q, w, c, l, f, -1, -rated/p.mean, sd)
	}
	if !p.counts[f] {
		return
	}
	p.loadRow(q, c, l, f, 1, p.Goal.LeastLoad)[w.lack+f] = 1
	if p.ByFeel || p.hangs[f] <= doubtful || p.touch[f] && slices.Contains(c.feet, f) {
		p.missRows(q, w, c, l, f, 1, p.kept(), sd)
	}
}

// loadRow adds that side times the mean of a foot's load is no less than a limit, mean foot loads.
func (p *planner) loadRow(q *convex.Program, c choice, l *linear, f int, side, limit float64) []float64 {
	row := q.AtLeast(limit - side*l.load[f]/p.mean)
	for k, g := range c.feet {
		row[k] = side * l.loadBy[g][f] * handy / p.mean
	}
	return row
}

// missRows hold the probability from below that side times a load is less than a limit: of
// X ~ N(μ, σ²) it is Φ(−z), z = (μ − limit)/σ, whose tangent at t is Φ(−t) − φ(t)(z − t).
func (p *planner) missRows(q *convex.Program, w layout, c choice, l *linear, f int, side, limit, sd float64) {
	if sd < certain {
		return
	}
	for _, t := range tangents {
		slope := distuv.UnitNormal.Prob(t) / sd
		row := p.loadRow(q, c, l, f, side, limit-unnoticed)
		floats.Scale(slope, row)
		row[w.risk+f] = 1
		b := &q.B[len(q.B)-1]
		*b = slope**b + distuv.UnitNormal.Survival(t) + t*distuv.UnitNormal.Prob(t)
	}
}

// riskRow holds by how much the probabilities of all feet together are more than they may be: their
// sum is no less than the probability that any misses (Boole), so each foot is left what costs least.
func (p *planner) riskRow(q *convex.Program, w layout) {
	q.AtLeast(0)[w.over] = 1
	row := q.AtLeast(-p.mayMiss(p.ByFeel))
	row[w.over] = 1
	for f := range p.feet {
		row[w.risk+f] = -1
	}
}

// spreadAfter returns the standard deviation of a foot's load once the feet of a choice were moved, by
// a hand that slips, mean foot loads.
func (p *planner) spreadAfter(l *linear, c choice, f int) float64 {
	if l.spread == nil {
		return 0
	}
	sd := l.spread[f]
	for _, g := range c.feet {
		sd = math.Hypot(sd, l.loadBy[g][f]*p.sd[g])
		if p.touch[g] {
			sd = math.Hypot(sd, l.loadBy[g][f]*p.TouchSD*math.Sqrt(p.hangs[g]))
		}
	}
	return sd / p.mean
}
