package ride

import (
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/free"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// spot is one place of the stiff table: what its pressure does to the built-in bed,
// whatever the draw.
type spot struct {
	at        float64
	tips      error
	resultant [3]float64    // N, N·m, N·m
	points    deflected     // the contact points
	ways      []deflected   // of each, at the journey's stations
	seat      []float64     // m, stations under the table
	on        []*beam.Probe // of each way, over the seat
	seated    []deflected   // of each way, over the seat
	pressure  [][]float64
	loose     []bool
}

// deflected is how far places of the bed as given go down by bending, and up by twist, m.
type deflected struct{ bent, turned []float64 }

// spot makes one place ready.
func (r ride) spot(at float64) spot {
	v := r.on
	lines, err := r.table.Park(v.bed, at)
	if err != nil {
		return spot{at: at, tips: err}
	}
	p := v.free.Press(lines)
	s := spot{at: at, resultant: p.Resultant}
	for i, at := range v.enter {
		s.points.add(p.At(at, v.points[i].Y))
	}
	s.seat = shape.Even(lines[0].From, lines[0].To, 33)
	for i, w := range v.bed.Ways {
		s.ways = append(s.ways, pressed(p, r.probes[i]))
		s.on = append(s.on, v.Probe(s.seat, w.Offset))
		s.seated = append(s.seated, pressed(p, s.on[i]))
	}
	s.press(r)
	return s
}

func (s *deflected) add(down, up float64) {
	s.bent, s.turned = append(s.bent, down), append(s.turned, up)
}

// pressed returns how far a probe's places go down under a line load.
func pressed(by *free.Pressing, p *beam.Probe) (s deflected) {
	for _, at := range p.At {
		s.add(by.Surface(at, p.Offset))
	}
	return s
}

// press fills in the pressure of the stiff table at the middles of its cells.
func (s *spot) press(r ride) {
	t, b, cells := r.table, r.on.bed, r.journey.Cells
	press, _ := t.press(b, s.at) // it stands, or there would be no spot
	s.loose = make([]bool, cells)
	for _, share := range r.shares {
		row := make([]float64, cells)
		for i := range row {
			x := s.at + t.Length*(float64(i)+0.5)/float64(cells)
			if x >= press.From && x <= press.To {
				row[i] = share * (press.Start + (press.End-press.Start)*(x-press.From)/(press.To-press.From))
			} else {
				s.loose[i] = x >= 0 && x <= b.Length
			}
		}
		s.pressure = append(s.pressure, row)
	}
}

// parkStiff stands the bed under the stiff table at one place.
func (r ride) parkStiff(s spot, near *Place) (Place, error) {
	if s.tips != nil {
		return Place{}, s.tips
	}
	bend, twist := r.base.Soft()
	l := r.base.Load()
	l.Built = slices.Clone(l.Built)
	for i := range l.Built {
		l.Built[i] -= s.points.bent[i]*bend - s.points.turned[i]*twist
	}
	for d, v := range s.resultant {
		l.Resultant[0][d] += v
	}
	var first []bool
	if near != nil {
		first = near.contact
	}
	st := r.base.With(l, contact.Answer{})
	if err := st.Settle(r.coupled, first); err != nil {
		return Place{}, err
	}
	read := func(p *beam.Probe, metal []float64, down deflected) []float64 {
		h := st.Read(p)
		floats.Add(h, metal)
		floats.AddScaled(h, -bend, down.bent)
		floats.AddScaled(h, twist, down.turned)
		return h
	}
	p := Place{At: s.at, Feet: st.Feet(), Pressure: s.pressure, Loose: s.loose, contact: st.Contact()}
	var on [][]float64
	for i := range r.on.bed.Ways {
		p.Shapes = append(p.Shapes, read(r.probes[i], r.metal[i], s.ways[i]))
		on = append(on, read(s.on[i], r.draw.Metal(i, s.seat), s.seated[i]))
	}
	p.sit(bestPlane(s.seat, r.on.bed.Ways, on), r.table)
	return p, nil
}
