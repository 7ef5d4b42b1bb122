package match

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam/shape"
	"footwork/internal/sample"
)

// modes are the waves that the metal of one way is a sum of, over the knots of all
// ways: orthonormal, a tilt, a bow, the ends alike, and the rest in order of length.
type modes struct {
	x     []float64   // m, the knots
	wave  [][]float64 // [mode][knot]
	power [][]float64 // [length][mode] mean square for an amplitude of one
}

// The lengths that the metal is a sum of, as shares of the way: a few stations,
// a sixth, four tenths, and wedge, bow and ends of the whole. After the short ones come those
// into which feet bend a bed too.
var lengths = []float64{0.07, 0.17, 0.4}

const (
	shorts    = 2
	mostModes = 26
)

// matern52 is the covariance of a form that bends smoothly: Matérn, ν = 5/2
// (Rasmussen and Williams, Gaussian Processes for Machine Learning, eq. 4.17).
func matern52(d float64) float64 {
	r := math.Sqrt(5) * math.Abs(d)
	return (1 + r + r*r/3) * math.Exp(-r)
}

func newModes(x []float64) modes {
	n := len(x)
	s, flat := make([]float64, n), make([]float64, n)
	bow, ends := make([]float64, n), make([]float64, n)
	for i := range x {
		s[i] = (x[i] - x[0]) / (x[n-1] - x[0])
		flat[i], bow[i], ends[i] = 1, 4*s[i]*(1-s[i]), math.Pow(2*s[i]-1, 6)
	}
	whole := [][]float64{s, bow, ends}
	frame := [][]float64{unit(flat, nil)}
	for _, v := range whole {
		frame = append(frame, unit(v, frame))
	}
	kernels, sum := kernelsAt(s)
	m := modes{x: x, wave: slices.Concat(frame[1:], waves(sum, frame, min(n, mostModes+1)-len(frame)))}
	for _, k := range kernels {
		var p []float64
		for _, w := range m.wave {
			v := mat.NewVecDense(n, w)
			p = append(p, mat.Inner(v, k, v))
		}
		m.power = append(m.power, p)
	}
	last := make([]float64, len(m.wave))
	for i, v := range whole {
		last[i] = square(floats.Dot(v, frame[i+1]))
	}
	m.power = append(m.power, last)
	return m
}

// kernelsAt returns the covariance of each length at places along a way of one, and their sum.
func kernelsAt(s []float64) (kernels []*mat.SymDense, sum *mat.SymDense) {
	n := len(s)
	sum = mat.NewSymDense(n, nil)
	for _, l := range lengths {
		l = max(l, 2/float64(n-1))
		k := mat.NewSymDense(n, nil)
		for i := range n {
			for j := i; j < n; j++ {
				k.SetSym(i, j, matern52((s[j]-s[i])/l))
			}
		}
		kernels = append(kernels, k)
		sum.AddSym(sum, k)
	}
	return kernels, sum
}

func square(v float64) float64 { return v * v }

// unit returns v less what others have of it, of length one.
func unit(v []float64, others [][]float64) []float64 {
	out := append([]float64(nil), v...)
	for range 2 {
		for _, o := range others {
			floats.AddScaled(out, -floats.Dot(o, out), o)
		}
		floats.Scale(1/floats.Norm(out, 2), out)
	}
	return out
}

// waves returns the strongest eigenvectors of a covariance across a frame.
func waves(k *mat.SymDense, frame [][]float64, count int) (list [][]float64) {
	n := k.SymmetricDim()
	p := mat.NewDense(n, n, nil)
	for i := range n {
		p.Set(i, i, 1)
	}
	for _, f := range frame {
		for i := range n {
			for j := range n {
				p.Set(i, j, p.At(i, j)-f[i]*f[j])
			}
		}
	}
	var pkp mat.Dense
	pkp.Product(p, k, p)
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (pkp.At(i, j)+pkp.At(j, i))/2)
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, true) {
		panic("match: a covariance without eigenvectors")
	}
	var v mat.Dense
	e.VectorsTo(&v)
	for c := range count {
		list = append(list, unit(mat.Col(nil, n-1-c, &v), frame))
	}
	return list
}

