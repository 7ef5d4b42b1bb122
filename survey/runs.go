package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// comparison is what the runs say of each other.
type comparison struct {
	sigma    float64     // rad or m, scatter of one reading
	free     int         // its degrees of freedom; 0 with one run
	effects  [][]float64 // rad or m, what the mean may be wrong by, row by row
	warnings []Warning
	without  int // a run that the mean leaves out, since the order of its rows is not known; −1: none
}

// compare looks for what repeats disagree in: events, or sign and scale where
// that explains clearly more, or a constant.
func (s Survey) compare(runs []Run) (c comparison) {
	c.without = -1
	if len(runs) < 2 {
		return c
	}
	m := parted(runs)
	floor := max(s.Uncertainty/s.fold(), resolution(runs)/math.Sqrt(12))
	if r, scatter, free := s.walked(runs, floor); r >= 0 {
		c.without, c.sigma, c.free = r, scatter, free
		c.warnings = []Warning{s.walkedWarning(runs, r)}
		return c
	}
	found := m.search(floor)
	c.sigma, c.free = m.scatter(found)
	if warning := gain(runs, c.sigma); warning != nil {
		c.sigma, c.free = m.scatter(nil)
		c.warnings = []Warning{*warning}
		return c
	}
	for _, e := range found {
		c.tell(s, runs, e)
	}
	if len(found) == 0 {
		c.offset(s, runs, max(floor, c.sigma))
	}
	return c
}

// kind is a form in which one run can depart from the others.
type kind int

const (
	ramp kind = iota // steadily, by its size over the run
	step             // by a constant from a row on
	slip             // in one row
)

// event is one departure of one run.
type event struct {
	kind    kind
	run, at int
	size    float64 // rad or m
}

// column returns the departure of size one, row by row.
func (e event) column(n int) []float64 {
	c := make([]float64, n)
	for i := range c {
		switch {
		case e.kind == ramp:
			c[i] = float64(i)/float64(n-1) - 0.5
		case e.kind == step && i >= e.at, e.kind == slip && i == e.at:
			c[i] = 1
		}
	}
	return c
}

// remains are the readings less the mean of the runs and less each run's own
// mean, run after run: what is left is noise and events.
type remains struct {
	runs, n int
	v       []float64
}

func parted(runs []Run) remains {
	m := remains{len(runs), len(runs[0].Values), nil}
	mean := average(runs)
	for _, run := range runs {
		d := make([]float64, m.n)
		floats.SubTo(d, run.Values, mean)
		floats.AddConst(-floats.Sum(d)/float64(m.n), d)
		m.v = append(m.v, d...)
	}
	return m
}

// free returns the degrees of freedom that p events leave.
func (m remains) free(p int) int { return (m.runs-1)*(m.n-1) - p }

// scatter returns the standard deviation of one reading when found is taken
// out, pooled over the runs.
func (m remains) scatter(found []event) (sigma float64, free int) {
	free = m.free(len(found))
	if free < 1 {
		return 0, 0
	}
	v, _ := m.without(found)
	return floats.Norm(v, 2) / math.Sqrt(float64(free)), free
}

// without returns the remains after the least-squares sizes of the events.
func (m remains) without(found []event) (v []float64, sizes []float64) {
	v = slices.Clone(m.v)
	if len(found) == 0 {
		return v, nil
	}
	a := mat.NewDense(len(v), len(found), nil)
	for j, e := range found {
		c := e.column(m.n)
		floats.AddConst(-floats.Sum(c)/float64(m.n), c)
		for r := range m.runs {
			share := -1 / float64(m.runs)
			if r == e.run {
				share++
			}
			for i := range c {
				a.Set(r*m.n+i, j, share*c[i])
			}
		}
	}
	var x, ax mat.VecDense
	if err := x.SolveVec(a, mat.NewVecDense(len(v), m.v)); err != nil {
		return v, nil
	}
	ax.MulVec(a, &x)
	floats.Sub(v, ax.RawVector().Data)
	return v, x.RawVector().Data
}

