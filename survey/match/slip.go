package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// mostTried is how many corrections of one epoch are tried in full beside the usual ones.
const mostTried = 6

// free tells whether the size of what a correction puts right is to be found.
func (t Doubt) free() bool { return t.Kind == MoveNotWritten || t.Kind == WrongSize }

// price is what a correction costs beforehand: a size that is free to be chosen costs its own
// scale, a foot that is not the written one that it may be any of so many.
func (t Doubt) price(feet int) (of float64) {
	if t.free() {
		of += math.Log(slipSD / moveSD)
	}
	if t.Kind == WrongFoot || t.Kind == MoveNotWritten {
		of += math.Log(float64(feet))
	}
	return of
}

// sized returns the size of a correction where the chain stands.
func (c *chain) sized(t Doubt) float64 {
	for _, v := range c.m.moves {
		if t.free() && v.epoch == t.Epoch && v.Foot == t.Foot {
			return c.m.value(c.z, v.index)
		}
	}
	return t.Size
}

// asSlip returns a wrong size as the usual slip of which it is the size: with it free an ascent
// comes through contacts at which that slip's own may have ended.
func (t Doubt) asSlip(usual []Doubt) Doubt {
	for _, u := range usual {
		if t.Kind == WrongSize && u.Kind != WrongFoot && u.Foot == t.Foot && math.Abs(u.Size-t.Size) < 3*moveSD {
			t.Kind, t.Size = u.Kind, u.Size
		}
	}
	return t
}

// before tells whether the standing of an epoch was surveyed before.
func (d *doubter) before(e int) bool {
	for _, b := range d.m.blocks {
		s := d.m.states[b.rows[0].state]
		if s.epoch < e && s.standing == d.m.in.Epochs[e].Standing {
			return true
		}
	}
	return false
}

// slip is a change of a foot's height that would be gained by, m.
type slip struct {
	foot      int
	by        float64
	grad, inf float64 // of the log density to it, per metre and metre squared
}

// gain is what of the log density a slip by so much gains.
func (s slip) gain(by float64) float64 { return s.grad*by - s.inf*by*by/2 }

// slips returns what a slip of each foot before an epoch would gain, of the bed that fits best or of that next to the job's
// own heights, which a slip bent less; on bearings alone there is none.
func (d *doubter) slips(e int, best bool) (list []slip) {
	in := d.m.in
	if len(in.Standings[in.Epochs[e].Standing].Feet) == 0 {
		return nil
	}
	in.Epochs = slices.Clone(in.Epochs)
	ep := &in.Epochs[e]
	ep.Moves = slices.Clip(ep.Moves)
	first := len(ep.Moves)
	for f := range in.Standings[ep.Standing].Feet {
		ep.Moves = append(ep.Moves, Move{Foot: f, SD: 1e-9})
	}
	c := d.m.again(in, d.top)
	if c == nil {
		return nil
	}
	if !best {
		clear(c.z)
	}
	c.toMode(30)
	t := c.tangentAt(c.z)
	c.setWhite([]tangent{t})
	n := len(c.z)
	for f, v := range c.m.moves[c.m.firstMove(e)+first:][:len(ep.Moves)-first] {
		x, s := v.index, c.m.sd[v.index]
		column := slices.Clone(t.curve[x*n : (x+1)*n])
		lower(c.white, n, column)
		inf := t.curve[x*n+x] - floats.Dot(column, column)
		l := slip{foot: f, grad: (t.grad[x] + c.z[x]) / s, inf: max(inf, 0) / (s * s)}
		l.by = l.grad / (l.inf + 1/square(slipSD))
		list = append(list, l)
	}
	return list
}

// explain lists what a slip before an epoch could mean: of a foot that was moved what is usual, whatever
// the Gaussian says that it would gain (far from the truth it says little), and what that says would gain.
func (d *doubter) explain(e int, s slip) (usual, list []Doubt) {
	at := func(k DoubtKind, foot, other int, size, by float64) Doubt {
		return Doubt{Kind: k, Epoch: e, Foot: foot, Other: other, Survey: -1, Size: size, Gain: s.gain(by)}
	}
	moved := false
	for _, v := range d.m.in.Epochs[e].Moves {
		if v.Anew {
			moved = moved || v.Foot == s.foot
			continue
		}
		if v.Foot == s.foot {
			moved = true
			usual = append(usual, at(WrongSign, s.foot, -1, -v.Raise, -2*v.Raise), at(TenTimes, s.foot, -1, v.Raise/10, -0.9*v.Raise),
				at(TenthPart, s.foot, -1, 10*v.Raise, 9*v.Raise))
			list = append(list, at(WrongSize, s.foot, -1, v.Raise+s.by, s.by))
		} else {
			usual = append(usual, at(WrongFoot, v.Foot, s.foot, v.Raise, v.Raise))
		}
	}
	if !moved {
		list = append(list, at(MoveNotWritten, s.foot, -1, s.by, s.by))
	}
	return usual, slices.DeleteFunc(list, func(t Doubt) bool { return t.Gain < contradicts/3 })
}

// corrected returns the input with a doubt put right.
func (d *doubter) corrected(t Doubt) Input {
	in := d.m.in
	in.Epochs = slices.Clone(in.Epochs)
	ep := &in.Epochs[t.Epoch]
	ep.Moves = slices.Clone(ep.Moves)
	if t.Kind == MoveNotWritten {
		ep.Moves = append(ep.Moves, Move{Foot: t.Foot, SD: slipSD})
		return in
	}
	for i := range ep.Moves {
		if v := &ep.Moves[i]; v.Foot == t.Foot {
			switch t.Kind {
			case WrongFoot:
				v.Foot = t.Other
			case WrongSize:
				v.SD = slipSD
			default:
				v.Raise = t.Size
			}
		}
	}
	return in
}
