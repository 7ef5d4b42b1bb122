package cut

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"
)

// So does that of a vee, up and down and sideways: a groove that is worn in its middle, lower
// and aside there, loses along its unworn ends what brings both its flanks down to the worst
// place of either.
func TestDatumOfAVee(t *testing.T) {
	x := stations(41, 4)
	way := Way{X: x, Vee: &casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}, Height: make([]float64, 41), Sideways: make([]float64, 41)}
	for i, at := range x {
		way.Height[i], way.Sideways[i] = 1e-4*at, -2e-4*at
		if at > 1 && at < 3 {
			way.Height[i] -= 5e-6
			way.Sideways[i] += 3e-6
		}
	}
	r := must(t, Task{Ways: []Way{way}, Unworn: []shape.Span{{From: 0, To: 0.8}, {From: 3.2, To: 4}}, Options: scraper})
	// In its middle the flank towards negative offset stands (−5 + 3)/√2 square to it, the other (−5 − 3)/√2.
	for k, want := range [][2]float64{{8, 6}, {8, 0}} {
		near(t, "at the ends", r.Faces[k].Depth[2], want[0]*1e-6/math.Sqrt2, 1e-12)
		near(t, "in the middle", r.Faces[k].Depth[20], want[1]*1e-6/math.Sqrt2, 1e-12)
	}
	near(t, "sink", r.Sink, (8*22+3*19)/41.*1e-6, 1e-12)
}

// Of a vee the programme finds the least volume: by every pair of slopes on a grid and the
// highest lines that they allow, on few stations.
func TestVeeBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	x := stations(5, 2)
	for k := range 12 {
		v := casting.Vee{Flanks: [2]float64{0.5 + 0.5*r.Float64(), 0.5 + 0.5*r.Float64()}, Ridge: k%2 == 0}
		w := Way{X: x, Width: 0.1, Vee: &v, Height: wavy(r, x), Sideways: wavy(r, x)}
		got := 0.0
		for _, f := range must(t, Task{Ways: []Way{w}, Options: scraper}).Faces {
			got += f.Volume
		}
		best, at, wide := math.Inf(1), [2]float64{}, 30e-6
		for range 6 { // ever finer grids about the best so far
			middle := at
			for i := range 41 {
				for j := range 41 {
					try := [2]float64{middle[0] + wide*(float64(i)/20-1), middle[1] + wide*(float64(j)/20-1)}
					if v := leastOf(w, try[0], try[1]); v < best {
						best, at = v, try
					}
				}
			}
			wide /= 6
		}
		if got > best*(1+1e-9) || got < best*0.999 {
			t.Errorf("vee %d: volume %g, by trying %g", k, got, best)
		}
	}
}

// leastOf returns the least volume for slopes given: the plane's height and the line's
// place move the flanks' depths apart and together, and each flank just touches.
func leastOf(w Way, b, e float64) (volume float64) {
	for k := range 2 {
		n := make([]float64, len(w.X))
		for i, x := range w.X {
			n[i] = w.Vee.Square(w.Height[i]-b*x, w.Sideways[i]-e*x)[k]
		}
		lowest := slices.Min(n)
		for i := range n {
			n[i] -= lowest
		}
		volume += w.area(n) * w.width(k)
	}
	return volume
}

// A 90° groove that bows sideways by s is straight about a line through the middle of its
// bow, s/2 to either side; one for one that costs s/2 of height all along, off one flank in
// the middle and off the other at the ends.
func TestSidewaysCostsHeight(t *testing.T) {
	const s = 20e-6
	x := stations(101, 4)
	v := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}
	r := must(t, Task{Ways: []Way{{X: x, Width: 0.1, Vee: &v, Height: make([]float64, 101), Sideways: parabola(x, s)}}, Options: scraper})
	for i := range x { // of equal volume are lines that lean by a hundredth of the bow
		down, _ := v.Sink([2]float64{r.Faces[0].Depth[i], r.Faces[1].Depth[i]})
		near(t, "down", down, s/2, 0.02*s)
	}
	near(t, "zone", r.Zone, s, 1e-10)
	near(t, "sink", r.Sink, s/2, 1e-9)
	for _, f := range r.Faces {
		near(t, "deepest", f.Deepest, s/math.Sqrt2, 0.02*s)
	}
	if r.Faces[0].Depth[50] < 10*r.Faces[1].Depth[50] { // towards positive offset pushes the flank on the other side
		t.Errorf("in the middle %g off the left flank, %g off the right", r.Faces[0].Depth[50], r.Faces[1].Depth[50])
	}
}

