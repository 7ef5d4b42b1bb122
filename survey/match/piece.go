package match

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mathext"
)

// piece is a stretch of a path on which no contact changes: for long, the logarithm of the
// density is log − slope·s − ½·curve·s², s from its beginning.
type piece struct {
	long, log, slope, curve float64
	from, rate              heading
	thin                    float64 // logarithm of the time that a unit of it takes
	mass                    float64 // its integral over time, or the logarithm of it
}

// at returns the logarithm of the density so far from the beginning.
func (p *piece) at(s float64) float64 { return p.log - s*(p.slope+s*p.curve/2) }

// bounds returns a piece's ends in deviations of its Gaussian, and that deviation.
func (p *piece) bounds() (a, b, sd float64) {
	sd = 1 / math.Sqrt(p.curve)
	return p.slope * sd, (p.long + p.slope/p.curve) / sd, sd
}

// logMass returns the logarithm of the integral over a piece.
func (p *piece) logMass() float64 {
	a, b, sd := p.bounds()
	if a < 0 && b > 0 {
		return p.log + a*a/2 + math.Log(sd*math.Sqrt(2*math.Pi)) + math.Log(1-tail(-a)-tail(b))
	}
	if b <= 0 {
		a, b = -b, -a
		// the end nearest to the middle is the far one: its height, not that of the beginning
		return p.at(p.long) + math.Log(sd) + math.Log(max(0, scaledTail(a)-math.Exp((a-b)*(a+b)/2)*scaledTail(b)))
	}
	return p.log + math.Log(sd) + math.Log(max(0, scaledTail(a)-math.Exp((a-b)*(a+b)/2)*scaledTail(b)))
}

// tail is the normal distribution's beyond x ≥ 0; scaledTail is √2π·exp(x²/2) times it.
func tail(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }

func scaledTail(x float64) float64 {
	if x < 20 {
		return math.Sqrt(2*math.Pi) * math.Exp(x*x/2) * tail(x)
	}
	y := 1 / (x * x) // Abramowitz and Stegun 26.2.12
	return (1 - y*(1-y*(3-15*y))) / x
}

// draw returns a place on a piece, from its beginning.
func (p *piece) draw(r *rand.Rand) float64 {
	a, b, sd := p.bounds()
	s := 0.0
	if b <= 0 {
		s = p.long - sd*(beyond(-b, -a, r)+b)
	} else {
		s = sd * (beyond(a, b, r) - a)
	}
	return min(max(s, 0), p.long)
}

// beyond draws from the unit normal distribution between a and b, b > 0: by its inverse,
// and far out by rejection from an exponential (C. P. Robert, Simulation of truncated
// normal variables, Statistics and Computing 5 (1995) 121–125).
func beyond(a, b float64, r *rand.Rand) float64 {
	if a < 5 {
		far, near := math.Erfc(b/math.Sqrt2)/2, math.Erfc(a/math.Sqrt2)/2
		return -mathext.NormalQuantile(min(max(far+(near-far)*r.Float64(), 1e-300), 1-1e-16))
	}
	for {
		x := a + r.ExpFloat64()/a
		if x < b && r.Float64() < math.Exp(-square(x-a)/2) {
			return x
		}
		if b-a < 0.5/a { // too narrow for the exponential: level on it
			x = a + (b-a)*r.Float64()
			if r.Float64() < math.Exp((a-x)*(a+x)/2) {
				return x
			}
		}
	}
}
