package contact

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// The way a body falls and how far its weight acts beyond its points, over an edge and over
// a corner, wherever the axes stand: distances by hand, of a right triangle with legs of 3
// and 4 and another body's point that has no say.
func TestTipOverEdgeAndCorner(t *testing.T) {
	for _, c := range []struct{ x, y, fallX, fallY, over float64 }{
		{2, -0.5, 0, -1, 0.5},
		{-1, 1, -1, 0, 1},
		{1.5 + 0.8, 2 + 0.6, 0.8, 0.6, 1}, // square to the long side from its middle
		{-3, -4, -0.6, -0.8, 5},
		{6, 0, 1, 0, 3},
	} {
		for _, shift := range []float64{0, 7} {
			p := &Problem{}
			h := p.Reset([]Point{{X: shift, Y: shift}, {X: 3 + shift, Y: shift}, {X: shift, Y: 4 + shift},
				{X: c.x + shift, Y: c.y + shift, Body: 1}, {X: c.x + 1 + shift, Y: c.y + shift, Body: 1}, {X: c.x + shift, Y: c.y + 1 + shift, Body: 1}})
			for i := range 6 {
				h[i*7] = 1e-9
			}
			err := p.Solve(Load{Built: make([]float64, 6), Resultant: [2][3]float64{{1000, 1000 * (c.x + shift), 1000 * (c.y + shift)}, {1, c.x + shift + 0.2, c.y + shift + 0.2}}}, &Answer{})
			var tip *Tip
			if !errors.As(err, &tip) {
				t.Fatalf("at %g, %g: %v", c.x, c.y, err)
			}
			if tip.Body != 0 || math.Abs(tip.Over-c.over)+math.Abs(tip.X-c.fallX)+math.Abs(tip.Y-c.fallY) > 1e-9 {
				t.Errorf("at %g, %g it falls %+v, not %g m to %g, %g", c.x, c.y, *tip, c.over, c.fallX, c.fallY)
			}
		}
	}
}

// Where the axes stand changes no force and no gap.
func TestAxesMayStandAnywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 100 {
		a := draw(r, 8, 1, true)
		var here, there Answer
		if a.problem().Solve(a.load, &here) != nil {
			continue
		}
		const x, y = 13, -5
		b := a
		b.points = append([]Point(nil), a.points...)
		for i := range b.points {
			b.points[i].X += x
			b.points[i].Y += y
		}
		w := a.load.Resultant[0]
		b.load.Resultant[0] = [3]float64{w[0], w[1] + x*w[0], w[2] + y*w[0]}
		if err := b.problem().Solve(b.load, &there); err != nil {
			t.Fatal(err)
		}
		b.mustHold(t, there)
		for i := range here.Gap {
			if math.Abs(here.Gap[i]-there.Gap[i]) > 1e-10 {
				t.Fatalf("point %d: a gap of %g m here, of %g m there", i, here.Gap[i], there.Gap[i])
			}
		}
	}
}
