package match

import (
	"math"
	"slices"

	"footwork/beam"
)

// OnThree is how to stand the bed on a pair of its feet and a block under its centre
// line: loads then follow from balance alone, and what is read less sag and heat is metal.
type OnThree struct {
	At      [3][2]float64 // m, along and across: the pair, and the block or rocking bar under a web
	Pair    [2]int        // feet that stay as the pair; −1 where blocks of one's own do
	LetDown []float64     // m, how far each foot is let down: its droop and a tenth of a millimetre; 0 of the pair
	Packing []float64     // m, clearance of the packing under the bed at each foot
	Margin  float64       // m, how far inside the three the weight acts
	Least   float64       // share of the weight on the lightest of the three
	Loads   [3]float64    // N, of the pair and the block
}

const (
	quarterPoint = 0.22 // of the length, from an end: supports there bow a bed least
	clearance    = 0.1e-3
	packing      = 0.5e-3
	trialCells   = 1000
	leastShare   = 1. / 6 // of the weight on each of the three: its centre lies that part of the spread inside
)

// onThree returns how to stand the bed on three, the wider margin of both ends; not ok
// where no pair of feet stands near the quarter point or the margin is too small.
func (m *model) onThree(p *point) (best *OnThree, standing Standing, ok bool) {
	s := m.states[m.now]
	given := m.in.Standings[s.standing]
	if len(given.Bearings) > 0 {
		return nil, standing, false
	}
	for _, far := range []bool{false, true} {
		t, st, ok := m.standOn(p, given, far)
		if ok && (best == nil || t.Margin > best.Margin) {
			best, standing = t, st
		}
	}
	return best, standing, best != nil
}

// standOn is onThree at one end.
func (m *model) standOn(p *point, given Standing, far bool) (*OnThree, Standing, bool) {
	at, block := quarterPoint*m.in.Bed.Length, (1-quarterPoint)*m.in.Bed.Length
	if far {
		at, block = block, at
	}
	t := &OnThree{}
	st, ok := t.lay(given, at, block, m.in.Bed.Length/10)
	if !ok {
		return nil, Standing{}, false
	}
	t.balance(m.states[m.now].linear.Resultant, st.Feet)
	if t.Least < leastShare {
		return nil, Standing{}, false
	}
	v, err := beam.NewSolver(m.in.Bed, st, beam.Options{Cells: trialCells})
	if err != nil {
		return nil, Standing{}, false
	}
	t.letDown(m.draw(p), given, st, v)
	for i, down := range t.LetDown {
		if !given.reaches(i, -down) {
			return nil, Standing{}, false
		}
	}
	for k, foot := range t.Pair {
		if foot >= 0 && !given.bears(foot, t.Loads[k]) {
			return nil, Standing{}, false
		}
	}
	like := given.Like
	if like < 0 {
		like = slices.IndexFunc(m.in.Standings, func(s Standing) bool { return s.Name == given.Name })
	}
	return t, Standing{Standing: st, Solver: v, Like: like, HeightSD: heightSD}, true
}

// lay places the three: the pair of feet nearest to at, blocks there where none is near, and a block; not where no
// foot faces another.
func (t *OnThree) lay(given Standing, at, block, near float64) (st beam.Standing, ok bool) {
	i, j := nearestPair(given.Feet, at)
	if j < 0 {
		return st, false
	}
	a, b := given.Feet[i], given.Feet[j]
	t.Pair = [2]int{i, j}
	ofBlock := func(name string, at, offset float64) beam.Foot {
		return beam.Foot{Name: given.Name + name, At: at, Offset: offset, Stiffness: blockGive}
	}
	if math.Abs((a.At+b.At)/2-at) > near {
		t.Pair = [2]int{-1, -1}
		a, b = ofBlock(" pair 1", at, a.Offset), ofBlock(" pair 2", at, b.Offset)
	}
	st = beam.Standing{Name: given.Name + " on three", Gradient: given.Gradient, Weights: given.Weights,
		Feet: []beam.Foot{a, b, ofBlock(" block", block, (a.Offset+b.Offset)/2)}}
	for k, f := range st.Feet {
		t.At[k] = [2]float64{f.At, f.Offset}
	}
	return st, true
}

// nearestPair returns two feet on either side of the bed, at nearly one place along it,
// that stand nearest to x; −1 where there is none.
func nearestPair(feet []beam.Foot, x float64) (i, j int) {
	i, j = -1, -1
	best := math.Inf(1)
	for a := range feet {
		for b := range feet {
			apart := math.Abs(feet[a].At - feet[b].At)
			wide := feet[b].Offset - feet[a].Offset
			if off := math.Abs((feet[a].At+feet[b].At)/2 - x); wide > 0 && apart < wide/4 && off < best {
				i, j, best = a, b, off
			}
		}
	}
	return i, j
}

// balance fills in loads and margin from the weight.
func (t *OnThree) balance(weight [3]float64, feet []beam.Foot) {
	x, y := weight[1]/weight[0], weight[2]/weight[0]
	area := func(ax, ay, bx, by, cx, cy float64) float64 { return (bx-ax)*(cy-ay) - (cx-ax)*(by-ay) }
	whole := area(feet[0].At, feet[0].Offset, feet[1].At, feet[1].Offset, feet[2].At, feet[2].Offset)
	t.Margin, t.Least = math.Inf(1), 1
	for k := range 3 {
		a, b := feet[(k+1)%3], feet[(k+2)%3]
		side := math.Hypot(b.At-a.At, b.Offset-a.Offset)
		part := area(a.At, a.Offset, b.At, b.Offset, x, y) / whole
		t.Loads[k] = part * weight[0]
		t.Margin = min(t.Margin, part*math.Abs(whole)/side)
		t.Least = min(t.Least, part)
	}
}

// letDown fills in how far the feet that do not carry are let down: the bed droops from
// where it stands now, the places of the three staying where they are.
func (t *OnThree) letDown(now beam.Draw, given Standing, three beam.Standing, v *beam.Solver) {
	on := now
	on.Heights, on.Feet = make([]float64, 3), nil // heights of three only tilt the bed
	is, err := given.Solver.Solve(beam.Case{Draw: now})
	if err != nil {
		return
	}
	was, err := v.Solve(beam.Case{Draw: on})
	if err != nil {
		return
	}
	change := func(x, y float64) float64 {
		return was.Read(v.Probe([]float64{x}, y))[0] - is.Read(given.Solver.Probe([]float64{x}, y))[0]
	}
	all := append(slices.Clone(given.Feet), three.Feet...)
	n := len(given.Feet)
	off := offPlane(all, []int{n, n + 1, n + 2})
	h := make([]float64, len(all))
	for i, f := range all {
		h[i] = change(f.At, f.Offset)
	}
	for i := range given.Feet {
		if i == t.Pair[0] || i == t.Pair[1] {
			t.LetDown, t.Packing = append(t.LetDown, 0), append(t.Packing, 0)
			continue
		}
		sum := 0.0
		for k := range all {
			sum += off.At(i, k) * h[k]
		}
		d := max(0, -sum) + clearance
		t.LetDown, t.Packing = append(t.LetDown, d), append(t.Packing, d+packing)
	}
}
