package ride

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
)

// journey is how a table's travel is to be computed. The zero value is the default.
type journey struct {
	Places int       // of the table over its stroke; 0: 61
	X      []float64 // m, stations at which the ways are read, increasing; nil: 81 over the bed
	Cells  int       // along the contact of each way, for pressure; 0: 48
}

// Travel is a table's journey from one end of its stroke to the other.
type Travel struct {
	Table  Table
	Ways   []casting.Way
	X      []float64   // m, stations of the ways
	Along  []float64   // m from the table's left end, where the pressure is given
	Places []Place     // by increasing At
	Work   shape.Shape // height of the surface under the tool along the work, x from the table's left end
	Zone   float64     // m, minimum zone of Work: the straightness that the machine cuts
	Tips   []TravelTip // where places were left out
	Idle   []FootIdle  // feet that carry nothing somewhere
	Effort float64     // multiplications that its contacts took
	Missed bool        // the table never passes under the tool: Work is read from its line carried on to there
}

// Place is how bed and table stand with the table's left end at At.
type Place struct {
	At       float64
	Height   float64     // m, of the table's best line on the ways, at the table's middle over the centre line
	Pitch    float64     // rad, positive when its right end is higher
	Roll     float64     // rad, positive when its positive-offset side is higher
	AtTool   float64     // m, height of the table's surface at the tool and the table's offset
	Under    bool        // the tool stands over the table
	Shapes   [][]float64 // [way][station], m
	Feet     []beam.FootState
	Pressure [][]float64 // [way][along], N/m; 0 where the table does not touch
	Loose    []bool      // [along]: over a way, yet touching none
	contact  []bool      // for the next place to begin with
}

func (j journey) filled(b casting.Bed) journey {
	if j.Places == 0 {
		j.Places = 61
	}
	if j.Cells == 0 {
		j.Cells = 48
	}
	if j.X == nil {
		j.X = shape.Even(0, b.Length, 81)
	}
	return j
}

// Travels moves a table over its stroke, for one draw after another: all that does not hang on the draw is worked out once. A stiff table presses as Park
// says, a table with Bending as the one-sided contact between two flexible beams. Places
// at which table or bed would tip are left out and told. What it returns may be used by many
// goroutines at once. It is an error when no place is left, or when the bed has no ways.
func (v *Bed) Travels(t Table) (func(beam.Draw) (Travel, error), error) {
	return v.travels(t, journey{})
}

// travels is Travels as a journey says.
func (v *Bed) travels(t Table, j journey) (func(beam.Draw) (Travel, error), error) {
	j = j.filled(v.bed)
	shares, err := t.sharesOn(v.bed.Ways)
	if err != nil {
		return nil, err
	}
	all := ride{table: t, journey: j, shares: shares}
	all.on = v
	for _, w := range v.bed.Ways {
		all.probes = append(all.probes, v.Probe(j.X, w.Offset))
	}
	reach := t.Reach(v.bed)
	places := shape.Even(reach.From, reach.To, j.Places)
	var spots []spot
	var berths []berth
	park := func(r ride, i int, near *Place) (Place, error) { return r.parkStiff(spots[i], near) }
	if t.Bending > 0 {
		all.rider = t.rider(v.bed.Ways, j.Cells, beam.Draw{})
		park = func(r ride, i int, near *Place) (Place, error) { return r.parkFlexible(berths[i], near) }
	}
	for _, at := range places {
		if t.Bending > 0 {
			berths = append(berths, all.berthed(at))
		} else {
			spots = append(spots, all.spot(at))
		}
	}
	return func(d beam.Draw) (Travel, error) {
		r := all
		r.Riding, r.rider = v.Riding(beam.Case{Draw: d}), t.rider(v.bed.Ways, j.Cells, d)
		v.Fill(r.coupled.Reset(v.points), len(v.points), d)
		for i := range v.bed.Ways {
			r.metal = append(r.metal, d.Metal(i, j.X))
		}
		return r.over(places, park)
	}, nil
}

// over parks the table at one place after another.
func (r ride) over(places []float64, park func(r ride, i int, near *Place) (Place, error)) (Travel, error) {
	tr := Travel{Table: r.table, Ways: r.on.bed.Ways, X: r.journey.X}
	for i := range r.journey.Cells {
		tr.Along = append(tr.Along, r.table.Length*(float64(i)+0.5)/float64(r.journey.Cells))
	}
	var last *Place
	var first error
	for i, at := range places {
		p, err := park(r, i, last)
		if err == nil {
			tr.Places = append(tr.Places, p)
			last = &tr.Places[len(tr.Places)-1]
			continue
		}
		if first = cmp.Or(first, err); !tr.leavesOut(at, err) {
			return Travel{}, err
		}
	}
	if last == nil {
		return Travel{}, first
	}
	tr.underTool()
	tr.Idle = tr.idle()
	tr.Effort = r.coupled.Work
	return tr, nil
}

