package contact

import (
	"math"
	"slices"
	"testing"
)

// An answer that is spoiled is none: a foot that pulls, one that carries in the air, one sunk
// into its support, forces that do not balance, and what is no number.
func TestSpoiledAnswersAreNone(t *testing.T) {
	points := []Point{{X: 0, Y: -1}, {X: 0, Y: 1}, {X: 2, Y: -1}, {X: 2, Y: 1}, {X: 1, Y: 0}}
	p, n := &Problem{}, len(points)
	h := p.Reset(points)
	for i := range n {
		h[i*n+i] = 1e-9
	}
	load, good := Load{Built: []float64{0, 0, 0, 0, 1e-3}, Resultant: [2][3]float64{{4000, 4000, 0}}}, Answer{}
	if err := p.Solve(load, &good); err != nil || good.On[4] || !p.holds(load, &good) {
		t.Fatalf("%v, %+v", err, good)
	}
	for name, spoil := range map[string]func(a *Answer){
		"pulls":    func(a *Answer) { a.Force = []float64{-500, 2500, 2500, -500, 0} },
		"in air":   func(a *Answer) { a.Gap[0] = 1e-6 },
		"sunk":     func(a *Answer) { a.Gap[4] = -1e-6 },
		"balance":  func(a *Answer) { a.Force[0]++ },
		"no force": func(a *Answer) { a.Force[0] = math.NaN() },
	} {
		bad := good
		bad.Force, bad.Gap = slices.Clone(good.Force), slices.Clone(good.Gap)
		if spoil(&bad); p.holds(load, &bad) {
			t.Errorf("%s: it holds", name)
		}
	}
}
