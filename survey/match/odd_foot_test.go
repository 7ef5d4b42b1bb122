package match

import (
	"os"
	"slices"
	"testing"
)

// oddFoot matches a bed of which one foot is times as stiff as the others, once it and the one before it have been moved,
// and returns which feet are named.
func oddFoot(t *testing.T, seed uint64, times float64) (odd int, named []int) {
	h, _ := invent(t, seed, hollow)
	h.draw.Bending, h.draw.Twist = 1, 1
	for i := range h.draw.Feet {
		h.draw.Feet[i], h.draw.Heights[i] = 1, 0
	}
	odd = 1 + h.rng.IntN(len(h.draw.Feet)-1)
	h.draw.Feet[odd] = times
	h.moveErr, h.noise = 0.2e-6, 0.3*arcsec
	in := h.input()
	in.Sweeps = 200
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
		if f.Softer > 0.95 || f.Softer < 0.05 {
			named = append(named, i)
		}
	}
	return odd, named
}

// A foot half as stiff as the others is named in every second bed once it and another have been moved (one twice as
// stiff gives too little less to show), and where all are alike, or beside it, no other is.
func TestOddFootIsNamed(t *testing.T) {
	if os.Getenv("FOOTWORK_TRIAL") != "feet" {
		t.Skip("two minutes of processor time: FOOTWORK_TRIAL=feet")
	}
	for _, times := range []float64{0.5, 2, 1} {
		right, wrong, beds := 0, 0, uint64(20)
		for seed := range beds {
			odd, named := oddFoot(t, seed, times)
			for _, f := range named {
				if f == odd && times != 1 {
					right++
				} else {
					wrong++
				}
			}
		}
		t.Logf("%g times as stiff: named in %d of %d, %d others", times, right, beds, wrong)
		if times < 1 && right < int(beds)/3 || wrong > int(beds)/10 {
			t.Errorf("%g times as stiff: named in %d of %d, %d others", times, right, beds, wrong)
		}
	}
}