// A skim of d square to both flanks of a vee and the flat tied to it: 1.41 of it down.
func TestFlatFollowsVee(t *testing.T) {
	x := stations(41, 4)
	v := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}
	hump := make([]float64, 41)
	hump[20] = 30e-6 // the flat has one high place, the vee bows sideways
	in := Task{Tied: true, Options: scraper, Ways: []Way{{Offset: -0.3, X: x, Width: 0.1, Vee: &v, Height: make([]float64, 41), Sideways: parabola(x, 10e-6)},
		{Offset: 0.3, X: x, Width: 0.1, Height: hump}}}
	r := must(t, in)
	flat := r.Faces[2].Depth
	// The plane may roll about the line of the vee as it sinks: the flat stays where it is but for its hump.
	near(t, "hump", flat[20], 30e-6, 1e-10)
	near(t, "beside it", flat[3], 0, 1e-10)
	in.Ways = append(in.Ways, Way{Offset: 0, X: x, Width: 0.1, Height: make([]float64, 41)})
	r = must(t, in)
	if down := slices.Max(r.Faces[3].Depth); down < 1e-6 {
		t.Errorf("a third way between them is cut by only %g", down)
	}
}

// What a flank of a vee loses is its depth over half the way's width, seen square; the table
// comes down by the mean of its ways.
func TestVolumeAndSinkOfAFlank(t *testing.T) {
	x := stations(81, 4)
	vee := Way{X: x, Height: parabola(x, 6e-6), Width: 0.12, Vee: &casting.Vee{Flanks: [2]float64{math.Pi / 3, math.Pi / 3}}}
	r := must(t, Task{Ways: []Way{vee, {X: x, Height: make([]float64, 81), Width: 0.1}}, Options: scraper})
	area := 2. / 3 * 6e-6 * 4 // of the parabola, upwards; square to a flank of 60° half of it
	near(t, "volume", r.Faces[0].Volume, area/2*0.06/0.5, 1e-3*area)
	near(t, "sink", r.Sink, area/4/2*80/81, 1e-3*area) // the mean over its stations
}

// Of tied ways that lean against one another the wider is spared; of a hollow vee the line
// runs along the longer of its sides.
func TestLeastVolumeOfAVee(t *testing.T) {
	right := &casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}
	x := stations(5, 4)
	var rise, fall []float64
	for _, at := range x {
		rise, fall = append(rise, 2e-6*at), append(fall, -2e-6*at)
	}
	r := must(t, Task{Tied: true, Ways: []Way{{Offset: -0.3, X: x, Height: rise, Width: 0.1, Vee: right}, {Offset: 0.3, X: x, Height: fall, Width: 0.2}}, Options: scraper})
	near(t, "the flat", r.Faces[2].Deepest, 0, 1e-12)
	near(t, "a flank", r.Faces[0].Deepest, 16e-6/math.Sqrt2, 1e-12)
	f := must(t, Task{Ways: []Way{{X: []float64{0, 2.2, 4}, Height: []float64{0, -5e-6, 0}, Width: 0.1, Vee: right}}, Options: scraper}).Faces[0]
	near(t, "on the longer side", f.Depth[0], 0, 1e-12)
	near(t, "on the shorter", f.Depth[2], 5e-6*4/2.2/math.Sqrt2, 1e-12)
}

// The first flank is the one towards negative offset: of a groove that lies aside towards
// positive offset in its middle the ends of the one are cut and the middle of the other.
func TestWhichFlank(t *testing.T) {
	x := stations(21, 4)
	for _, ridge := range []bool{false, true} {
		v := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}, Ridge: ridge}
		for _, f := range must(t, Task{Ways: []Way{{Vee: &v, X: x, Width: 0.1, Height: make([]float64, 21), Sideways: parabola(x, 10e-6)}}, Options: scraper}).Faces {
			middle := f.Depth[10] > f.Depth[0]
			if middle != ((f.Flank == 1) != ridge) {
				t.Errorf("ridge %v, flank %d: %g at the end, %g in the middle", ridge, f.Flank, f.Depth[0], f.Depth[10])
			}
		}
	}
}

// Two vees whose distance is known end parallel sideways: of two straight lines that part,
// each alone costs nothing, together half of what they part by at each end.
func TestParallelVees(t *testing.T) {
	const part, long, width = 20e-6, 4.0, 0.1
	x := stations(21, long)
	v := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}
	aside := make([]float64, len(x))
	for i := range x {
		aside[i] = part * x[i] / long
	}
	flat := make([]float64, len(x))
	in := Task{Ways: []Way{{Vee: &v, X: x, Width: width, Height: flat, Sideways: flat}, {Vee: &v, X: x, Width: width, Height: flat, Sideways: aside}}, Options: scraper}
	sum := func() (volume float64) {
		for _, f := range must(t, in).Faces {
			volume += f.Volume
		}
		return volume
	}
	near(t, "each by itself", sum(), 0, 1e-15)
	in.Parallel = true
	// A way turned by φ loses φ·|x − middle|·sin 45° on either flank by turns, and both flanks
	// as much again of height: the least of all turns that add up to the part.
	best := math.Inf(1)
	for turn := 0.0; turn <= part; turn += part / 200 {
		volume := 0.0
		for k, w := range in.Ways {
			e := []float64{turn / long, (turn - part) / long}[k] // what is left to turn by
			volume += leastOf(Way{X: x, Vee: w.Vee, Width: width, Height: flat, Sideways: flat}, 0, e)
		}
		best = min(best, volume)
	}
	near(t, "together", sum(), best, 1e-3*best)
}
