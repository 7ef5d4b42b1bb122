package plan

import (
	"fmt"
	"math"

	"footwork/internal/sample"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// moves are what a plan does to the feet.
type moves struct {
	raise []float64 // m, after touching
	touch []bool
}

func (m moves) count() (n int) {
	for f, r := range m.raise {
		if r != 0 || m.touch[f] {
			n++
		}
	}
	return n
}

// farthest is the largest of raises, m.
func farthest(raise []float64) (far float64) {
	for _, r := range raise {
		far = max(far, math.Abs(r))
	}
	return far
}

func (p *planner) still() moves { return moves{make([]float64, p.feet), make([]bool, p.feet)} }

// raised returns what the feet of a draw are raised by, m; noisy: as a person does it.
func (p *planner) raised(b *bed, m moves, noisy bool) []float64 {
	out := make([]float64, p.feet)
	for f, r := range m.raise {
		out[f] = r * b.ratio[f]
		if noisy && r != 0 {
			out[f] += p.sd[f] * b.slip[f]
		}
		if m.touch[f] && b.now.gap[f] > 0 {
			out[f] += b.now.gap[f]
			if noisy {
				out[f] += p.TouchSD * b.touch[f]
			}
		}
	}
	return out
}

// linear is the mean over the choosing draws of what a bed does while the contact of
// each stays.
type linear struct {
	height []float64   // m, at each station, nothing raised after touching
	by     [][]float64 // [foot][station] m/m
	load   []float64   // N
	loadBy [][]float64 // [foot raised][foot] N/m
	spread []float64   // N, standard deviation of each load over the draws, without slips; nil of a single draw
}

// carrying returns the answers when the feet of a set carry in every draw and all
// others as they do now. Feet that hang and are raised to touch begin there.
func (p *planner) carrying(set []int) (*linear, error) {
	m, in := p.still(), make([]bool, p.feet)
	for _, f := range set {
		in[f] = p.hangs[f] > 0
		m.touch[f] = p.touch[f]
	}
	key := fmt.Sprint(in)
	if l := p.linears[key]; l != nil {
		return l, nil
	}
	l, err := p.linearise(m, func(b *bed) ([]bool, error) {
		on := make([]bool, len(b.on))
		for i, t := range p.linear.Points {
			on[i] = b.on[i] || t.Foot >= 0 && in[t.Foot]
		}
		return on, nil
	})
	if err == nil {
		if p.spread != nil {
			l.spread = p.spread
		}
		p.linears[key] = l
	}
	return l, err
}

// about returns the answers with the contact that each draw has after moves.
func (p *planner) about(m moves) (*linear, error) {
	return p.linearise(m, func(b *bed) ([]bool, error) {
		_, err := b.stand(p.raised(b, m, false))
		return append([]bool(nil), b.answer.On...), err
	})
}

// linearise averages the draws, each with its own contact, about moves.
func (p *planner) linearise(m moves, contact func(*bed) ([]bool, error)) (*linear, error) {
	own := make([]*linear, len(p.choose))
	err := sample.Each(len(p.choose), 0, func(i int) error {
		on, err := contact(p.choose[i])
		if err == nil {
			own[i], err = p.linearOf(p.choose[i], on, m)
		}
		return err
	})
	p.spendOn(p.choose, p.feet)
	if err != nil {
		return nil, err
	}
	out := linear{height: make([]float64, len(p.x)), load: make([]float64, p.feet)}
	for range p.feet {
		out.by, out.loadBy = append(out.by, make([]float64, len(p.x))), append(out.loadBy, make([]float64, p.feet))
	}
	share := 1 / float64(len(own))
	for _, l := range own {
		floats.AddScaled(out.height, share, l.height)
		floats.AddScaled(out.load, share, l.load)
		for f := range l.by {
			floats.AddScaled(out.by[f], share, l.by[f])
			floats.AddScaled(out.loadBy[f], share, l.loadBy[f])
		}
	}
	out.spread = p.spreadOf(own, m.raise)
	return &out, nil
}

// spreadOf returns the standard deviation of each load over draws once raised; nil of a single draw.
func (p *planner) spreadOf(own []*linear, raise []float64) (spread []float64) {
	if len(own) == 1 {
		return nil
	}
	loads := mat.NewDense(len(own), max(1, p.feet), nil)
	for i, l := range own {
		copy(loads.RawRowView(i), l.loads(raise))
	}
	for f := range p.feet {
		spread = append(spread, stat.StdDev(mat.Col(nil, f, loads), nil))
	}
	return spread
}

// mostLinears bounds what is kept of one draw, in numbers: other choices of feet touch as these do.
const mostLinears = 50_000

// linearOf is that of one draw, kept by which of its points touch and which of its feet are
// raised until they do.
func (p *planner) linearOf(b *bed, on []bool, m moves) (*linear, error) {
	key := make([]byte, 0, len(on)+p.feet)
	bit := map[bool]byte{true: 1}
	for _, touches := range on {
		key = append(key, bit[touches])
	}
	for f, touched := range m.touch {
		key = append(key, bit[touched && b.now.gap[f] > 0])
	}
	if l := b.linears[string(key)]; l != nil {
		return l, nil
	}
	l, err := p.respondTo(b, on, m)
	if err == nil && (len(b.linears)+1)*len(l.by)*len(p.x) <= mostLinears {
		b.linears[string(key)] = l
	}
	return l, err
}

func (p *planner) respondTo(b *bed, on []bool, m moves) (*linear, error) {
	touched := moves{make([]float64, p.feet), m.touch}
	st, err := b.glue(on, p.raised(b, touched, false))
	if err != nil {
		return nil, err
	}
	l := linear{height: st.height, load: st.load}
	for f := range p.feet {
		r, err := b.respond(on, f, p.feet)
		if err != nil {
			return nil, err
		}
		floats.Scale(b.ratio[f], r.height)
		floats.Scale(b.ratio[f], r.load)
		l.by, l.loadBy = append(l.by, r.height), append(l.loadBy, r.load)
	}
	return &l, nil
}

// stations returns heights when moves are made as long as the contact stays, about the
// wanted form.
func (l *linear) stations(s *site, raise []float64) []float64 {
	h := make([]float64, len(l.height))
	floats.SubTo(h, l.height, s.crown)
	for f, r := range raise {
		if r != 0 {
			floats.AddScaled(h, r, l.by[f])
		}
	}
	return h
}

func (l *linear) loads(raise []float64) []float64 {
	out := append([]float64(nil), l.load...)
	for f, r := range raise {
		if r != 0 {
			floats.AddScaled(out, r, l.loadBy[f])
		}
	}
	return out
}
