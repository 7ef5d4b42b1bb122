package match

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// modes are the waves that the metal of one way is a sum of, over the knots of all
// ways: orthonormal, the first a tilt, the second a bow, the rest in order of length.
type modes struct {
	x     []float64   // m, the knots
	wave  [][]float64 // [mode][knot]
	power [][]float64 // [length][mode] mean square for an amplitude of one
}

// The lengths that the metal is a sum of, as shares of the way: a few stations,
// a sixth, four tenths, and the bow and wedge of the whole. From firstLong on they are
// long: feet bend a bed into such shapes too.
var lengths = []float64{0.07, 0.17, 0.4}

const (
	firstLong = 2
	bands     = 4 // the lengths and the bow
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
	s := make([]float64, n)
	flat, bow := make([]float64, n), make([]float64, n)
	for i := range x {
		s[i] = (x[i] - x[0]) / (x[n-1] - x[0])
		flat[i], bow[i] = 1, 4*s[i]*(1-s[i])
	}
	frame := [][]float64{unit(flat, nil)}
	frame = append(frame, unit(s, frame))
	frame = append(frame, unit(bow, frame))
	kernels, sum := kernelsAt(s)
	m := modes{x: x, wave: append([][]float64{frame[1], frame[2]}, waves(sum, frame, min(n-3, mostModes-2))...)}
	for _, k := range kernels {
		var p []float64
		for _, w := range m.wave {
			v := mat.NewVecDense(n, w)
			p = append(p, mat.Inner(v, k, v))
		}
		m.power = append(m.power, p)
	}
	last := make([]float64, len(m.wave))
	last[0] = square(floats.Dot(s, frame[1]))
	last[1] = square(floats.Dot(bow, frame[2]))
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
		out[k] = beam.Shape{X: m.x, Y: w}.At(x)
	}
	return out
}

// part is a pattern over the ways whose waves are independent of those of the others:
// what all unfinished ways share and in which they differ, or one finished way.
type part struct {
	ways   []float64 // weight of each way, of length one
	shared float64   // how many times the square of the shared amplitude is in it
	fixed  float64   // m, amplitude of a finished way's long waves; 0: not finished
}

// patterns returns orthonormal patterns that make the prior of the ways independent.
func (m *model) patterns() (list []part) {
	n := len(m.in.Bed.Ways)
	var open []int
	for i := range n {
		if m.in.FinishedTo != nil && m.in.FinishedTo[i] > 0 {
			p := part{ways: make([]float64, n), fixed: m.in.FinishedTo[i] / m.modes.rangeOf()}
			p.ways[i] = 1
			list = append(list, p)
		} else {
			open = append(open, i)
		}
	}
	for k := range open { // Helmert's contrasts, the mean first
		p := part{ways: make([]float64, n)}
		if k == 0 {
			p.shared = float64(len(open))
			for _, w := range open {
				p.ways[w] = 1 / math.Sqrt(float64(len(open)))
			}
		} else {
			s := 1 / math.Sqrt(float64(k*(k+1)))
			for _, w := range open[:k] {
				p.ways[w] = s
			}
			p.ways[open[k]] = -float64(k) * s
		}
		list = append(list, p)
	}
	return list
}

// within is how many of the ways that are said to be finished to a height stay within it:
// what is written is what was asked for or once read, not a bound that somebody proved.
const within = 0.7

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
			for b := firstLong; b < bands; b++ {
				v += m.power[b][k]
			}
			floats.AddScaled(y, math.Sqrt(v)*r.NormFloat64(), w)
		}
		all = append(all, beam.Zone(m.x, y))
	}
	return quantile(all, within)
}

// amplitudes are the logarithms of what each length of the metal has, shared by the
// ways first, then of each way's own; those with a standard deviation of zero are given.
type amplitudes struct{ mean, sd []float64 }

// variances fills in the prior variance of every wave of every part.
func (m *model) variances(amp, v []float64) {
	n := len(m.modes.wave)
	clear(v)
	for i, p := range m.parts {
		for b, power := range m.modes.power {
			a := p.shared*math.Exp(2*amp[b]) + math.Exp(2*amp[bands+b])
			if p.fixed > 0 && b >= firstLong {
				a = square(p.fixed)
			}
			floats.AddScaled(v[i*n:(i+1)*n], a, power)
		}
	}
}

// Priors of amplitudes that are inferred: medians of short and of long lengths, and one
// standard deviation of their logarithms. From practice: scraped points leave 2 to 5 µm,
// long bows 5 to 15 µm are seen (common practice, no source).
const (
	shortMedian, longMedian = 1e-6, 4e-6 // m
	shortSD, longSD         = 0.9, 1.1
	unsaidZone              = 0.5 // of the measured zone: a long amplitude that nothing teaches
)

// setAmplitudes sets up what is known of the amplitudes beforehand. As long as nothing
// that was done can part long metal from feet, its amplitude is half the measured zone:
// the evidence of one standing would choose it small.
func (m *model) setAmplitudes() {
	m.amps = amplitudes{make([]float64, 2*bands), make([]float64, 2*bands)}
	told := m.partsMetal()
	for i := range m.amps.mean {
		switch b := i % bands; {
		case b < firstLong:
			m.amps.mean[i], m.amps.sd[i] = math.Log(shortMedian), shortSD
		case told:
			m.amps.mean[i], m.amps.sd[i] = math.Log(longMedian), longSD
		default:
			m.amps.mean[i] = math.Log(unsaidZone * m.zone / math.Sqrt2)
		}
	}
	m.open = m.infers()
}

// partsMetal tells whether the bed was surveyed so that long metal can be told from
// feet: in two standings, on three feet or on a bearing, or with its loads weighed.
// A known move alone tells how stiff the bed is, not how its feet stood.
func (m *model) partsMetal() bool {
	first := -1
	for _, b := range m.blocks {
		if b.survey == nil {
			continue
		}
		s := m.states[b.rows[0].state]
		feet := len(m.in.Standings[s.standing].Feet)
		if s.frozen || len(s.points) == feet && feet <= 3 || first >= 0 && first != s.standing {
			return true
		}
		first = s.standing
		weighed := map[int]bool{}
		for _, f := range s.felt {
			if f.Load != nil {
				weighed[f.Foot] = true
			}
		}
		if len(weighed) >= feet-3 {
			return true
		}
	}
	return false
}

// infers returns which amplitudes are inferred: they are not given and some way has them.
func (m *model) infers() (list []int) {
	unfinished := 0
	for _, p := range m.parts {
		if p.fixed == 0 {
			unfinished++
		}
	}
	for i, sd := range m.amps.sd {
		if sd > 0 && (unfinished > 1 || i >= bands && (unfinished == 1 || i%bands < firstLong)) {
			list = append(list, i)
		}
	}
	return list
}
