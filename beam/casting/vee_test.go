package casting

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func rad(degrees float64) float64 { return degrees * math.Pi / 180 }

// Down and sideways for unequal flanks, by plane geometry: a rider of two points rests on
// two lines; each line is moved square to itself and the rider follows.
func TestVeeByGeometry(t *testing.T) {
	for _, c := range []struct{ a, b, both, aside, shallow, shallowAside float64 }{
		{45, 45, 1.41, 0, 0.71, 0.71}, {35, 35, 1.22, 0, 0.61, 0.87}, {30, 30, 1.16, 0, 0.58, 1.00}, {55, 55, 1.74, 0, 0.87, 0.61},
		{25, 65, 1.33, 0.48, 0.91, 0.42}, {20, 70, 1.28, 0.60, 0.94, 0.34},
	} {
		v := Vee{Flanks: [2]float64{rad(c.a), rad(c.b)}}
		down, aside := v.Sink([2]float64{1, 1})
		if math.Abs(down-c.both) > 0.0075 || math.Abs(math.Abs(aside)-c.aside) > 0.0075 {
			t.Errorf("%g/%g: both flanks 1: %.3f down, %.3f aside", c.a, c.b, down, aside)
		}
		down, aside = v.Sink([2]float64{1, 0})
		if math.Abs(down-c.shallow) > 0.0075 || math.Abs(math.Abs(aside)-c.shallowAside) > 0.0075 {
			t.Errorf("%g/%g: first flank 1: %.3f down, %.3f aside", c.a, c.b, down, aside)
		}
	}
}

// Into the metal of a groove's flank towards negative offset a rider sinks towards negative
// offset; off a ridge's it slides the other way.
func TestVeeSide(t *testing.T) {
	v := Vee{Flanks: [2]float64{rad(45), rad(45)}}
	if _, aside := v.Sink([2]float64{1, 0}); aside >= 0 {
		t.Errorf("groove: %g aside", aside)
	}
	v.Ridge = true
	if _, aside := v.Sink([2]float64{1, 0}); aside <= 0 {
		t.Errorf("ridge: %g aside", aside)
	}
}

// A rider whose two points touch the lines of both flanks stays on them whatever is taken.
func TestVeeKeepsTouching(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(0.1, 1.4)
		v := Vee{Flanks: [2]float64{angle.Draw(t, "a"), angle.Draw(t, "b")}, Ridge: rapid.Bool().Draw(t, "ridge")}
		n := [2]float64{rapid.Float64Range(-1, 1).Draw(t, "n1"), rapid.Float64Range(-1, 1).Draw(t, "n2")}
		up, aside := v.ride(n)
		back := v.Square(up, aside)
		for k := range n {
			if math.Abs(back[k]-n[k]) > 1e-12 {
				t.Fatalf("flank %d: %g, moved back %g", k, n[k], back[k])
			}
		}
		// The foot of flank k lies at (∓1, h); its line runs through it at the slope.
		for k, side := range []float64{-1, 1} {
			rise := side * math.Tan(v.Flanks[k]) // of a groove, towards positive offset
			if v.Ridge {
				rise = -rise
			}
			long := math.Hypot(1, rise)
			off := (up - rise*aside) / long // of the rider's point from the line before it moved
			if math.Abs(off-n[k]) > 1e-12 {
				t.Fatalf("flank %d was moved by %g, the rider's point by %g", k, n[k], off)
			}
		}
	})
}

// A gauge pulled against one flank of each of two vees shows, by plane geometry, the level of
// these flanks; both pulls together tell how far apart the vees are, whatever their heights.
func TestVeesApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle, place := rapid.Float64Range(0.1, 1.4), rapid.Float64Range(-1e-4, 1e-4)
		v := Vee{Flanks: [2]float64{angle.Draw(t, "a"), angle.Draw(t, "b")}, Ridge: rapid.Bool().Draw(t, "ridge")}
		const across = 0.6
		var up, aside [2]float64
		for k := range up {
			up[k], aside[k] = place.Draw(t, "up"), place.Draw(t, "aside")
		}
		reads := func(flank int) float64 { // of the heights of that flank over a fixed offset
			var h [2]float64
			for k := range h {
				h[k] = v.Square(up[k], aside[k])[flank] / math.Cos(v.Flanks[flank])
			}
			return (h[1] - h[0]) / across
		}
		negative, positive := reads(0), reads(1) // of a groove: the flank on that side
		if v.Ridge {
			negative, positive = positive, negative
		}
		if got, want := v.Apart(negative, positive, across), aside[1]-aside[0]; math.Abs(got-want) > 1e-12 {
			t.Fatalf("%g apart, told %g", want, got)
		}
	})
}