// TravelTip is a stretch of the stroke on which the table or the bed would tip.
type TravelTip struct {
	From, To float64 // m, of the table's left end
	Table    bool    // the table falls off its ways, else the bed off its feet
	Side     string  // towards which: see beam.TipError
}

// leavesOut names each side that table or bed would tip to once, with the places left out for it; not ok for
// any other error.
func (tr *Travel) leavesOut(at float64, err error) (ok bool) {
	var tip *beam.TipError
	if !errors.As(err, &tip) {
		return false
	}
	k := slices.IndexFunc(tr.Tips, func(o TravelTip) bool { return o.Table == tip.Table && o.Side == tip.Side })
	if k < 0 {
		k = len(tr.Tips)
		tr.Tips = append(tr.Tips, TravelTip{at, at, tip.Table, tip.Side})
	}
	tr.Tips[k].From, tr.Tips[k].To = min(tr.Tips[k].From, at), max(tr.Tips[k].To, at)
	return true
}

// ride is what all places of a journey have in common.
type ride struct {
	Riding
	rider   Rider // the flexible table
	table   Table
	journey journey
	shares  []float64     // of the ways
	probes  []*beam.Probe // of the ways at the journey's stations
	metal   [][]float64   // m, of the draw's ways there
}

// FootIdle is a foot that carries nothing on a part of the stroke.
type FootIdle struct {
	Foot     string
	From, To float64 // m, of the table's left end
	Gap      float64 // m, the widest
}

// idle names each foot that lifts on the way, where, and by how much.
func (tr *Travel) idle() (out []FootIdle) {
	for i, f := range tr.Places[0].Feet {
		idle := FootIdle{Foot: f.Name, From: math.Inf(1), To: math.Inf(-1)}
		for _, p := range tr.Places {
			if p.Feet[i].Lifted {
				idle.From, idle.To, idle.Gap = min(idle.From, p.At), max(idle.To, p.At), max(idle.Gap, p.Feet[i].Gap)
			}
		}
		if idle.To >= idle.From {
			out = append(out, idle)
		}
	}
	return out
}

// plane is the height a + b·x + c·y.
type plane struct{ a, b, c float64 }

func (p plane) at(x, y float64) float64 { return p.a + p.b*x + p.c*y }

// bestPlane returns the plane of least squares through heights on the ways at
// common stations: since each way has the same stations, the mean of the ways
// gives the slope along and the ways' means the slope across. A single way is
// taken to lie level across.
func bestPlane(x []float64, ways []casting.Way, h [][]float64) plane {
	n := float64(len(ways))
	mean := shape.Shape{X: x, Y: make([]float64, len(x))}
	var y0, syy, syh float64
	for i, w := range ways {
		y0 += w.Offset / n
		for k := range x {
			mean.Y[k] += h[i][k] / n
		}
	}
	for i, w := range ways {
		d := w.Offset - y0
		syy += d * d
		for _, v := range h[i] {
			syh += d * v / float64(len(x))
		}
	}
	along := mean.LeastSquaresLine()
	p := plane{a: along.A, b: along.B}
	if syy > 0 {
		p.c = syh / syy
	}
	p.a -= p.c * y0
	return p
}

// sit puts a stiff table on the plane.
func (p *Place) sit(on plane, t Table) {
	p.Height, p.Pitch, p.Roll = on.at(p.At+t.Length/2, 0), on.b, on.c
	p.AtTool = on.at(t.Tool, t.Offset)
	p.Under = t.Tool >= p.At-1e-9 && t.Tool <= p.At+t.Length+1e-9
}

// underTool collects the heights under the tool along the work.
func (tr *Travel) underTool() {
	take := func(all bool) (s shape.Shape) {
		for _, p := range slices.Backward(tr.Places) {
			if p.Under || all {
				s.X = append(s.X, tr.Table.Tool-p.At)
				s.Y = append(s.Y, p.AtTool)
			}
		}
		return s
	}
	tr.Work = take(false)
	if len(tr.Work.X) == 0 {
		tr.Work = take(true)
		tr.Missed = true
	}
	tr.Zone = shape.Zone(tr.Work.X, tr.Work.Y)
}
