package casting

import "math"

// Vee is a way of two flanks. Their slopes a and b to the level may differ.
type Vee struct {
	Flanks [2]float64 // rad, slopes towards negative and positive offset, over 0 and below π/2
	Ridge  bool       // the flanks fall away from its middle; else a groove
}

// lean returns by how much each flank's normal leans towards positive offset: in a groove
// the flanks face each other.
func (v Vee) lean() (a, b float64) {
	a, b = math.Sin(v.Flanks[0]), -math.Sin(v.Flanks[1])
	if v.Ridge {
		return -a, -b
	}
	return a, b
}

// Sink returns how far a rider on both flanks goes down, and towards positive offset, when
// metal is taken off square to them (m): (n₁ sin b + n₂ sin a)/sin(a+b) down and, in a
// groove, (n₂ cos a − n₁ cos b)/sin(a+b) towards positive offset; on a ridge the other way.
// A rider sinks into the metal that was taken: in a groove towards the flank that lost more.
func (v Vee) Sink(taken [2]float64) (down, aside float64) {
	up, aside := v.ride([2]float64{-taken[0], -taken[1]})
	return -up, aside
}

// ride returns where a rider on both flanks stands when the metal of these is higher by n,
// square to them (m): up, and towards positive offset.
func (v Vee) ride(n [2]float64) (up, aside float64) {
	a, b := v.Flanks[0], v.Flanks[1]
	s := math.Sin(a + b)
	up = (n[0]*math.Sin(b) + n[1]*math.Sin(a)) / s
	aside = (n[0]*math.Cos(b) - n[1]*math.Cos(a)) / s
	if v.Ridge {
		aside = -aside
	}
	return up, aside
}

// Apart returns by how much further towards positive offset the second of two such vees lies
// (m), from what a cross level over both reads (rad) when its gauge, pulled to negative and
// to positive offset, touches one flank of each · across is from the first to the second, m.
// On a flank of slope θ the gauge of a vee that lies u up and v aside stands u ± v tan θ up:
// pulled to positive offset it lies against the flank that rises towards it, in a groove or
// on a ridge, and the sign is −. It slides as it likes: that lifts both its ends alike.
func (v Vee) Apart(negative, positive, across float64) float64 {
	a, b := math.Tan(v.Flanks[0]), math.Tan(v.Flanks[1])
	return (negative - positive) * across / (a + b)
}

// Square returns how far a way that stands up and aside of where it should moves each of
// its flanks, square to them (m): what Ride undoes.
func (v Vee) Square(up, aside float64) (n [2]float64) {
	a, b := v.lean()
	return [2]float64{up*math.Cos(v.Flanks[0]) + aside*a, up*math.Cos(v.Flanks[1]) + aside*b}
}
