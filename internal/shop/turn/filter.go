package turn

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// reweigh weighs the beds by these logarithms of likelihoods too, and draws them anew where few of
// them are left. What would leave hardly any of the draws of the survey counts for less than it
// says, so that a few are (tempering: P. Del Moral, A. Doucet, A. Jasra, J. R. Statist. Soc. B 68
// (2006) 411–436).
func (b *beds) reweigh(likely []float64) {
	before := make([]float64, len(b.all))
	for i, one := range b.all {
		before[i] = math.Log(one.weight)
	}
	weigh := func(power float64) {
		logs := slices.Clone(before)
		floats.AddScaled(logs, power, likely)
		whole := floats.LogSumExp(logs)
		for i, one := range b.all {
			one.weight = math.Exp(logs[i] - whole)
		}
	}
	const fewest = 3 // what one or two agree on may be chance
	if weigh(1); b.left(true) < fewest {
		low, high := 0.0, 1.0
		for range 30 {
			mid := (low + high) / 2
			if weigh(mid); b.left(true) < fewest {
				high = mid
			} else {
				low = mid
			}
		}
		b.few = true
		weigh(low)
	}
	if b.left(false) > float64(len(b.all))/2 {
		return
	}
	others := b.all
	b.resample(len(b.all))
	b.stir(others)
}

// left is how many beds, or draws of the survey, would be worth as much were they weighed evenly
// (A. Kong, J. S. Liu, W. H. Wong, J. Am. Statist. Assoc. 89 (1994) 278–288).
func (b *beds) left(draws bool) float64 {
	weights := make([]float64, len(b.all))
	for i, one := range b.all {
		if draws {
			i = one.from
		}
		weights[i] += one.weight
	}
	return 1 / floats.Dot(weights, weights)
}

// stirred is by how much of the difference of two beds a copy is moved: a fiftieth is added to
// what is unsure of the feet, against the ever fewer beds that copying leaves (assumed).
const stirred = 0.1

// stir makes copies unlike one another: the feet of each are moved by a little of what two
// others differ by (C. J. F. ter Braak, Statistics and Computing 16 (2006) 239–249), and its
// metal and zeros so that all that was read is as before.
func (b *beds) stir(others []*bed) {
	by := make([][]float64, len(b.all))
	for i := range by {
		by[i] = slices.Clone(others[b.rng.IntN(len(others))].draw.Heights)
		floats.Sub(by[i], others[b.rng.IntN(len(others))].draw.Heights)
	}
	_ = b.each(func(i int, one *bed) error {
		b.shift(one, stirred, by[i])
		return nil
	})
}

// shift moves the feet of a bed by so much of what is given of each, unless it would tip, and its metal
// and zeros so that all that was read is as before.
func (b *beds) shift(one *bed, much float64, by []float64) {
	there := one.copy()
	if floats.AddScaled(there.draw.Heights, much, by); b.settle(there) == nil {
		b.alike(one, there)
		*one = *there
	}
}

// alike gives a bed the metal and zeros with which all is read of it that was of another, which stood on
// other feet.
func (b *beds) alike(one, there *bed) {
	there.draw.Form, there.zero = slices.Clone(one.draw.Form), maps.Clone(one.zero)
	for _, w := range b.Ways {
		if w.Of < len(there.draw.Form) {
			form := &there.draw.Form[w.Of]
			probe := b.Solver.Probe(form.X, b.Bed.Ways[w.Of].Offset)
			form.Y = slices.Clone(form.Y)
			floats.Add(form.Y, one.state.Read(probe))
			floats.Sub(form.Y, there.state.Read(probe))
		}
	}
	for p, z := range there.zero {
		z.mean += b.shows(one.state, p) - b.shows(there.state, p)
		there.zero[p] = z
	}
}

// resample draws n beds anew by their weights, at even steps from a random beginning.
func (b *beds) resample(n int) {
	out := make([]*bed, 0, n)
	at, sum := b.rng.Float64(), 0.0
	for _, one := range b.all {
		sum += one.weight * float64(n)
		for float64(len(out))+at < sum && len(out) < n {
			c := one.copy()
			c.weight = 1 / float64(n)
			out = append(out, c)
		}
	}
	b.all = out
}
