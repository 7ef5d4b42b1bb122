package survey

import (
	"math"
	"testing"

	"footwork/beam"
)

// TestSlopesAreDerivatives holds J and the curvature's gradient against central
// differences, with a foot in the air and feet felt.
func TestSlopesAreDerivatives(t *testing.T) {
	w := newWorld(t, 4, 1)
	in := w.input()
	w.survey(t, &in, "2026-03-02")
	gap := 20e-6
	in.Moves = []Move{{Date: "2026-03-03", Standing: "floor", Foot: "F2", Raise: 5e-6}}
	in.Felt = []Felt{{Date: "2026-03-02", Standing: "floor", Foot: "B3", Gap: &gap}, {Date: "2026-03-02", Standing: "floor", Foot: "B2", State: "loose"}}
	w.survey(t, &in, "2026-03-04")
	m, err := newModel(in)
	if err != nil {
		t.Fatal(err)
	}
	gs := m.marginals()
	p := m.newPoint()
	p.kern = 13
	m.evaluate(p, gs)
	m.climb(p, gs, 6)
	p.u[m.bed] += 0.2
	p.u[m.bed+1] -= 0.3
	for i, u := range m.heights[0] { // clear of a change of contact
		p.u[u] += 0.02 * float64(i%3)
	}
	m.evaluate(p, gs)
	if p.hanging(m) == 0 {
		t.Fatal("no foot hangs: the test says nothing")
	}
	tangent := m.curvature(p, &gs[p.kern])
	for u := range p.u {
		const h = 1e-6
		at := func(d float64) *point {
			q := m.newPoint()
			q.kern = p.kern
			copy(q.u, p.u)
			q.u[u] += d
			m.evaluate(q, gs)
			return q
		}
		hi, lo := at(h), at(-h)
		for i := range p.phi {
			want := (hi.phi[i] - lo.phi[i]) / (2 * h)
			if got := tangent.j[u][i]; math.Abs(got-want) > 1e-5*(math.Abs(want)+math.Abs(p.phi[i])+1e-3) {
				t.Errorf("feature %d to %s: %g, by differences %g", i, m.name[u], got, want)
			}
		}
		if want, got := (hi.log-lo.log)/(2*h), tangent.grad[u]; math.Abs(got-want) > 1e-3*(math.Abs(want)+1) {
			t.Errorf("density to %s: %g, by differences %g", m.name[u], got, want)
		}
	}
}

// TestStandAgreesWithBeam holds the small contact solver against the beam's own.
func TestStandAgreesWithBeam(t *testing.T) {
	for seed := range uint64(30) {
		w := newWorld(t, 3+int(seed%3), seed)
		s := newStand(w.solver, beam.Case{})
		var p pose
		if !s.solve(w.stiff, w.give, w.truth.Heights, *w.truth.Gradient, &p) {
			t.Fatalf("bed %d did not settle", seed)
		}
		st, err := w.solver.Solve(w.truth)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range st.Feet() {
			if math.Abs(f.Load-p.force[i]) > 1e-6*st.Weight() || math.Abs(f.Gap-p.gap[i]) > 1e-11 {
				t.Errorf("bed %d %s: load %g gap %g, the beam has %g %g", seed, f.Name, p.force[i], p.gap[i], f.Load, f.Gap)
			}
		}
	}
}
