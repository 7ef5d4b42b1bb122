package section

import (
	"math"
	"slices"
)

// Give returns how much a casting yields over a foot beneath it, m/N; 0 where no plate stands over the foot.
// The wall that the plate over it belongs to yields as wallGive says, and where the foot stands beside that wall
// the plate bends and turns the wall's lower edge, less where square ribs stand over the pad. A pad that is not
// known (0) is as long as the flange is wide, two to four walls. The wall's shear takes the force up over a length; two
// halves of it spread, m, left and right of the foot do as much.
func (plates Plates) Give(offset, pad, e float64, over []Rib) (give, spread float64) {
	base, ok := lowest(plates, offset)
	if !ok {
		return 0, 0
	}
	walls := plates.Walls()
	near, far := nearest(walls, offset, base.over), math.Inf(1) // far: to where the plate is held again
	if math.IsInf(near, 0) {
		near = offset
	}
	wall := thinnest(plates, near)
	if pad == 0 {
		under, _ := lowest(plates, near)
		pad = min(max(under.Width, 2*wall), 4*wall)
	}
	give, spread = wallGive(plates.Wall(near), pad, e)
	out := math.Abs(offset - near)
	ribbed := slices.ContainsFunc(over, func(r Rib) bool {
		ends, _ := r.Ends(plates)
		return ends[0]-1e-3 <= near && near <= ends[1]+1e-3
	})
	next := nearest(walls, offset, func(y float64) bool { return (y-near)*(offset-near) > 0 })
	if inward := !math.IsInf(next, 0); out < same || inward && ribbed {
		return give, spread
	}
	if base.over(next) {
		far = math.Abs(next-offset) - wall/2
	}
	return give + base.aside(out, wall, far, pad, e, ribbed), spread
}

// nearest returns the wall nearest to an offset of those that count; +Inf without.
func nearest(walls []float64, offset float64, counts func(float64) bool) float64 {
	near := math.Inf(1)
	for _, y := range walls {
		if counts(y) && math.Abs(y-offset) < math.Abs(near-offset) {
			near = y
		}
	}
	return near
}

// aside returns how much more a plate f thick yields under a foot beside its wall, m/N: bent from the wall's face, over
// a width of the pad and as much again on both sides as it reaches out; and the wall's edge turns by
// 1/E(ft)^1.5 a moment, seven tenths of it under a rib (from solids with flanges of 20 and 30 mm, walls of 25 and 40 mm, feet 30
// and 70 mm out, heights of 0.36 and 0.6 m: right within 15 %, and neither height nor width of the pad matter).
func (p Plate) aside(out, wall, far, pad, e float64, ribbed bool) float64 {
	arm := max(0, out-wall/2)
	share := 1 / (1 + arm/far) // of two walls that hold it
	bent := 4 * math.Pow(arm*share, 3) / (e * (pad + 2*arm) * math.Pow(p.Height, 3))
	turned := math.Pow(out*share, 2) / (e * math.Pow(p.Height*wall, 1.5))
	if ribbed {
		turned *= 0.7
	}
	return bent + turned
}

// lowest returns the plate over an offset that reaches down farthest.
func lowest(plates Plates, offset float64) (base Plate, ok bool) {
	for _, p := range plates {
		if p.over(offset) && (!ok || p.Bottom < base.Bottom) {
			base, ok = p, true
		}
	}
	return base, ok
}

// wallGive returns what a wall of thickness t and height H yields over a flange of thickness f and a pad of length p, through
// which the force spreads by half right angles, ln(1 + 2H/b₀)/2Et with b₀ = p + 2f. At half of the height it has b₀ + H,
// and spread are the two points of Gauss of that length. A wall thicker than the pad works with the pad's width.
func wallGive(wall []Plate, pad, e float64) (give, spread float64) {
	low, top := span(wall)
	thin, first := math.Inf(1), pad
	for _, p := range wall {
		thin = min(thin, p.Width)
		if p.Bottom < low+same && p.Height < p.Width && p.Bottom+p.Height < top-same {
			first = max(first, pad+2*p.Height)
		}
	}
	high := top - low
	return math.Log(1+2*high/first) / (2 * e * min(thin, pad)), (first + high) / (2 * math.Sqrt(3))
}

// Compression returns how far a line load presses a way into the wall beneath it, m²/N: H/2Et of a wall that hangs in its
// own shear, which takes the load up evenly; 0 where there is no wall.
func (plates Plates) Compression(offset, e float64) float64 {
	near := nearest(plates.Walls(), offset, func(y float64) bool {
		return slices.ContainsFunc(plates, func(p Plate) bool { return p.over(y) && p.over(offset) })
	})
	if math.IsInf(near, 0) {
		return 0
	}
	lo, hi := span(plates.Wall(near))
	return (hi - lo) / (2 * e * thinnest(plates, near))
}
