package supports

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"footwork/beam"
)

// careful foretells the plan over all scenarios.
func (o *outlook) careful(raise []float64) (Careful, error) {
	c := Careful{Raise: raise, Touch: make([]bool, o.feet), First: -1}
	var ends []forecast
	var zones, slips []float64
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
		zones = append(zones, f.zone)
		c.Wrong += f.wrong / float64(len(o.Scenarios))
	}
	c.Zone, c.ZoneSigma = stat.MeanStdDev(zones, nil)
	c.Keep = o.goal.LeastLoad * o.mean
	stays := o.mayStay(raise, ends)
	for i, f := range o.Standing.Feet {
		if !stays {
			c.Short += o.short(ends, i)
			c.Lacking += max(0, -o.spare(ends, i, lightShare))
		}
		c.Touch[i] = o.touches(i)
		if raise[i] != 0 || c.Touch[i] {
			c.Moves = append(c.Moves, CarefulMove{Foot: f.Name, Raise: raise[i], Touch: c.Touch[i]})
		}
		c.Feet = append(c.Feet, o.footOf(i, ends))
	}
	for w, way := range o.Ways {
		c.Ways = append(c.Ways, bandOf(way, w, ends))
	}
	o.doubt(&c, stat.StdDev(slips, nil))
	return c, nil
}

// limiting: what is not known limits a zone when its standard deviation is more
// than this share of it, or feet hang by unknown gaps, and slips of the hand do not
// explain half of it.
const limiting = 0.25

// doubt tells whether what is not known limits the plan, and which move tells
// most · slips standard deviation of the zone, m, that slips of the hand alone leave.
func (o *outlook) doubt(c *Careful, slips float64) {
	most := -1.0
	for k, m := range c.Moves {
		f := slices.IndexFunc(o.Standing.Feet, func(f beam.Foot) bool { return f.Name == m.Foot })
		if worth := o.hangs[f] + math.Abs(m.Raise)/1e-3; worth > most { // an unknown gap first, then the larger move
			most, c.First = worth, k
		}
	}
	gaps := slices.ContainsFunc(o.hangs, func(p float64) bool { return p > doubtful })
	c.Limited = len(c.Moves) > 0 && c.ZoneSigma > 2*slips && (gaps || c.ZoneSigma > limiting*c.Zone)
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
	f.Low, f.Least, f.High = between(loads, 0.025), between(loads, lightShare), between(loads, 0.975)
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
