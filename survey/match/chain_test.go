package match

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
)

// example is a bed with two surveys, a move between them, and feet felt in every manner.
func example(t testing.TB, felt bool) *model {
	h, _ := invent(t, 3, hollow)
	in := h.input()
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, nil, Heat{0, 0.5, false})
	up := append([]float64(nil), h.draw.Heights...)
	up[2] += 30e-6
	h.survey(t, &in, hiddenEpoch{0, up, 0.3}, []Move{{Foot: 2, Raise: 29e-6}}, Heat{0.3, 0.1, true})
	load, gap := 2000.0, 8e-6
	in.Epochs[1].Felt = []Felt{{Foot: 1, Touch: Solid, Heat: 1}, {Foot: 3, Touch: Free, Heat: 1}, {Foot: 0, Load: &load, Sigma: 300, Heat: 1},
		{Foot: 5, Touch: Nips, Heat: 1}, {Foot: 4, Gap: &gap, Heat: 1}}
	if !felt {
		in.Epochs[1].Felt = in.Epochs[1].Felt[:2]
	}
	m, err := newModel(in, nil)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestLine holds the pieces of lines against the density itself, on both sides of many
// changes of contact and of what was felt.
func TestLine(t *testing.T) {
	m := example(t, true)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.climb(40)
	places := 0
	for k := range m.linear {
		dz := make([]float64, len(c.z))
		dz[k] = 1
		dz[(k+3)%m.linear] = -0.5
		c.evaluate(c.z)
		active := c.begin(dz, -6)
		c.walk(active, -6, 6)
		pieces := append([]piece(nil), c.pieces...)
		if len(pieces) > 1 {
			places++
		}
		at := -6.0
		for _, p := range pieces {
			if math.Abs(p.t-at) > 1e-9 {
				t.Fatalf("line %d: a piece begins at %g, the one before ends at %g", k, p.t, at)
			}
			at = p.t + p.long
			for _, s := range []float64{0.1, 0.9} {
				s *= p.long
				z := append([]float64(nil), c.z...)
				floats.AddScaled(z, p.t+s, dz)
				want := c.evaluate(z) + floats.Dot(z, z)/2
				got := p.log - s*p.slope - s*s*p.curve/2
				if math.Abs(got-want) > 1e-5*(1+math.Abs(want)) {
					t.Errorf("line %d at %g: log density %g, want %g", k, p.t+s, got, want)
				}
			}
		}
		if math.Abs(at-6) > 1e-6 {
			t.Errorf("line %d ends at %g", k, at)
		}
	}
	if places < 5 {
		t.Errorf("only %d lines change the contact", places)
	}
}

// TestTangent holds gradient and curvature against differences of the density.
func TestTangent(t *testing.T) {
	m := example(t, true)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.climb(10)
	for k := range c.z {
		c.z[k] += 0.1 * math.Sin(float64(k))
	}
	c.evaluate(c.z)
	tan := c.tangentAt(c.z)
	for k := range c.z {
		const d = 1e-5
		z := append([]float64(nil), c.z...)
		z[k] += d
		up := c.evaluate(z)
		z[k] -= 2 * d
		down := c.evaluate(z)
		if want := (up - down) / (2 * d); math.Abs(tan.grad[k]-want) > 1e-4*(1+math.Abs(want)) {
			t.Errorf("unknown %d: gradient %g, want %g", k, tan.grad[k], want)
		}
	}
}

// TestPieces holds masses and draws of pieces against quadrature.
func TestPieces(t *testing.T) {
	c := &chain{rng: rand.New(rand.NewPCG(1, 1))}
	for _, p := range []piece{{0, 1, 0.3, 0.5, 2}, {0, 3, 0, 8, 4}, {0, 2, -1, -9, 3}, {0, 0.01, 0, 900, 5}, {0, 5, 0, -60, 9}, {0, 1, 0, -300, 2}, {0, 1e-6, 2, 1, 1}} {
		const n = 20000
		sum, first, top := 0.0, 0.0, math.Inf(-1)
		at := func(s float64) float64 { return p.log - p.slope*s - p.curve*s*s/2 }
		for i := range n {
			top = max(top, at((float64(i)+0.5)/n*p.long))
		}
		for i := range n {
			s := (float64(i) + 0.5) / n * p.long
			w := math.Exp(at(s)-top) * p.long / n
			sum, first = sum+w, first+w*s
		}
		if got, want := p.logMass(), top+math.Log(sum); math.Abs(got-want) > 1e-5 {
			t.Errorf("%v: log mass %g, want %g", p, got, want)
		}
		mean, sq := 0.0, 0.0
		for range n {
			s := p.draw(c.rng)
			mean, sq = mean+s/n, sq+s*s/n
		}
		if sd := math.Sqrt(max(sq-mean*mean, 0) / n); math.Abs(mean-first/sum) > 5*sd+1e-12 {
			t.Errorf("%v: draws have the mean %g ± %g, want %g", p, mean, sd, first/sum)
		}
	}
}
