package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"footwork/beam/enclose"
)

// walked looks for a run whose rows may stand in the order walked, the far end
// first: turned round it agrees with the others within noise, and clearly better
// than as written (beyond the 99.9 % point of F), both as they stand or both with
// a drift taken out. On a way that is an arc the two look alike, as a drift and a
// run in the order walked do: which it is only the person knows. It returns the
// run and what is left of it when turned round; −1 when there is none.
func (s Survey) walked(runs []Run, noise float64) (run int, scatter float64, free int) {
	for r := 1; r < len(runs); r++ {
		was, is := parted(runs), parted(with(runs, r, slices.Reverse))
		for _, drift := range [][]event{nil, {{kind: ramp, run: r}}} {
			before, free := was.scatter(drift)
			after, _ := is.scatter(drift)
			if free < 3 || after > s.mostNoise(noise, free) {
				continue
			}
			k := float64(free)
			if square(before) > (distuv.F{D1: k, D2: k}).Quantile(0.999)*square(max(after, noise/3, 1e-3*s.typical())) {
				return r, after, free
			}
		}
	}
	return -1, 0, 0
}

// mostNoise returns how far repeats may scatter and still agree · noise what one
// reading is uncertain by, 0 when nobody says: then three times what is typical.
func (s Survey) mostNoise(noise float64, free int) float64 {
	if s.Uncertainty > 0 {
		return noise * math.Sqrt(distuv.ChiSquared{K: float64(free)}.Quantile(0.99)/float64(free))
	}
	return 3 * max(s.typical(), noise)
}

// walkedWarning shows both readings of such a run: the zone with its rows as
// written and with the rows turned round, m; none of slopes across.
func (s Survey) walkedWarning(runs []Run, r int) Warning {
	w := Warning{Kind: WalkedOrder, Run: runs[r].Name, Than: other(runs)}
	if s.Instrument == CrossLevel {
		return w
	}
	zone := func(runs []Run) float64 { return enclose.Zone(s.stations(), s.heights(average(runs))) }
	w.Size, w.Other = zone(runs), zone(with(runs, r, slices.Reverse))
	return w
}
