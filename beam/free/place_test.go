package free

import (
	"math"
	"testing"

	"footwork/beam/casting"
)

// both adds what bending and twist give.
func both(bent, twisted float64) float64 { return bent + twisted }

func TestBetweenIsThePassAlongTheBed(tt *testing.T) {
	b, box := shopBed(4), boxBed(tt, 4)
	b.Sections[0].Warping, b.Sections[0].WarpingShear, b.Sections[0].ShearCentre = 3e-5, 1e-3, 0.05
	box.Sections[0].ShearCentre = 0.05
	for _, b := range []casting.Bed{b, box} {
		g := newGrid(b, 500, nil)
		for j := 0; j < 500; j += 47 {
			l := g.noLoads()
			l.add(g.place(g.x[j]), -1, -0.1)
			c := g.bendUnder(l.force, l.torque, 0)
			for i := 3; i < 500; i += 61 {
				got, want := both(g.Between(g.Spot(g.x[i]), 0.2, g.Spot(g.x[j]), -0.1)), c.w[i]+c.turned(i, 0.2)
				if math.Abs(got-want) > 1e-11*math.Abs(want)+1e-18 {
					tt.Fatalf("%d, %d: %g, want %g", i, j, got, want)
				}
			}
		}
	}
	g := newGrid(b, 500, nil)
	i, q := 150, g.Spot(3.3333)
	for _, t := range []float64{0.2, 0.7} { // straight between the nodes, but for the kink under the force
		p := g.Spot(g.x[i] + t*(g.x[i+1]-g.x[i]))
		for _, q := range []Spot{q, p, g.Spot(g.x[i] + 0.4*(g.x[i+1]-g.x[i]))} {
			kink := 0.0
			if q.cell == i {
				kink = (min(t, q.t) - t*q.t) * (g.shear[i] + (0.1-0.05)*(0.2-0.05)*g.twister.cells[i].soft)
			}
			want := kink + (1-t)*both(g.Between(g.Spot(g.x[i]), 0.1, q, 0.2)) + t*both(g.Between(g.Spot(g.x[i+1]), 0.1, q, 0.2))
			if got := both(g.Between(p, 0.1, q, 0.2)); math.Abs(got-want) > 1e-12*want {
				tt.Errorf("within a cell at %g: %g, want %g", p.x, got, want)
			}
		}
	}
}