// search returns the events that noise does not make. One after another the
// event that explains most is taken; those up to the last that is significant at
// 1 % among all places where it could have been are kept (as the generalized ESD
// test of Rosner, Technometrics 25, 1983, does for outliers, so that two slips
// do not hide each other). The noise is that of the rest, but not below floor.
func (m remains) search(floor float64) []event {
	var found []event
	keep := 0
	v := m.v
	tiny := 1e-9 * floats.Norm(m.v, 2)
	places := float64(2 * m.n * m.runs) // a step or a slip at each row of each run
	if m.runs == 2 {
		places /= 2
	}
	for range min(5, m.free(0)/3) {
		e, score := m.best(v)
		if score <= tiny {
			break
		}
		free := float64(m.free(len(found)) - 1)
		rest := math.Sqrt(max(0, floats.Dot(v, v)-score*score) / free)
		found = append(found, e)
		t := score / max(rest, floor, tiny)
		if 2*places*(distuv.StudentsT{Sigma: 1, Nu: free}).Survival(t) < 0.01 {
			keep = len(found)
		}
		v, _ = m.without(found)
	}
	found = found[:keep]
	if _, sizes := m.without(found); sizes != nil {
		for i := range found {
			found[i].size = sizes[i]
		}
	}
	return found
}

// best returns the event that v holds most of, and the root of the sum of
// squares that it explains. Of two runs, either could have departed: the second
// is named.
func (m remains) best(v []float64) (best event, score float64) {
	share := 1 - 1/float64(m.runs)
	n := float64(m.n)
	try := func(e event, dot, norm float64) {
		if q := math.Abs(dot) / math.Sqrt(share*norm); q > score {
			best, score = e, q
		}
	}
	for r := range m.runs {
		if m.runs == 2 && r == 0 {
			continue
		}
		row := v[r*m.n : (r+1)*m.n]
		c := event{kind: ramp}.column(m.n)
		try(event{kind: ramp, run: r}, floats.Dot(row, c), floats.Dot(c, c))
		after := 0.0
		for i := m.n - 1; i >= 0; i-- {
			after += row[i]
			try(event{kind: slip, run: r, at: i}, row[i], (n-1)/n)
			if k := float64(i); i >= 2 && i <= m.n-2 {
				try(event{kind: step, run: r, at: i}, after, k*(n-k)/n)
			}
		}
	}
	return best, score
}

// tell turns an event into a warning and into what it does to the mean. Which
// run is wrong is not known of two, so the mean may be off either way by the
// event's share in it.
func (c *comparison) tell(s Survey, runs []Run, e event) {
	n, share := len(runs[0].Values), 1/float64(len(runs))
	w := Warning{Run: runs[e.run].Name, Than: other(runs), Row: e.at, Size: e.size}
	switch {
	case e.kind == ramp && w.Run == "back":
		// row i is read out at time i and back at time 2n−i
		c.warnings = append(c.warnings, Warning{Kind: Drifted, Run: w.Run, Than: w.Than, Size: -e.size / float64(2*(n-1)) * float64(2*n)})
		return
	case e.kind == ramp:
		w.Kind, w.Bow = Parted, s.bowOf(e.size*share, n)
	case e.kind == step:
		w.Kind = Knocked
	default:
		w.Kind = Misread
	}
	c.warnings = append(c.warnings, w)
	effect := e.column(n)
	floats.Scale(e.size*share, effect)
	c.effects = append(c.effects, effect)
}

// bowOf returns the bow, m, that slopes which change by so much over n rows make;
// 0 for heights and slopes across.
func (s Survey) bowOf(change float64, n int) float64 {
	if !s.Slopes() {
		return 0
	}
	return math.Abs(change) * s.Base * float64(n) / 8
}

// offset says when a run differs from the first by a constant of more than
// three times the noise: harmless alone, but a sign of drift.
func (c *comparison) offset(s Survey, runs []Run, noise float64) {
	n := len(runs[0].Values)
	for _, run := range runs[1:] {
		d := (floats.Sum(run.Values) - floats.Sum(runs[0].Values)) / float64(n)
		if math.Abs(d) <= 3*noise {
			continue
		}
		w := Warning{Kind: Shifted, Run: run.Name, Than: runs[0].Name, Size: d}
		if s.Slopes() {
			w.Apart = math.Abs(d) * float64(n) * s.Base
		}
		if run.Name != "back" {
			w.Bow = s.bowOf(d, n)
		}
		c.warnings = append(c.warnings, w)
	}
}
