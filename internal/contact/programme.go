package contact

import (
	"errors"

	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// programme finds the contact from no guess, by the dual active set. Where rigid points
// make the matrix singular a proximal term stands in, ½RᵀHR + cᵀR + ½ε|R|² (R. T. Rockafellar, SIAM J. Control
// 14 (1976) 877–898); the contact so found is then solved without it. Of 28,000 problems of rigid rows none wanted
// a second step.
func (p *Problem) programme(l Load, a *Answer) error {
	if p.rows > 3 && !p.balances(l, 0) { // soon told, of a bed with a rider
		return p.tip(l, 0)
	}
	q, push := p.convex(l)
	n := len(p.points)
	p.Work += float64(20 * n * n * (n + fewPoints))
	sol, err := convex.Quadratic(q)
	if err != nil {
		return p.falls(l)
	}
	for i := range a.On {
		a.On[i] = true
	}
	for _, k := range sol.Active {
		a.On[push[k]] = false
	}
	if done, err := p.pivot(l, a); done || err != nil {
		return err
	}
	return p.falls(l)
}

// proximal is the weight ε: 1e-16 is lost in rounding, and with 1e-3 the tests still hold.
func (p *Problem) proximal() float64 { return 1e-10 * p.most }

// convex puts the problem into the form of package convex; push are the points that
// its inequalities are of.
func (p *Problem) convex(l Load) (q convex.Program, push []int) {
	n := len(p.points)
	q = convex.Program{H: mat.NewSymDense(n, nil), C: append([]float64(nil), l.Built...), Eq: mat.NewDense(p.rows, n, nil), E: make([]float64, p.rows)}
	for i, t := range p.points {
		body := p.bodies[t.Body]
		b := body.scaled(l.Resultant[t.Body])
		for d := range body.count {
			q.Eq.Set(body.first+d, i, p.e[i][d])
			q.E[body.first+d] = b[d]
		}
		for j := range i + 1 {
			q.H.SetSym(i, j, p.entry(i, j))
		}
		q.H.SetSym(i, i, p.entry(i, i)+p.proximal())
		if !t.Held {
			push = append(push, i)
		}
	}
	if len(push) > 0 {
		q.In, q.B = mat.NewDense(len(push), n, nil), make([]float64, len(push))
		for k, i := range push {
			q.In.Set(k, i, 1)
		}
	}
	return q, push
}

// falls names the body that no forces balance, or that stands on one line.
func (p *Problem) falls(l Load) error {
	all := make([]bool, len(p.points))
	for i := range all {
		all[i] = true
	}
	lame := !p.factorOf(all).ok
	for i := range p.bodies {
		if lame || !p.balances(l, i) {
			return p.tip(l, i)
		}
	}
	return errUnsettled
}

// balances tells whether there are forces at all that carry a body's weights, by the
// least of them.
func (p *Problem) balances(l Load, body int) bool {
	var own []int
	for i, t := range p.points {
		if t.Body == body {
			own = append(own, i)
		}
	}
	n, f := len(own), p.bodies[body]
	b := f.scaled(l.Resultant[body])
	q := convex.Program{H: mat.NewSymDense(n, nil), C: make([]float64, n), Eq: mat.NewDense(f.count, n, nil), E: b[:f.count], In: mat.NewDense(n, n, nil), B: make([]float64, n)}
	for k, i := range own {
		q.H.SetSym(k, k, 1)
		if !p.points[i].Held {
			q.In.Set(k, k, 1)
		}
		for d := range f.count {
			q.Eq.Set(d, k, p.e[i][d])
		}
	}
	_, err := convex.Quadratic(q)
	return !errors.Is(err, convex.ErrInfeasible)
}