// row returns a mode's heights at x, straight between the knots.
func (m *modes) row(x float64) []float64 {
	out := make([]float64, len(m.wave))
	for k, w := range m.wave {
		out[k] = shape.Shape{X: m.x, Y: w}.At(x)
	}
	return out
}

// part is a pattern over the ways whose waves are independent of those of the others: the
// mean of ways of which the same is known, or a contrast between them.
type part struct {
	ways   []float64 // weight of each way
	shared float64   // how many times the square of what is shared is in it
	long   float64   // m, amplitude of its long waves, shared and own
}

// unsaidLeast is the least amplitude of the long waves of a way of which nobody says how straight
// it is: wider than the 5 to 15 µm of a long bow (common practice, no source).
const (
	unsaidLeast = 20e-6 // m
	unsaidZone  = 0.4   // of the measured zone
)

// patterns returns patterns that make the prior of the ways independent: of those that
// were finished, and of those of which nobody says how straight they are.
func (m *model) patterns() []part {
	long := make([]float64, len(m.in.Bed.Ways)) // m, amplitude of each way's long waves
	var done, open []int
	for w := range long {
		if long[w] = max(unsaidLeast, unsaidZone*m.zone); m.in.FinishedTo != nil && m.in.FinishedTo[w] > 0 {
			long[w] = m.in.FinishedTo[w] / m.modes.rangeOf()
			done = append(done, w)
		} else {
			open = append(open, w)
		}
	}
	return append(helmert(done, long), helmert(open, long)...)
}

// helmert returns the mean of some ways and Helmert's contrasts, each way in proportion to
// its amplitude.
func helmert(ways []int, long []float64) (list []part) {
	mean := 0.0 // square
	for _, w := range ways {
		mean += square(long[w]) / float64(len(ways))
	}
	for k := range ways {
		p := part{ways: make([]float64, len(long)), long: math.Sqrt(mean / 2)}
		before, own := ways, 1/math.Sqrt(float64(len(ways)))
		if k == 0 {
			p.shared = float64(len(ways))
		} else {
			before, own = ways[:k], 1/math.Sqrt(float64(k*(k+1)))
			p.ways[ways[k]] = -float64(k) * own
		}
		for _, w := range before {
			p.ways[w] = own
		}
		for _, w := range ways {
			p.ways[w] *= long[w] / math.Sqrt(mean)
		}
		list = append(list, p)
	}
	return list
}

// within is how many of the ways that are said to be finished to a height stay within it:
// what is written is what was asked for or once read, not a bound that somebody proved.
const within = 0.8

// rangeOf returns the height from peak to valley, about the line through the ends, that
// so many ways stay within whose long waves have an amplitude of one.
func (m *modes) rangeOf() float64 {
	r := rand.New(rand.NewPCG(70, 1))
	var all []float64
	for range 500 {
		y := make([]float64, len(m.x))
		for k, w := range m.wave {
			if k == 0 {
				continue // a tilt is no error of straightness
			}
			v := 0.0
			for _, power := range m.power[shorts:] {
				v += power[k]
			}
			floats.AddScaled(y, math.Sqrt(v)*r.NormFloat64(), w)
		}
		all = append(all, shape.Zone(m.x, y))
	}
	slices.Sort(all)
	return sample.Quantile(all, within)
}

// The logarithms of the amplitudes of short lengths are inferred: those that the ways share
// first, then their own. Scraped points leave 2 to 5 µm (common practice, no source).
const (
	amplitudes  = 2 * shorts
	shortMedian = 1e-6 // m
	shortSD     = 0.9
)

// usual returns the amplitudes that are expected before anything is read.
func usual() []float64 {
	a := make([]float64, amplitudes)
	floats.AddConst(math.Log(shortMedian), a)
	return a
}

// variances fills in the prior variance of every wave of every part.
func (m *model) variances(amp, v []float64) {
	n := len(m.modes.wave)
	clear(v)
	for i, p := range m.parts {
		for b, power := range m.modes.power {
			shared, own := p.long, p.long
			if b < shorts {
				shared, own = math.Exp(amp[b]), math.Exp(amp[shorts+b])
			}
			floats.AddScaled(v[i*n:(i+1)*n], p.shared*square(shared)+square(own), power)
		}
	}
}
