package survey

import (
	"math"
	"slices"
)

// contradicts is by how much of log density a bed must be more likely without
// something that was said: once in some thousands of beds where it is true.
const contradicts = 7.0

// Doubt is a felt row or a move that the surveys contradict.
type Doubt struct {
	Felt  *Felt // nil: a move
	Move  *Move
	Raise float64 // m, of the move, that fits the surveys better
}

// doubts returns what was felt or done that the surveys contradict: where the most
// likely bed that need not fit it is so much more likely than the one that must.
func (m *model) doubts(s *samples) (list []Doubt) {
	if len(m.in.Moves) == 0 && !slices.ContainsFunc(m.states, func(st *state) bool { return len(st.felt) > 0 }) {
		return nil
	}
	with := m.highest(s, "", -1)
	for _, st := range m.states {
		all := st.felt
		for i := range all {
			st.felt = slices.Delete(slices.Clone(all), i, i+1)
			without := m.highest(s, all[i].Foot, -1)
			gain := without.log
			st.felt = all
			m.rise(s, without) // a bed that fits both is no contradiction
			if gain-max(with.log, without.log) > contradicts {
				list = append(list, Doubt{Felt: &all[i]})
			}
		}
	}
	for k := range m.in.Moves {
		i, sd := m.moves[k], m.sd[m.moves[k]]
		m.sd[i] = math.Hypot(sd, heightSD)
		without := m.highest(s, "", i)
		gain, raised := without.log-math.Log(m.sd[i]/sd), m.value(without, i)
		m.sd[i] = sd
		without.u[i] = 0
		m.rise(s, without)
		if gain-max(with.log, without.log) > contradicts {
			list = append(list, Doubt{Move: &m.in.Moves[k], Raise: raised})
		}
	}
	return list
}

// highest returns the most likely point that climbs reach, from the most likely one
// known, from the heights of the job, and from where a foot stands higher or a move
// went the other way · foot "" and move −1 for none.
func (m *model) highest(s *samples, foot string, move int) *point {
	at, p := m.newPoint(), m.newPoint()
	at.log = math.Inf(-1)
	for _, begin := range []func(){
		func() {},
		func() { clear(p.u) },
		func() {
			for k, h := range m.heights {
				if i := footIndex(m.in.Standings[k].Standing, foot); i >= 0 && h != nil {
					p.u[h[i]] += lowered
				}
			}
			if move >= 0 {
				clear(p.u)
				p.u[move] = -2 * m.mean[move] / m.sd[move]
			}
		},
	} {
		p.copyFrom(s.best)
		begin()
		m.rise(s, p)
		if p.log > at.log {
			at.copyFrom(p)
		}
	}
	return at
}

// rise climbs under the likeliest kernel of where it comes to.
func (m *model) rise(s *samples, p *point) {
	for range 2 {
		m.climb(p, s.gs, 20)
		p.kern = likeliest(s.gs, p)
	}
	m.climb(p, s.gs, 20)
}

func likeliest(gs []marginal, p *point) (kern int) {
	top := math.Inf(-1)
	for k := range gs {
		if log := gs[k].log(p.phi); log > top {
			kern, top = k, log
		}
	}
	return kern
}
