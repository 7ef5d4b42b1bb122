package beam

import (
	"slices"

	"footwork/beam/enclose"
)

// plane is the height a + b·x + c·y.
type plane struct{ a, b, c float64 }

func (p plane) at(x, y float64) float64 { return p.a + p.b*x + p.c*y }

// bestPlane returns the plane of least squares through heights on the ways at
// common stations: since each way has the same stations, the mean of the ways
// gives the slope along and the ways' means the slope across. A single way is
// taken to lie level across.
func bestPlane(x []float64, ways []Way, h [][]float64) plane {
	n := float64(len(ways))
	mean := Shape{X: x, Y: make([]float64, len(x))}
	var y0, syy, syh float64
	for i, w := range ways {
		y0 += w.Offset / n
		for k := range x {
			mean.Y[k] += h[i][k] / n
		}
	}
	for i, w := range ways {
		d := w.Offset - y0
		syy += d * d
		for _, v := range h[i] {
			syh += d * v / float64(len(x))
		}
	}
	along := mean.LeastSquaresLine()
	p := plane{a: along.A, b: along.B}
	if syy > 0 {
		p.c = syh / syy
	}
	p.a -= p.c * y0
	return p
}

// sit puts a stiff table on the plane.
func (p *Place) sit(on plane, t Table) {
	p.Height, p.Pitch, p.Roll = on.at(p.At+t.Length/2, 0), on.b, on.c
	p.AtTool = on.at(t.Tool, t.Offset)
	p.Under = t.Tool >= p.At-1e-9 && t.Tool <= p.At+t.Length+1e-9
}

// underTool collects the heights under the tool along the work.
func (tr *Travel) underTool() {
	take := func(all bool) (s Shape) {
		for _, p := range slices.Backward(tr.Places) {
			if p.Under || all {
				s.X = append(s.X, tr.Table.Tool-p.At)
				s.Y = append(s.Y, p.AtTool)
			}
		}
		return s
	}
	tr.Work = take(false)
	if len(tr.Work.X) == 0 {
		tr.Work = take(true)
		tr.Missed = true
	}
	tr.Zone = enclose.Zone(tr.Work.X, tr.Work.Y)
}
