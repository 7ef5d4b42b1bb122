package section

import (
	"math"
	"slices"
)

// firm is how far beside a flange or way a rib is still held at its edge instead of at the wall's face, in
// the overhang of that plate: of ten solids of open beds, flanges from none to twice the usual width, walls of
// 0.2 to 0.6 m high and 0.3 to 0.7 m apart, J is then right within 16 % (TestSquareRibsOfSolids).
const firm = 0.7

// Square returns what one rib square to the bed does against twist, K of the energy ½Kφ′², N·m³:
// over a length L with n of them GJ grows by K·n/L. Walls stay square to a bed that twists, so they turn a rib's
// edges by 2(z−z₀)φ′ against its chord and bend it like the rungs of a frame, 12EI/b² over the clear
// width b_c, and 1.8 times the twist of a free plate (ht³/3 of a grillage's member) goes with that: firm and it were chosen on those solids.
// z₀ is the height of a plate that
// joins the walls; where none does they slide past each other, and z₀ is where that is easiest. Where the rib meets
// the plates these do not twist, and torsion is J of theirs, m⁴. Bars that lie flat are battens, which bend from wall to wall:
// 12EI_v/Gab² of a plate (Stafford Smith and Coull, Tall Building Structures, 1991, cores closed by beams).
func (r Rib) Square(plates Plates, e, g, torsion float64) (k float64) {
	ends, ok := r.Ends(plates)
	if !ok {
		return 0
	}
	walls := slices.DeleteFunc(plates.Walls(), func(y float64) bool { return y < ends[0]-1e-3 || y > ends[1]+1e-3 })
	if len(walls) < 2 {
		return 0
	}
	for i := range walls[1:] {
		k += r.bay(plates, [2]float64{walls[i], walls[i+1]}, e, g)
	}
	lo, hi := span(plates)
	return k + g*torsion*(r.Thickness+thinnest(plates, walls[0]))*min(1, r.Height/(hi-lo))
}

// bay returns K between two walls.
func (r Rib) bay(plates Plates, walls [2]float64, e, g float64) float64 {
	b, t3 := walls[1]-walls[0], math.Pow(r.Thickness, 3)
	plate, joined := joining(plates, walls)
	centre := plate.middle()
	var sum [3]float64 // ∫(1, z, z²)/b_c³ dz
	cuts := r.cuts(plates, walls)
	for i := range cuts[1:] {
		lo, hi := cuts[i], cuts[i+1]
		mid := (lo + hi) / 2
		if math.Abs(mid-r.Bottom-r.Height/2) < r.Hole/2 {
			continue
		}
		clear := b
		if r.stands() {
			clear = max(b-held(plates, walls[0], b, mid)-held(plates, walls[1], b, mid), b/3)
		}
		for n := range sum {
			p := float64(n + 1)
			sum[n] += (math.Pow(hi, p) - math.Pow(lo, p)) / p / (clear * clear * clear)
		}
	}
	if !joined {
		centre = sum[1] / sum[0]
	}
	return 1.8*g*t3*(r.Height-r.Hole)/3*b + 4*e*t3*b*b*(sum[2]-2*centre*sum[1]+centre*centre*sum[0])
}

// cuts returns the heights, increasing, between which a rib is held alike.
func (r Rib) cuts(plates Plates, walls [2]float64) []float64 {
	lo, hi := r.Bottom, r.Bottom+r.Height
	at := []float64{lo, hi, (lo+hi)/2 - r.Hole/2, (lo+hi)/2 + r.Hole/2}
	for _, y := range walls {
		for _, p := range plates {
			if p.over(y) {
				from, to := p.hold(thinnest(plates, y))
				at = append(at, min(max(from, lo), hi), min(max(to, lo), hi))
			}
		}
	}
	slices.Sort(at)
	return slices.Compact(at)
}

// held returns how far from a wall's middle a rib is held at a height: half of the widest plate there that does
// not reach over to the next wall, b away.
func held(plates Plates, wall, b, z float64) (half float64) {
	for _, p := range plates {
		if from, to := p.hold(thinnest(plates, wall)); p.over(wall) && p.Width < b && from < z && z < to {
			half = max(half, p.Width/2)
		}
	}
	return half
}

// hold returns the heights between which a plate of a wall so thick holds a rib.
func (p Plate) hold(wall float64) (from, to float64) {
	beside := firm * (p.Width - wall) / 2
	return p.Bottom - beside, p.Bottom + p.Height + beside
}

// joining returns a plate that joins two walls.
func joining(plates Plates, walls [2]float64) (p Plate, ok bool) {
	i := slices.IndexFunc(plates, func(p Plate) bool { return p.over(walls[0]) && p.over(walls[1]) })
	if i < 0 {
		return p, false
	}
	return plates[i], true
}

// thinnest returns the width of the thinnest plate over an offset, m: that of its wall.
func thinnest(plates Plates, offset float64) float64 {
	least := math.Inf(1)
	for _, p := range plates {
		if p.over(offset) {
			least = min(least, p.Width)
		}
	}
	return least
}

// span returns the lowest and the highest edge.
func span(plates Plates) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range plates {
		lo, hi = min(lo, p.Bottom), max(hi, p.Bottom+p.Height)
	}
	return lo, hi
}
