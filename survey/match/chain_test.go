package match

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// example is a bed with two surveys, a move between them, and feet felt in every manner.
func example(t testing.TB, felt bool) *model {
	h, _ := invent(t, 3, hollow)
	in := h.input()
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, nil, Heat{0, 0.5})
	up := append([]float64(nil), h.draw.Heights...)
	up[2] += 30e-6
	h.survey(t, &in, hiddenEpoch{0, up, 0.3}, []Move{{Foot: 2, Raise: 29e-6}}, Heat{0.3, 0.1})
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
	c.toMode(40)
	places, turned, both := 0, 0, 0
	for k := range 3 * m.linear {
		p := path{dz: make([]float64, len(c.z))}
		p.dz[k%m.linear] = 1
		p.dz[(k+3)%m.linear] = -0.5
		if k >= m.linear && k-m.linear < len(m.hinges) {
			h := m.hinges[k-m.linear]
			p.hinges = []pivot{{h.height, c.stands[h.at[0].state], h.at[0].point}}
		}
		if i := k - 2*m.linear; i >= 0 && i < len(m.hinges) {
			h := m.hinges[i]
			p.hinges, p.together = []pivot{{h.height, c.stands[h.at[0].state], h.at[0].point}, c.beside(h.at[0])}, true
			p.dz[h.height], p.dz[p.hinges[1].height] = -5, -5
		}
		is := c.evaluate(c.z)
		for _, sign := range []float64{1, -1} {
			c.pieces = c.pieces[:0]
			c.setOut(&p)
			c.walk(&p, sign, 6)
			if len(c.pieces) > 1 {
				places++
			}
			at, room := heading{}, 6.0
			for _, v := range c.pieces {
				if math.Abs(v.from.along-at.along)+math.Abs(v.from.alone[0]-at.alone[0])+math.Abs(v.from.alone[1]-at.alone[1]) > 1e-9 {
					t.Fatalf("path %d: a piece begins at %v, the one before ends at %v", k, v.from, at)
				}
				at, room = at.after(v.long, v.rate), room-v.long
				if v.rate.along == 0 {
					if turned++; v.rate.alone[1] != 0 {
						both++
					}
				}
				for _, s := range []float64{0.1, 0.9} {
					s *= v.long
					z := make([]float64, len(c.z))
					p.to(v.from.after(s, v.rate), z)
					floats.Add(z, c.z)
					want, got := c.evaluate(z)-is, v.at(s)-c.pieces[0].log
					if math.Abs(got-want) > 1e-5*(1+math.Abs(want)) {
						t.Errorf("path %d at %v: log density %g, want %g", k, at, got, want)
					}
				}
				c.evaluate(c.z)
			}
		}
	}
	if places < 5 || turned < 5 || both < 5 {
		t.Errorf("only %d paths change the contact, %d turn, %d of them two feet together", places, turned, both)
	}
}

