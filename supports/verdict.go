package supports

import (
	"math"
	"math/rand/v2"

	"footwork/beam"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// verdict is how good a state of the bed is.
type verdict struct {
	zone    float64 // m
	wrong   float64 // m, depth of the worst station on the side that is not allowed
	lacking float64 // sum of what feet lack of the least load, in mean foot loads
}

func (p Plan) verdict() verdict { return verdict{p.Zone, p.Wrong, p.Lacking} }

// wrongCosts is the price of a metre on the wrong side in metres of zone: more than any
// zone that could be bought with it, so that the limit is kept wherever it can be.
const wrongCosts = 10

func (t *task) total(v verdict) float64 {
	return v.zone + wrongCosts*v.wrong + t.limits.lackCosts*v.lacking
}

// judge weighs a state · heights above the wanted form, foot loads.
func (t *task) judge(heights [][]float64, loads []float64) verdict {
	v := verdict{zone: zoneOf(t.Ways, t.Tied, heights)}
	for w, h := range heights {
		v.wrong = max(v.wrong, wrongSide(t.Ways[w].X, h, t.Goal.Allow))
	}
	for f, load := range loads {
		if t.limits.counts[f] {
			v.lacking += max(0, t.limits.least-load) / t.limits.mean
		}
	}
	return v
}

// zoneOf returns the larger of the ways' own minimum zones or, when tied, that of all
// stations about one plane.
func zoneOf(ways []Measured, tied bool, heights [][]float64) float64 {
	if tied && len(ways) > 1 {
		x, y, h := together(ways, heights)
		zone, _, _, _, err := beam.PlaneZone(x, y, h)
		if err != nil {
			panic("supports: " + err.Error()) // heights are finite: checked where they came from
		}
		return zone
	}
	zone := 0.0
	for w, h := range heights {
		zone = max(zone, beam.Zone(ways[w].X, h))
	}
	return zone
}

func together(ways []Measured, heights [][]float64) (x, y, h []float64) {
	for w, m := range ways {
		for i := range m.X {
			x, y, h = append(x, m.X[i]), append(y, m.Offset), append(h, heights[w][i])
		}
	}
	return x, y, h
}

// wrongSide returns how far the worst station lies from the line through the ends on
// the side that is not allowed, ≥ 0.
func wrongSide(x, h []float64, allow Allow) float64 {
	worst, side := 0.0, allow.side()
	if side == 0 || len(x) < 3 {
		return 0
	}
	for _, d := range (beam.Shape{X: x, Y: h}).AboutEnds().Y {
		worst = max(worst, -side*d)
	}
	return worst
}

// side returns +1 when only heights above the ends are allowed, −1 below, else 0.
func (a Allow) side() float64 {
	switch a {
	case HighOnly:
		return 1
	case LowOnly:
		return -1
	}
	return 0
}

// nDraws gives the standard deviation of a zone to 1/√(2n) = 5 %.
const nDraws = 200

// drawErrors returns errors as the surveys may hold them, the same on every call; nil
// when no way has a covariance.
func drawErrors(ways []Measured) [][][]float64 {
	roots, known := make([]*mat.Dense, len(ways)), false
	for w, m := range ways {
		if m.Cov != nil {
			roots[w], known = root(m.Cov), true
		}
	}
	if !known {
		return nil
	}
	r := rand.New(rand.NewPCG(1, 2))
	draws := make([][][]float64, nDraws)
	for d := range draws {
		draws[d] = make([][]float64, len(ways))
		for w, m := range ways {
			draws[d][w] = make([]float64, len(m.X))
			if roots[w] == nil {
				continue
			}
			z := make([]float64, len(m.X))
			for i := range z {
				z[i] = r.NormFloat64()
			}
			e := mat.NewVecDense(len(z), draws[d][w])
			e.MulVec(roots[w], mat.NewVecDense(len(z), z))
		}
	}
	return draws
}

// root returns R with R·Rᵀ = cov, which may be singular.
func root(cov *mat.SymDense) *mat.Dense {
	var e mat.EigenSym
	if !e.Factorize(cov, true) {
		panic("supports: a covariance without eigenvalues")
	}
	r := new(mat.Dense)
	e.VectorsTo(r)
	r.Apply(func(_, j int, v float64) float64 { return v * math.Sqrt(max(0, e.Values(nil)[j])) }, r)
	return r
}

// zoneSigma returns the standard uncertainty of the zone of heights.
func (t *task) zoneSigma(heights [][]float64) float64 {
	if t.PlanSigma > 0 || t.draws == nil {
		return t.PlanSigma
	}
	return spreadOver(t.draws, heights, func(h [][]float64) float64 { return zoneOf(t.Ways, t.Tied, h) })
}

// spreadOver returns the standard deviation of a figure of heights over drawn errors.
func spreadOver(draws [][][]float64, heights [][]float64, figure func([][]float64) float64) float64 {
	values := make([]float64, len(draws))
	h := make([][]float64, len(heights))
	for w := range h {
		h[w] = make([]float64, len(heights[w]))
	}
	for d, e := range draws {
		for w := range h {
			for i := range h[w] {
				h[w][i] = heights[w][i] + e[w][i]
			}
		}
		values[d] = figure(h)
	}
	return stat.StdDev(values, nil)
}

// deviations returns the standard uncertainty at each station; nil when not known.
func deviations(m Measured) []float64 {
	if m.Cov == nil {
		return nil
	}
	out := make([]float64, len(m.X))
	for i := range out {
		out[i] = math.Sqrt(max(0, m.Cov.At(i, i)))
	}
	return out
}
