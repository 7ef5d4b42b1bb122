package blue

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/ride"
	"footwork/beam/shape"
)

// Face is one face of a way that a master lies on: a flat, or one flank of a vee.
type Face struct {
	Name   string
	Offset float64     // m across the bed, of its middle
	Width  float64     // m across the bed; 0: not known, and nothing is told across
	Slope  float64     // tangent, of a flank, positive where it rises towards positive offset; 0: a flat
	Tilt   float64     // by how much its tangent is more than that of the master's own flank
	Metal  shape.Shape // m, form of its metal along the bed; empty: straight
	Master shape.Shape // m, form of the master's face from its left end, metal positive; empty: straight

	LeaveOut []shape.Span // m along the bed, where nothing bears
}

// square is how much longer a height over the face is than what is measured square to it.
func (f Face) square() float64 { return math.Hypot(1, f.Slope) }

// rows are the lines across a face that are looked at: both its edges.
func (f Face) rows() []float64 {
	if f.Width == 0 {
		return []float64{f.Offset}
	}
	return []float64{f.Offset - f.Width/2, f.Offset + f.Width/2}
}

// hollow is how far a face is taken to lie low where nothing bears, m: out of reach.
const hollow = 1e-3

// way returns its metal, low where nothing bears.
func (f Face) way() shape.Shape {
	out := f.Metal
	for _, s := range f.LeaveOut {
		if len(out.X) == 0 {
			out = shape.Shape{X: []float64{s.From - 1, s.To + 1}, Y: []float64{0, 0}}
		}
		x := slices.DeleteFunc(slices.Clone(out.X), func(x float64) bool { return x >= s.From && x <= s.To })
		x = append(x, s.From, s.From+hair, s.To-hair, s.To)
		slices.Sort(x)
		low := shape.Shape{X: x, Y: out.Over(x)}
		for i, x := range x {
			if x > s.From && x < s.To {
				low.Y[i] -= hollow
			}
		}
		out = low
	}
	return out
}

// inner returns which of its rows is nearer to the bed's centre line.
func (f Face) inner() int {
	if f.Offset < 0 {
		return 1
	}
	return 0
}

// Across is where across a face a print lies.
type Across int

const (
	Full Across = iota
	Inner
	Outer
)

// Print is a stretch that takes colour.
type Print struct {
	shape.Span // m along the bed
	Across     Across
	Share      float64 // of what the faces bear, borne here; 0: near enough to print, and no more
}

// faceStep is one face with the master at one place.
type faceStep struct {
	Prints   []Print
	Gap      []float64    // m, of air at each x, square to the face, the least across it
	edge     [2][]float64 // m, likewise at its inner and at its outer edge
	Pressure []float64    // N/m, upwards
	Seat     []float64    // m, the master's own face as it lies
	Way      []float64    // m, the way under it
}

// Step is the master at one place.
type Step struct {
	At    float64    // m, of its left end
	X     []float64  // m along the bed
	Faces []faceStep // in the order of the faces
	Hinge [2]float64 // where it swings when nudged at its left and at its right end, as share of its length from the other end
}

// Bed is a bed in one state with a master and the faces that it lies on.
type Bed struct {
	Riding ride.Riding
	Master Master
	Faces  []Face
}

// Lay tells what the master prints with its left end at a place (m). It is an error when it
// or the bed would tip.
func (b Bed) Lay(at float64) (Step, error) {
	steps, errs := b.layEach([][]Face{b.Faces}, at)
	return steps[0], errs[0]
}

// layEach is Lay on faces of one metal after another.
func (b Bed) layEach(metals [][]Face, at float64) ([]Step, []error) {
	riders, steps := make([]ride.Rider, len(metals)), make([]Step, len(metals))
	for k, faces := range metals {
		riders[k] = b.Master.rider(faces)
	}
	all, errs := b.Riding.Lay(riders, at)
	for k, l := range all {
		if errs[k] == nil {
			b.Faces = metals[k]
			steps[k] = b.step(at, l)
		}
	}
	return steps, errs
}

// step tells what the master prints as it lies.
func (b Bed) step(at float64, l ride.Lying) Step {
	s := Step{At: at, X: l.X}
	total, row := make([]float64, len(l.X)), 0
	for _, f := range b.Faces {
		n := len(f.rows())
		one := under{Face: f, gap: l.Gap[row : row+n], pressure: l.Pressure[row : row+n], x: l.X, edges: l.Edges}.step(b.Master)
		one.Seat, one.Way = l.Face[row], slices.Clone(l.Face[row])
		floats.Sub(one.Way, l.Gap[row])
		for i, v := range one.Pressure {
			total[i] += v
		}
		s.Faces = append(s.Faces, one)
		row += n
	}
	for k := range s.Faces {
		s.Faces[k].share(l.X, total)
	}
	s.Hinge = [2]float64{b.pivot(at, l.X, total, 1), b.pivot(at, l.X, total, -1)}
	return s
}

// pivot returns the share of the master's length, from its far end, about which it swings
// when pushed at its left (1) or right (−1) end.
func (b Bed) pivot(at float64, x, pressure []float64, dir float64) float64 {
	end := at
	if dir < 0 {
		end = at + b.Master.Length
	}
	half := (x[1] - x[0]) / 2
	// ∫ p s ds of a cell of even pressure about s is p·s·2half, exactly.
	sum := 0.0
	for i, p := range pressure {
		sum += p * dir * (x[i] - end)
	}
	left := sum / 2
	for i := range x {
		if dir < 0 {
			i = len(x) - 1 - i
		}
		s := dir * (x[i] - end)
		part := pressure[i] * s
		if part < left {
			left -= part
			continue
		}
		if pressure[i] == 0 {
			continue
		}
		// ∫ from the cell's near edge to X: p(X² − near²)/2 of the cell's 2half.
		near := s - half
		return 1 - math.Sqrt(near*near+4*half*left/pressure[i])/b.Master.Length
	}
	return 0
}
