package turn

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"footwork/beam"
)

// felt is how a hand felt a foot, and how the bed had it then.
type felt struct {
	ever, carries bool
	beam.FootState
}

// handWrong is how often a hand feels a foot wrongly (assumed).
const handWrong = 0.05

// feels keeps beds by what a hand feels of a foot, that it carries or hangs; where hardly any bed has
// it so, all that have it otherwise are brought to that · sd: m, of how far past touching a foot is that
// nobody felt before, moved: since the last reading.
func (b *beds) feels(foot int, carries bool, sd float64, moved bool) error {
	defer b.wasFelt(foot, carries)
	likely, agree, lots := make([]float64, len(b.all)), 0.0, b.lots(b.rng.NormFloat64)
	for i, one := range b.all {
		if one.state.Feet()[foot].Lifted == carries {
			likely[i] = math.Log(handWrong)
		} else {
			agree += one.weight
		}
	}
	if agree > handWrong {
		b.reweigh(likely)
		return nil
	}
	far, weights, beyond := make([]float64, len(b.all)), make([]float64, len(b.all)), make([]float64, len(b.all))
	_ = b.each(func(i int, one *bed) error {
		if by, ok := b.untilTouch(one, foot); ok {
			far[i], weights[i], beyond[i] = by, one.weight*float64(len(b.all)), b.beyond(one, foot, carries, sd, lots[i])
		}
		return nil
	})
	if !moved {
		b.together(foot, carries, far, weights)
	}
	return b.bring(foot, carries, beyond, moved)
}

// bring brings a foot that a bed has otherwise than it is felt to where it just touches, and so far
// beyond, m: where it moved since the last reading it moved by that, else all feet stand elsewhere than
// the bed has them.
func (b *beds) bring(foot int, carries bool, beyond []float64, moved bool) error {
	return b.each(func(i int, one *bed) error {
		if one.state.Feet()[foot].Lifted != carries {
			return nil
		}
		by, ok := b.untilTouch(one, foot)
		if carries {
			by += beyond[i]
		} else {
			by -= beyond[i]
		}
		there, err := b.raised(one, foot, by)
		if !ok || err != nil { // it stands on three, and cannot
			return nil
		}
		if moved {
			there.moved += by
			there.went[foot] += by
		} else {
			b.alike(one, &there)
		}
		*one = there
		return nil
	})
}

// wasFelt keeps how the beds have a foot that a hand just felt.
func (b *beds) wasFelt(foot int, carries bool) {
	for _, one := range b.all {
		one.felt[foot] = felt{true, carries, one.state.Feet()[foot]}
	}
}

// beyond is how far past just touching a foot is, m, that is felt otherwise than the bed has it: anywhere
// within what the bed has it gone by since it was felt to be the other way, else by what sd says · lot: a
// normal one.
func (b *beds) beyond(one *bed, foot int, carries bool, sd, lot float64) float64 {
	const step = 1e-6
	was, is := one.felt[foot], one.state.Feet()[foot]
	unsure := math.Abs(sd * lot)
	if !was.ever || was.carries == carries {
		return unsure
	}
	went := was.Gap - is.Gap
	if !carries {
		lower, err := b.raised(one, foot, -step)
		if err != nil {
			return 0
		}
		went = step * (was.Load - is.Load) / (is.Load - lower.state.Feet()[foot].Load)
	}
	if went <= 0 {
		return unsure
	}
	return went * (1 + math.Erf(lot/math.Sqrt2)) / 2
}

// together moves the feet of the beds that have a foot otherwise than it is felt towards where it just
// touches, as the feet of all beds go with how far it is from that (the update of G. Evensen, J.
// Geophys. Res. 99 (1994) C5, 10143–10162), by no more than is likely: all that was read is as before · far:
// m, by how much each bed has it raised until it touches, weights: none where it cannot.
func (b *beds) together(foot int, carries bool, far, weights []float64) {
	spread := stat.Variance(far, weights)
	if !(spread > 0) {
		return
	}
	by, at, most := make([]float64, len(b.Standing.Feet)), make([]float64, len(b.all)), oddFrom*math.Sqrt(spread)
	for f := range by {
		for i, one := range b.all {
			at[i] = one.draw.Heights[f]
		}
		by[f] = stat.Covariance(at, far, weights) / spread
	}
	_ = b.each(func(i int, one *bed) error {
		if one.state.Feet()[foot].Lifted == carries {
			b.shift(one, max(-most, min(-far[i], most)), by)
		}
		return nil
	})
}
