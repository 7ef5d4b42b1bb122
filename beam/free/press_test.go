package free

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The sums tell the same as the pass along the bed, for any load and place.
func TestDeflectionIsThePassAlongTheBed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := shopBed(rapid.Float64Range(1, 8).Draw(t, "length"))
		thick := b.Sections[0]
		b.Sections[0].To /= 3
		b.Sections[0].Warping, b.Sections[0].WarpingShear, b.Sections[0].ShearCentre = 3e-5, 1e-3, 0.05
		thick.From, thick.Inertia, thick.ShearArea, thick.Torsion, thick.Warping = b.Sections[0].To, 2*thick.Inertia, 1.5*thick.ShearArea, 3*thick.Torsion, 1e-5
		b.Sections = append(b.Sections, thick)
		g := newGrid(b, 2000, nil)
		lo := rapid.Float64Range(0, 0.9).Draw(t, "from") * b.Length
		q := Line{From: lo, To: lo + rapid.Float64Range(0.01, 1).Draw(t, "long")*(b.Length-lo), Offset: 0.3,
			Start: rapid.Float64Range(0, 5e3).Draw(t, "start"), End: rapid.Float64Range(1, 5e3).Draw(t, "end")}
		l := g.noLoads()
		l.addLine(g, q)
		c := g.bendUnder(l.force, l.torque, 0)
		most := math.Abs(c.w[len(c.w)-1]) + math.Abs(c.phi[len(c.w)-1])
		cells := (q.To - q.From) * 2000 / b.Length
		for _, i := range []int{0, 1, len(g.x) / 3, 2 * len(g.x) / 3, len(g.x) - 1} {
			got, want := turnedUnder(g, q, i, -0.2)-g.deflect(g.place(g.x[i]), g.press(q)), c.w[i]+c.turned(i, -0.2)
			if math.Abs(got-want) > most/(cells*cells) { // both are of second order
				t.Fatalf("at %g m: %g, by the pass %g", g.x[i], got, want)
			}
		}
	})
}

// turnedUnder returns the height by twist under a line at a node.
func turnedUnder(g *Bed, q Line, node int, y float64) float64 {
	return g.turn([]pressed{g.press(q)}).turned(node, y)
}

// turned returns the height by twist at a node, offset y.
func (c curves) turned(node int, y float64) float64 { return y*c.phi[node] - c.side[node] }
