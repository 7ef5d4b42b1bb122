package section

import (
	"math"
	"slices"
)

// Distortion is how a box resists going out of square: its outer walls move up and down by ±φ_d·b/2, its deck and
// floor aside by φ_d·h/2 against a rotation by φ_d, so that its corners open and close by 2φ_d. That mode takes no
// work from Bredt's shear flow; a force at a wall does as much work on it as on the twist.
type Distortion struct {
	Frame   float64 // m²: E times it is the stiffness of the plates as a closed frame, N·m/m
	Warping float64 // I_d, m⁶
	Shear   float64 // A_d, m⁴
	Both    float64 // 1/m⁴: over G it is φ_d′ for a unit torque of twist, and φ′ for one of distortion
	wide    float64 // b, m, between the middles of the outer walls
	high    float64 // h, m, between the middles of floor and deck
}

// Distort returns how a box of two or more walls between a floor and a deck resists distortion; not ok for any
// other section, whose plates stay as square as ribs keep them.
//
//	k_γ = Σ 12/(h/D_w + b/nD_p) over the walls, n the bays beside each, a frame that sways; k_d = 4k_γ, D = Et³/12
//	I_d = ∫ω²dA least for ω_top + ω_bottom = bh/2 at the corners, straight between them
//	1/A_d = 6/5·(w + p) and Both = w − p, w = Σ h/t_w/(2bh)² over the outer walls, p = Σ b/t/(2bh)² over the plates
//
// A torque of twist goes round the cell as one flow T/2bh, one of distortion as much up the walls and against it in the
// plates, so that shear in the one moves the other.
// (Wright, Abdel-Samad and Robinson, BEF analogy for analysis of box girders, J. Struct. Div. ASCE 94, 1968, from
// memory.) Bars may close a side that is open (Rib.Closing): they bend with the frame, and take nothing along the bed; their
// shear is in J, so that it is left out of A_d and Both.
func (plates Plates) Distort(bars ...Plate) (d Distortion, ok bool) {
	walls, drawn := plates.Walls(), len(plates)
	plates = slices.Concat(plates, bars)
	if len(walls) < 2 {
		return d, false
	}
	outer := [2]float64{walls[0], walls[len(walls)-1]}
	floor, deck := covers(plates, outer)
	if floor == deck {
		return d, false
	}
	b, f := plates[deck], plates[floor]
	d.wide, d.high = outer[1]-outer[0], b.Bottom+b.Height/2-f.Bottom-f.Height/2
	if lo, hi := span(plates); d.high < (hi-lo)/2 { // two plates of one deck
		return d, false
	}
	wallArea := d.frame(plates, walls, b, f)
	w, p, plain := d.high/thinnest(plates, outer[0])+d.high/thinnest(plates, outer[1]), 0.0, true
	var area [2]float64 // of floor and deck
	for i, k := range [2]int{floor, deck} {
		if plain = plain && k < drawn; k < drawn {
			area[i] = plates[k].Height * d.wide
			p += d.wide / plates[k].Height
		}
	}
	cell := math.Pow(2*d.wide*d.high, 2)
	d.Warping, d.Shear = d.corners(plates[:drawn], outer, wallArea, floor, deck, area), 5./6*cell/(w+p)
	if plain {
		d.Both = (w - p) / cell
	}
	return d, true
}

// frame fills in k_d of walls between a deck and a floor, and returns the area of the outer ones.
func (d *Distortion) frame(plates Plates, walls []float64, deck, floor Plate) (outer float64) {
	bay := d.wide / float64(len(walls)-1)
	sway := bay * 6 * (math.Pow(deck.Height, -3) + math.Pow(floor.Height, -3)) // b/D_p of the mean of both, times E
	for i, y := range walls {
		t, beside := thinnest(plates, y), 2.0
		if i == 0 || i == len(walls)-1 {
			beside = 1
			outer += t * d.high
		}
		d.Frame += 4 * 12 / (12*d.high/(t*t*t) + sway/beside)
	}
	return outer
}

// covers returns the lowest and the highest plate that reach over two walls; −1 without.
func covers(plates Plates, walls [2]float64) (floor, deck int) {
	floor, deck = -1, -1
	for i, p := range plates {
		if !p.over(walls[0]) || !p.over(walls[1]) {
			continue
		}
		if floor < 0 || p.Bottom < plates[floor].Bottom {
			floor = i
		}
		if deck < 0 || p.Bottom > plates[deck].Bottom {
			deck = i
		}
	}
	return floor, deck
}

// corners returns I_d: half of the walls' area goes with floor and deck each, and what else stands at a wall with
// the nearer of them.
func (d Distortion) corners(plates Plates, outer [2]float64, wallArea float64, floor, deck int, area [2]float64) float64 {
	lo, hi := span(plates)
	mid := (lo + hi) / 2
	top, bottom := area[1]/3, area[0]/3
	for i, p := range plates {
		if i == floor || i == deck || p.Height > p.Width || !p.over(outer[0]) && !p.over(outer[1]) {
			continue
		}
		if p.Bottom > mid {
			top += p.Width * p.Height
		} else {
			bottom += p.Width * p.Height
		}
	}
	// least of top·t² + bottom·u² + wallArea/3·(t² − tu + u²) with t + u = bh/2
	sum := d.wide * d.high / 2
	t := sum * (2*bottom + wallArea) / (2*top + 2*bottom + 2*wallArea)
	u := sum - t
	return top*t*t + bottom*u*u + wallArea/3*(t*t-t*u+u*u)
}

// Brace returns how stiffly a rib in a box keeps it square, K of the energy ½Kφ_d², N·m: as a plate in shear; one that does
// not reach from floor to deck by the square of what it reaches.
func (d Distortion) Brace(r Rib, g float64) float64 {
	reach := min(1, r.Height/d.high)
	return 4 * g * r.Thickness * max(0, d.wide*d.high-math.Pi/4*r.Hole*r.Hole) * reach * reach
}

// Closing returns the plate as stiff in bending across the bed as a row of bars that lie flat between the walls, square ribs
// at a pitch or a zigzag; not ok for ribs that stand.
func (r Rib) Closing(plates Plates, pitch float64, slanting bool) (p Plate, ok bool) {
	ends, ok := r.Ends(plates)
	if !ok || r.stands() || pitch == 0 {
		return p, false
	}
	wide := ends[1] - ends[0]
	share := r.Thickness / pitch
	if slanting {
		share *= math.Pow(wide/math.Hypot(wide, pitch), 3)
	}
	return Plate{Width: wide, Height: r.Height * math.Cbrt(share), Offset: (ends[0] + ends[1]) / 2, Bottom: r.Bottom}, true
}