// TestTangent holds gradient and curvature against differences of the density.
func TestTangent(t *testing.T) {
	m := example(t, true)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(10)
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
	for _, p := range []piece{{long: 1, log: 0.3, slope: 0.5, curve: 2}, {long: 3, log: 0, slope: 8, curve: 4}, {long: 2, log: -1, slope: -9, curve: 3}, {long: 0.01, log: 0, slope: 900, curve: 5}, {long: 5, log: 0, slope: -60, curve: 9}, {long: 1, log: 0, slope: -300, curve: 2}, {long: 1e-6, log: 2, slope: 1, curve: 1}} {
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

// A bed whose weight lies over its middle pair turns on it as it likes while both ends hang: paths pass through, and the
// work is no more than that of a bed that lies fast.
func TestOverOnePair(t *testing.T) {
	sweeps := func(length, middle float64) (*chain, float64) {
		h := &hidden{bed: plateBed(length, length/2), rng: rand.New(rand.NewPCG(3, 3)), noise: 0.3 * arcsec, draw: beam.Draw{Heights: make([]float64, 6)}}
		s := beam.Standing{Name: "floor"}
		for i := range 6 {
			s.Feet = append(s.Feet, beam.Foot{Name: fmt.Sprint(i), At: length * (0.1 + 0.4*float64(i/2)), Offset: float64(i%2*2-1) * 0.24, Stiffness: 6e9})
		}
		h.addStanding(t, s)
		h.draw.Heights[2], h.draw.Heights[3] = middle, middle
		for i := range 10 {
			h.x = append(h.x, length*(0.05+0.1*float64(i)))
		}
		h.form, _ = forms(hollow, length, h.rng)
		in := h.input()
		in.Standings[0].HeightSD = 20e-6
		for f := range s.Feet {
			in.Standings[0].Feet[f].Height = h.draw.Heights[f]
		}
		h.survey(t, &in, hiddenEpoch{heights: h.draw.Heights}, nil, Heat{SD: 0.5})
		m, err := newModel(in, nil)
		if err != nil {
			t.Fatal(err)
		}
		c := m.newChain(m.sumUp(m.blocks), 1, 0)
		c.anneal()
		c.warm()
		return c, c.work()
	}
	for _, length := range []float64{1.3, 1.7, 2.3, 3.1} { // what rounding makes of no force hangs on it
		c, turning := sweeps(length, 2e-3)
		force := c.stands[0].at.Force
		if on := force[2] + force[3]; math.Abs(on-floats.Sum(force)) > 1e-6*on {
			t.Errorf("%g m: %g of %g N over the middle", length, on, floats.Sum(force))
		}
		if _, fast := sweeps(length, 0); turning > 2*fast {
			t.Errorf("%g m: %.3g of work, of a bed that lies fast %.3g", length, turning, fast)
		}
	}
}

// A chain that annealing leaves where another foot hangs, thousands of log density lower, begins where the others are; one
// that lies where a thousandth of the posterior is stays.
func TestCaught(t *testing.T) {
	_, in, _ := hide(t, 5, step, twice)
	m, err := newModel(in, nil)
	if err != nil {
		t.Fatal(err)
	}
	all, err := m.begin(m.sums)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range all {
		if log := c.evaluate(c.z); math.Abs(log-all[0].evaluate(all[0].z)) > 30 {
			t.Errorf("chain %d begins at a log density of %.0f, the first at %.0f", i, log, all[0].log)
		}
	}
	was := slices.Clone(all[1].z)
	if free(all[:], []float64{0, -7, -1, 0}); !slices.Equal(was, all[1].z) {
		t.Error("a chain of a thousandth was begun again")
	}
}

// Where no contact holds the chain stays where it is.
func TestNoContactIsNoMove(t *testing.T) {
	m := example(t, true)
	c := m.newChain(m.sums, 1, 0)
	c.toMode(40)
	z := slices.Clone(c.z)
	if slice(c.rng, 0, math.Inf(-1), 1, func(x float64) float64 { z[0] = x; return 0 }); z[0] != 0 {
		t.Errorf("from nowhere a slice goes to %g", z[0])
	}
}

// A foot that was set anew stands where that says, whatever it did before; it hinges on that
// height, and may give while the bed stays in the first state since.
func TestSetAnew(t *testing.T) {
	h, _ := invent(t, 3, hollow)
	in := h.input()
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, nil, Heat{0, 0.5})
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, []Move{{Foot: 1, Raise: 20e-6}}, Heat{0, 0.5})
	var anew []Move
	for f := range h.stand[0].Feet {
		anew = append(anew, Move{Foot: f, Anew: true})
	}
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, anew, Heat{0, 0.5})
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.2}, []Move{{Foot: 1, Raise: -5e-6}}, Heat{0, 0.5})
	m, err := newModel(in, nil)
	if err != nil {
		t.Fatal(err)
	}
	const foot = 1
	first, set := m.home[0][foot], m.settings[len(m.heights)+foot]
	z := make([]float64, len(m.mean))
	z[first], z[set] = 1, 2
	for k, want := range []float64{heightSD, heightSD + 20e-6, 2 * heightSD, 2*heightSD - 5e-6} {
		if got := m.heightOf(z, m.states[k], foot); math.Abs(got-want) > 1e-12 {
			t.Errorf("survey %d: foot at %g, want %g", k+1, got, want)
		}
	}
	for k, own := range []int{first, first, set, set} {
		var on []int
		for _, g := range m.hinges {
			if slices.Contains(g.at, place{k, m.states[k].under[foot][0]}) {
				on = append(on, g.height)
			}
		}
		if !slices.Equal(on, []int{own}) {
			t.Errorf("in survey %d the foot hinges on %v, not %d", k+1, on, own)
		}
	}
	if !slices.Equal(m.pivots, []int{0, 2}) {
		t.Errorf("pivots %v", m.pivots)
	}
}
