package place

import (
	"math"
	"math/rand/v2"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
)

// Where feet may stand in two zones apart, a coarse grid gets how many stand in each of them wrong: no share of the posts,
// spread evenly in both and refined from there, is better by a fiftieth than what the search comes to. Without moves from
// zone to zone these end an eighth to two fifths worse; the third wants both zones spread evenly, the fourth a post put into a gap.
func TestPostsMoveFromZoneToZone(t *testing.T) {
	for _, c := range []struct {
		long    float64
		posts   int
		zones   []shape.Span
		apart   float64
		weights []casting.Weight
		table   *ride.Table
	}{
		{10.955, 6, []shape.Span{{From: 0.329, To: 3.253}, {From: 4.847, To: 10.626}}, 0.6, nil, &ride.Table{Length: 5.93, Weight: 11136, Tool: 5.44}},
		{5.54, 5, []shape.Span{{From: 0.166, To: 1.336}, {From: 2.671, To: 5.374}}, 0.21, []casting.Weight{{At: 5.162, Force: 4656}, {At: 0.428, Force: 7088}}, nil},
		{9.919, 8, []shape.Span{{From: 0.298, To: 3.23}, {From: 6.236, To: 9.621}}, 0.438, []casting.Weight{{At: 9.302, Force: 2598}, {At: 5.267, Force: 422}}, nil},
		{7.802, 7, []shape.Span{{From: 0.234, To: 4.602}, {From: 5.777, To: 7.568}}, 0.311, []casting.Weight{{At: 3.013, Force: 4304}, {At: 1.105, Force: 7949}}, nil},
	} {
		s := Task{Loading: Loading{Bed: shop(c.long), Table: c.table}, Stiffness: 9e8, Options: Options{Offsets: []float64{-0.24, 0.24}, Zones: c.zones, Apart: c.apart}}
		s.Bed.Weights = c.weights
		s.fill()
		lc, err := newLoadCases(s.Loading, fewStations, s.Tables)
		if err != nil {
			t.Fatal(err)
		}
		got := s.place(lc, lc, pattern{c.posts, 0}, func() {}).Zone
		r, want := descent{lc: lc, on: lc.arrange(nil), options: s.Options, stiff: s.Stiffness}, math.Inf(1)
		for n := range c.posts + 1 {
			if x := append(even(c.zones[0], n), even(c.zones[1], c.posts-n)...); r.apart(x) {
				want = min(want, r.run(x, singly(c.posts, false), 0.2, 1e-4).zone)
			}
		}
		if got > 1.02*want {
			t.Errorf("%d posts on a bed of %g m: %g m, and %g with other shares", c.posts, c.long, got, want)
		}
	}
}

// A post that is moved to another zone stands there, apart from the others and from what is kept, and there are as many as before.
func TestMovedPostsStandWhereTheyMay(t *testing.T) {
	o := Options{Offsets: []float64{-0.2, 0.2}, Apart: 0.3, Keep: []beam.Foot{{At: 3}},
		Zones: []shape.Span{{From: 2.5, To: 3.6}, {From: 0.1, To: 1}, {From: 1.6, To: 1.6}}} // as they may be written
	lc, err := newLoadCases(Loading{Bed: shop(3.9)}, fewStations, 0)
	if err != nil {
		t.Fatal(err)
	}
	r, draw, seen := descent{lc: lc, options: o}, rand.New(rand.NewPCG(4, 4)), 0
	for range 200 {
		x := []float64{0.1 + 0.3*draw.Float64(), 0.7 + 0.3*draw.Float64(), 3.3 + 0.3*draw.Float64()}
		for _, moved := range r.moved(x) {
			seen++
			apart := r.apart(moved)
			for _, at := range moved {
				apart = apart && math.Abs(at-3) >= 0.3-1e-9
				if zoneOf(o.Zones, at) < 0 {
					t.Fatalf("a post at %g m, in no zone", at)
				}
			}
			if !apart || len(moved) != len(x) {
				t.Fatalf("from %.3f to %.3f", x, moved)
			}
		}
	}
	if seen == 0 {
		t.Error("none is moved")
	}
}
