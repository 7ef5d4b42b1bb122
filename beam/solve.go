package beam

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"

	"footwork/beam/casting"
	"footwork/beam/free"
	"footwork/internal/contact"
)

// Options are how finely to compute. The zero value is the default.
type Options struct {
	Cells  int       // along the bed; 0: 5000
	Panels int       // along each bearing, two points each; 0: 80
	At     []float64 // m, further places that must fall on the grid
}

// Solver is one bed in one standing, made ready. It never changes and may be
// used by many goroutines at once.
type Solver struct {
	bed      casting.Bed
	standing Standing
	free     *free.Bed // built in at its left end, under its own weight and the weights of bed and standing
	points   []point
	bent     *mat.SymDense // compliance between the points in bending, m/N, of the bed as given
	twisted  *mat.SymDense // likewise in twist
	sagged   *free.Load    // that, evenly warm
	problems sync.Pool     // of contact, arranged
}

// point is one place where a support may touch the bed.
type point struct {
	x, y    float64   // m
	at      free.Spot // of its force
	k       float64   // N/m; +Inf: rigid
	share   float64   // how many points its foot is
	held    bool
	foot    int // index of its foot, or −1
	bearing int // index of its bearing, or −1
}

// Case is what varies from one solution to the next. The zero value is the
// standing as given.
type Case struct {
	Draw
	Weights []casting.Weight // on the bed besides the standing's
	Lines   []free.Line      // on the bed besides the standing's
	Contact []bool           // contact to try first, from an earlier State; nil: all
}

// NewSolver cuts the bed into cells and finds the compliance between all its
// supports, O(cells + points²). It is an error when sections do not cover the
// bed, a support lies off it, or there is none.
func NewSolver(b casting.Bed, s Standing, o Options) (*Solver, error) {
	b, err := asCast(b)
	if err != nil {
		return nil, err
	}
	points := contactPoints(s, cmp.Or(o.Panels, 80))
	if len(points) == 0 {
		return nil, fmt.Errorf("standing %q has no foot and no bearing", s.Name)
	}
	at := slices.Clone(o.At)
	for _, p := range points {
		if p.x < -1e-9*b.Length || p.x > b.Length*(1+1e-9) {
			return nil, fmt.Errorf("standing %q holds the bed up at %g m, but the bed runs from 0 m to %g m", s.Name, p.x, b.Length)
		}
		at = append(at, p.x)
	}
	f, err := free.New(b, slices.Concat(b.Weights, s.Weights), o.Cells, at)
	if err != nil {
		return nil, err
	}
	v := &Solver{bed: b, standing: s, free: f, points: points, sagged: f.Under(nil, nil, 0)}
	v.comply()
	v.problems.New = func() any {
		p := new(contact.Problem)
		points, _ := v.Points()
		p.Reset(points)
		return p
	}
	return v, nil
}

// Bed returns the bed as its grid knows it.
func (v *Solver) Bed() casting.Bed { return v.bed }

// Free returns the bed without its supports.
func (v *Solver) Free() *free.Bed { return v.free }

// comply fills in the compliance between the points, with the casting's own over each.
func (v *Solver) comply() {
	n := len(v.points)
	v.bent, v.twisted = mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	for i := range v.points {
		p, give := &v.points[i], 0.0
		p.at = v.free.Node(p.x)
		if p.foot >= 0 {
			f := v.standing.Feet[p.foot]
			p.at, give = v.free.Foot(p.at, f.At, f.Offset, f.Length)
		}
		for j := range i + 1 {
			bent, twisted := v.free.Between(p.at, p.y, v.points[j].at, v.points[j].y)
			v.bent.SetSym(i, j, bent)
			v.twisted.SetSym(i, j, twisted)
		}
		v.bent.SetSym(i, i, v.bent.At(i, i)+give*p.share)
	}
}

// contactPoints puts one point on a foot without length and rows of points on
// feet with length and on bearings.
func contactPoints(s Standing, panels int) (p []point) {
	for i, f := range s.Feet {
		if f.Length == 0 {
			p = append(p, point{x: f.At, y: f.Offset, k: f.Stiffness, share: 1, held: f.Held, foot: i, bearing: -1})
			continue
		}
		for _, x := range gaussPoints(f.At-f.Length/2, f.At+f.Length/2, 2) {
			p = append(p, point{x: x, y: f.Offset, k: f.Stiffness / 4, share: 4, held: f.Held, foot: i, bearing: -1})
		}
	}
	for i, r := range s.Bearings {
		k := r.Stiffness * (r.To - r.From) / float64(2*panels)
		for _, x := range gaussPoints(r.From, r.To, panels) {
			p = append(p, point{x: x, y: r.Offset, k: k, held: r.Held, foot: -1, bearing: i})
		}
	}
	return p
}

// gaussPoints returns two points a panel, placed so that equal forces at them
// stand for a spread force to third order (Gauss–Legendre).
func gaussPoints(from, to float64, panels int) (x []float64) {
	h := (to - from) / float64(panels)
	for i := range panels {
		mid, d := from+h*(float64(i)+0.5), h/2/math.Sqrt(3)
		x = append(x, mid-d, mid+d)
	}
	return x
}

// Solve finds how the bed stands. It is a *TipError when no set of pushing
// supports balances the weight, a *ClashError when rigid supports contradict one
// another, and another error when no answer holds to working accuracy.
func (v *Solver) Solve(c Case) (*State, error) {
	return v.Under(c)(c.Draw, c.Contact)
}

// Under puts the weights and lines of a case on the bed, once, and returns how it stands, as Solve
// does, by a draw and a contact to try first, nil: all. The rest of the case does not count.
func (v *Solver) Under(c Case) func(d Draw, first []bool) (*State, error) {
	unsettled := v.Unsettled(c)
	return func(d Draw, first []bool) (*State, error) {
		p := v.problems.Get().(*contact.Problem)
		defer v.problems.Put(p)
		v.Fill(p.Refill(), len(v.points), d)
		st := unsettled(d)
		return st, st.Settle(p, first)
	}
}

// Unsettled returns the state of a draw under the loads of a case, before its contact is settled.
func (v *Solver) Unsettled(c Case) func(Draw) *State {
	load := v.loadOf(c)
	return func(d Draw) *State {
		st := &State{solver: v, load: load, factors: d.factors(), gradient: d.gradient(v.standing)}
		st.at = v.contactLoad(st, d)
		return st
	}
}

func orOne(f float64) float64 {
	if f == 0 {
		return 1
	}
	return f
}

// give returns 1/k of a point, m/N; 0 when rigid.
func (v *Solver) give(p point, d Draw) float64 { return 1 / (p.k * d.foot(p.foot)) }

func (v *Solver) height(p point, d Draw) float64 {
	if p.foot < 0 {
		return 0
	}
	return d.height(v.standing, p.foot)
}
