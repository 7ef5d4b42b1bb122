package beam

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Plate is an upright rectangle of a section seen from the end.
type Plate struct {
	Width, Height float64 // m
	Offset        float64 // m across the bed, of its middle
	Bottom        float64 // m, of its lower edge above the underside
}

func (p Plate) top() float64      { return p.Bottom + p.Height }
func (p Plate) middle() float64   { return p.Bottom + p.Height/2 }
func (p Plate) area() float64     { return p.Width * p.Height }
func (p Plate) leftEdge() float64 { return p.Offset - p.Width/2 }
func (p Plate) upright() bool     { return p.Height > p.Width }

// FromPlates returns the constants of a section made of plates that act
// together in bending: area and inertia by parallel axes, shear area by energy
// (A_s = I²/∫(Q²/b)dz), torsion constant of separate rectangles or, when
// closed, of the cell that the outermost plates make (Bredt). From and To stay
// zero. It is an error when plates have no size, when a level between the
// lowest and the highest has no plate, or when closed plates make no cell.
func FromPlates(plates []Plate, closed bool) (Section, error) {
	if len(plates) == 0 {
		return Section{}, errors.New("a section needs at least one plate")
	}
	var s Section
	var lift float64 // first moment of area about the underside
	for i, p := range plates {
		if !(p.Width > 0 && p.Height > 0) {
			return Section{}, fmt.Errorf("plate %d has no size: width and height must be above zero", i+1)
		}
		s.Area += p.area()
		s.Offset += p.area() * p.Offset
		lift += p.area() * p.middle()
	}
	s.Offset /= s.Area
	axis := lift / s.Area
	for _, p := range plates {
		d := p.middle() - axis
		s.Inertia += p.area() * (p.Height*p.Height/12 + d*d)
	}
	levels := plateLevels(plates)
	s.Depth = levels[len(levels)-1] - levels[0]
	var err error
	if s.ShearArea, err = shearArea(plates, levels, axis, s.Inertia); err != nil {
		return Section{}, err
	}
	if !closed {
		for _, p := range plates {
			s.Torsion += rectangleTorsion(p.Width, p.Height)
		}
		return s, nil
	}
	s.Torsion, err = cellTorsion(plates)
	return s, err
}

// plateLevels returns the heights at which the width changes, increasing.
func plateLevels(plates []Plate) []float64 {
	var z []float64
	for _, p := range plates {
		z = append(z, p.Bottom, p.top())
	}
	slices.Sort(z)
	return slices.CompactFunc(z, func(a, b float64) bool { return math.Abs(b-a) < 1e-12 })
}

// shearArea returns I²/∫(Q²/b)dz, m²: Gere and Timoshenko's form factor as an
// area. Between levels Q is a quadratic of z, so three Gauss points are exact.
func shearArea(plates []Plate, levels []float64, axis, inertia float64) (float64, error) {
	var energy float64
	for i := 1; i < len(levels); i++ {
		lo, hi := levels[i-1], levels[i]
		b := widthAt(plates, (lo+hi)/2)
		if b == 0 {
			return 0, fmt.Errorf("no plate between %.4g mm and %.4g mm above the underside: the section falls in two", lo*1e3, hi*1e3)
		}
		half := (hi - lo) / 2
		for _, g := range [3][2]float64{{-math.Sqrt(0.6), 5. / 9}, {0, 8. / 9}, {math.Sqrt(0.6), 5. / 9}} {
			q := momentAbove(plates, (lo+hi)/2+half*g[0], axis)
			energy += g[1] * half * q * q / b
		}
	}
	return inertia * inertia / energy, nil
}

func widthAt(plates []Plate, z float64) (b float64) {
	for _, p := range plates {
		if p.Bottom < z && z < p.top() {
			b += p.Width
		}
	}
	return b
}

// momentAbove returns Q, m³: the first moment about the axis of all that lies above z.
func momentAbove(plates []Plate, z, axis float64) (q float64) {
	for _, p := range plates {
		if lo := max(p.Bottom, z); lo < p.top() {
			q += p.Width * (p.top() - lo) * ((p.top()+lo)/2 - axis)
		}
	}
	return q
}

// rectangleTorsion returns J of a rectangle, m⁴, by Saint-Venant's series
// a·b³/3·[1 − (192/π⁵)(b/a) Σ tanh(nπa/2b)/n⁵], n odd, with a the long side.
func rectangleTorsion(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	var sum float64
	for n := 1.0; n < 60; n += 2 {
		sum += math.Tanh(n*math.Pi*a/(2*b)) / math.Pow(n, 5)
	}
	return a * b * b * b / 3 * (1 - 192/math.Pow(math.Pi, 5)*(b/a)*sum)
}

// cellTorsion returns Bredt's J = 4A²/∮ds/t, m⁴, of the cell between the
// outermost upright plates and the lowest and highest lying ones. Webs inside
// are left out: a middle web of a symmetric cell carries no shear flow.
func cellTorsion(plates []Plate) (float64, error) {
	var sides, decks []Plate
	for _, p := range plates {
		if p.upright() {
			sides = append(sides, p)
		} else {
			decks = append(decks, p)
		}
	}
	if len(sides) < 2 || len(decks) < 2 {
		return 0, errors.New("closed = true needs two upright side plates and a lying top and bottom plate")
	}
	byOffset := func(a, b Plate) int { return cmp.Compare(a.Offset, b.Offset) }
	byHeight := func(a, b Plate) int { return cmp.Compare(a.middle(), b.middle()) }
	left, right := slices.MinFunc(sides, byOffset), slices.MaxFunc(sides, byOffset)
	bottom, top := slices.MinFunc(decks, byHeight), slices.MaxFunc(decks, byHeight)
	for _, p := range []Plate{bottom, top} {
		if p.leftEdge() > left.Offset || p.leftEdge()+p.Width < right.Offset {
			return 0, errors.New("closed = true, but the top or bottom plate does not reach from side to side: the cell is open")
		}
	}
	wide, high := right.Offset-left.Offset, top.middle()-bottom.middle()
	around := wide/top.Height + wide/bottom.Height + high/left.Width + high/right.Width
	return 4 * wide * wide * high * high / around, nil
}
