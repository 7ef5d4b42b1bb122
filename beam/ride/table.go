package ride

import (
	"cmp"
	"errors"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/free"
	"footwork/beam/shape"
)

// Table is what rides on the ways.
type Table struct {
	Length  float64     // m
	Weight  float64     // N
	Tool    float64     // m along the bed, where the cutter or wheel stands
	Offset  float64     // m across the bed, of its centre of weight
	Stroke  *shape.Span // m, of the table's left end; nil: as far as it cannot tip
	Bending float64     // EI, N·m²; 0: stiff
	Contact float64     // stiffness of the contact per length of one way, N/m²; used when Bending > 0
}

// leastHold is how near the end of the ways the table's centre may come without a
// stroke of its own, as a share of the table's length: the triangle on which it
// then presses is three times as long, 6 % of the table.
const leastHold = 0.02

// Reach returns where the table's left end may go: its stroke, or as far as the
// table cannot tip.
func (t Table) Reach(b casting.Bed) shape.Span {
	if t.Stroke != nil {
		return *t.Stroke
	}
	hold := leastHold * t.Length
	return shape.Span{From: hold - t.Length/2, To: b.Length - t.Length/2 - hold}
}

// Park returns how a stiff table presses on the ways with its left end at a
// place (m): a linear pressure along the contact whose resultant is the weight at
// the table's middle, a triangle when that lies outside the middle third; the
// ways share it as Shares says. It is a *beam.TipError when the table would tip.
func (t Table) Park(b casting.Bed, at float64) ([]free.Line, error) {
	p, err := t.press(b, at)
	if err != nil {
		return nil, err
	}
	shares, err := t.sharesOn(b.Ways)
	if err != nil {
		return nil, err
	}
	var lines []free.Line
	for i, s := range shares {
		if s > 0 {
			lines = append(lines, free.Line{From: p.From, To: p.To, Offset: t.seat(b.Ways[i], len(shares)), Start: s * p.Start, End: s * p.End})
		}
	}
	return lines, nil
}

// press returns the pressure of the stiff table on all ways together.
func (t Table) press(b casting.Bed, at float64) (free.Line, error) {
	centre := at + t.Length/2
	switch {
	case centre <= 0:
		return free.Line{}, &beam.TipError{Table: true, Side: "left end", Over: -centre}
	case centre >= b.Length:
		return free.Line{}, &beam.TipError{Table: true, Side: "right end", Over: centre - b.Length}
	}
	p := free.Line{From: max(0, at), To: min(b.Length, at+t.Length)}
	long := p.To - p.From
	mean, e := t.Weight/long, (centre-(p.From+p.To)/2)/long
	switch {
	case e > 1./6:
		p.From = p.To - 3*(p.To-centre)
		p.End = 2 * t.Weight / (p.To - p.From)
	case e < -1./6:
		p.To = p.From + 3*(centre-p.From)
		p.Start = 2 * t.Weight / (p.To - p.From)
	default:
		p.Start, p.End = mean*(1-6*e), mean*(1+6*e)
	}
	return p, nil
}

// sharesOn returns which part of the table's weight each way carries:
// 1/n + (y₀−ȳ)(y−ȳ)/Σ(y−ȳ)², for two ways the rule of the lever. Of three or
// more ways those that would have to pull are left out. It is a *beam.TipError
// when the weight lies outside the ways; a single way holds it within its width.
func (t Table) sharesOn(ways []casting.Way) ([]float64, error) {
	if len(ways) == 0 {
		return nil, errors.New("the bed has no way for a table to ride on: give each a [[way]] with its offset")
	}
	y := make([]float64, len(ways))
	on := make([]int, len(ways)) // the ways that carry
	for i, w := range ways {
		y[i], on[i] = w.Offset, i
	}
	lo, hi := slices.Min(y), slices.Max(y)
	if len(ways) == 1 {
		lo, hi = lo-ways[0].Width/2, hi+ways[0].Width/2
	}
	switch slack := 1e-9 * (hi - lo); {
	case t.Offset > hi+slack:
		return nil, &beam.TipError{Table: true, Side: "positive-offset side", Over: t.Offset - hi}
	case t.Offset < lo-slack:
		return nil, &beam.TipError{Table: true, Side: "negative-offset side", Over: lo - t.Offset}
	}
	for {
		shares := t.shares(y, on)
		least := slices.MinFunc(on, func(i, j int) int { return cmp.Compare(shares[i], shares[j]) })
		if shares[least] >= -1e-9 {
			return shares, nil
		}
		on = slices.DeleteFunc(on, func(i int) bool { return i == least })
	}
}

// shares returns the shares of the ways at offsets y that are on.
func (t Table) shares(y []float64, on []int) []float64 {
	n, mean, spread := float64(len(on)), 0.0, 0.0
	for _, i := range on {
		mean += y[i] / n
	}
	for _, i := range on {
		spread += (y[i] - mean) * (y[i] - mean)
	}
	out := make([]float64, len(y))
	for _, i := range on {
		if out[i] = 1 / n; spread > 0 {
			out[i] += (t.Offset - mean) * (y[i] - mean) / spread
		}
	}
	return out
}

// seat returns where across a way the table presses, m: on the middle of each of
// several ways, under its own weight on a single one.
func (t Table) seat(w casting.Way, ways int) float64 {
	if ways == 1 {
		return t.Offset
	}
	return w.Offset
}
