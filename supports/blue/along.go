package blue

import (
	"math"

	"footwork/beam/shape"
)

// Along is the master stepped along a way.
type Along struct {
	Steps   []Step
	Overlap float64 // m, of neighbouring places; the master's length when one place is enough
	Bow     float64 // m, standard deviation of what stepping may add to the long form
}

// Along steps the master along a way of the given length in as few places as overlap the next
// by half its length · the first and the last lie flush with the way's ends. Places where the
// master would tip are left out. It is an error when it tips at all of them.
func (b Bed) Along(length float64) (Along, error) {
	all, err := b.AlongEach([][]Face{b.Faces}, length)
	if err != nil {
		return Along{}, err
	}
	return all[0], nil
}

// AlongEach is Along on faces of one metal after another, as they are scraped.
func (b Bed) AlongEach(metals [][]Face, length float64) ([]Along, error) {
	at, out, last := b.places(length), make([]Along, len(metals)), make([]error, len(metals))
	for _, x := range at {
		steps, errs := b.layEach(metals, x)
		for k, s := range steps {
			if errs[k] != nil {
				last[k] = errs[k]
				continue
			}
			out[k].Steps = append(out[k].Steps, s)
		}
	}
	for k := range out {
		if out[k].Overlap = b.Master.Length; len(at) > 1 {
			out[k].Overlap -= at[1] - at[0]
		}
		out[k].Bow = b.Master.stepping(length, at)
		if len(out[k].Steps) == 0 {
			return nil, last[k]
		}
	}
	return out, nil
}

// Prints returns where a face prints with the master at any of its places.
func (a Along) Prints(face int) (out []shape.Span) {
	for _, s := range a.Steps {
		out = append(out, s.Faces[face].spans()...)
	}
	return merged(out)
}

// places are those of the master's left end.
func (b Bed) places(length float64) []float64 {
	free := length - b.Master.Length
	if free <= 1e-9*length {
		return []float64{free / 2}
	}
	return shape.Even(0, free, 1+int(math.Ceil(2*free/b.Master.Length-1e-9)))
}

// stepping returns the standard deviation of the height of the middle of a way over its
// ends that stepping adds. Each place can tilt against the one before by a film over their
// overlap, and a tilt at x lifts the middle by half of its distance from the nearer end.
func (m Master) stepping(length float64, at []float64) float64 {
	sum := 0.0
	for i := 1; i < len(at); i++ {
		overlap := m.Length - (at[i] - at[i-1])
		joint := at[i] + overlap/2
		lift := min(joint, length-joint) / 2 * m.Film / overlap
		sum += lift * lift
	}
	return math.Sqrt(sum)
}
