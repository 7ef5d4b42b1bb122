package match

import (
	"os"
	"slices"
	"testing"
)

// A foot half as stiff as the others shows once it and another have been moved: it is named, and no other is.
func TestOddFootIsNamed(t *testing.T) {
	if os.Getenv("FOOTWORK_TRIAL") == "" {
		t.Skip("ten seconds of match: FOOTWORK_TRIAL=feet")
	}
	h, _ := invent(t, 3, hollow)
	h.draw.Bending, h.draw.Twist = 1, 1
	for i := range h.draw.Feet {
		h.draw.Feet[i], h.draw.Heights[i] = 1, 0
	}
	const odd = 2
	h.draw.Feet[odd] = 0.5
	h.moveErr, h.noise = 0.2e-6, 0.3*arcsec
	in := h.input()
	known := Heat{SD: 0.03}
	h.survey(t, &in, hiddenEpoch{heights: slices.Clone(h.draw.Heights)}, nil, known)
	at := slices.Clone(h.draw.Heights)
	for _, f := range []int{odd, odd - 1} {
		at = slices.Clone(at)
		at[f] += 60e-6
		h.survey(t, &in, hiddenEpoch{heights: at}, []Move{{Foot: f, Raise: 60e-6, SD: h.moveErr}}, known)
	}
	r, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range r.Foot {
		t.Logf("foot %d: %.2f (%.2f to %.2f), softer %.3f, in all %.2f", i, f.Own.Value, f.Own.Low, f.Own.High, f.Softer, f.Factor.Value)
		if named := f.Softer > 0.95 || f.Softer < 0.05; named != (i == odd) {
			t.Errorf("foot %d: named %v", i, named)
		}
	}
}
