package cut

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/casting"
	"footwork/beam/shape"
)

// Options is how metal comes off.
type Options struct {
	StraightIn   string   // standing in which the ways must be straight; "": the survey's own
	TableAt      *float64 // m, where the table's left end then stands; nil: no table on the bed
	DepthPerPass float64  // m
	TimePerPass  float64  // s
	Until        float64  // m, what may be left standing; less than a pass: a pass
}

// Way is one way of one bed as it stands.
type Way struct {
	Name     string
	Offset   float64      // m across the bed
	Width    float64      // m; 0: not given
	Vee      *casting.Vee // nil: a flat
	X        []float64    // m, stations, increasing; two or more are kept
	Height   []float64    // m, one a station; of tied ways in one frame
	Sideways []float64    // m towards positive offset, of a vee; nil: not known, and left as it is
	LeaveOut []shape.Span // m along the bed: neither cut nor looked at

	// Between is what stands more between the stations than straight lines show, square to
	// each face (m), at places that have all stations among them: where passes ended there by
	// the log. It makes a place to be cut deeper, or less deep, and never the line lower, for
	// it is told less well than the stations. Empty: nothing is known of it.
	Between []shape.Shape
}

// Task is what is cut.
type Task struct {
	Ways     []Way
	Tied     bool         // all ways are cut to one plane
	Parallel bool         // the distance between vees is known: they are cut to parallel lines sideways
	Crown    float64      // m, wanted form over the stations, middle high positive
	Unworn   []shape.Span // m along the bed, where metal is unworn: the line of a way runs along it; nil: the lowest line
	Options  Options
}

// Face is what is left for the scraper on a flat or on one flank.
type Face struct {
	Way      int       // of the task
	Flank    int       // 1 and 2 of a vee, towards negative and positive offset; 0: a flat
	X, Depth []float64 // m, square to the face, at the stations that are not left out
	Deepest  float64   // m
	Volume   float64   // m³ of solid metal
	Passes   float64   // whole
	Hours    float64
}

// Result is the answer for one bed.
type Result struct {
	Faces []Face
	Zone  float64 // m, how far out of straight before the cut, up and down or sideways
	Sink  float64 // m, how far the table comes down by it: the mean over stations and ways
}

// Cut tells what is to come off one bed. It is an error of package convex when no answer of
// a vee's programme holds.
func Cut(in Task) (Result, error) {
	in = in.kept().lessCrown() // the crown spans what is kept
	depth, err := in.depths()
	if err != nil {
		return Result{}, err
	}
	out := Result{Zone: in.zone()}
	for w, way := range in.Ways {
		out.Sink += way.sink(depth[w]) / float64(len(in.Ways))
		for k, d := range depth[w] {
			for i := range d {
				d[i] = max(0, d[i]) // rounding
			}
			out.Faces = append(out.Faces, in.face(w, k, d))
		}
	}
	return out, nil
}

// depths returns what comes off, [way][flank][station].
func (in Task) depths() ([][][]float64, error) {
	switch {
	case in.Unworn != nil:
		return in.alongUnworn(), nil
	case slices.ContainsFunc(in.Ways, func(w Way) bool { return w.Vee != nil }):
		return in.programme()
	}
	return in.flats(), nil
}

// kept leaves the stations away that lie where nothing is cut.
func (in Task) kept() Task {
	in.Ways = slices.Clone(in.Ways)
	for k, w := range in.Ways {
		in.Ways[k] = w.Kept()
	}
	return in
}

// Kept returns the way with those of its stations that are not left out.
func (w Way) Kept() Way {
	out := w
	out.X, out.Height, out.Sideways = nil, nil, nil
	for i, at := range w.X {
		if w.leaves(at) {
			continue
		}
		out.X, out.Height = append(out.X, at), append(out.Height, w.Height[i])
		if w.Sideways != nil {
			out.Sideways = append(out.Sideways, w.Sideways[i])
		}
	}
	return out
}

// lessCrown takes the wanted form off the heights that are kept.
func (in Task) lessCrown() Task {
	for _, w := range in.Ways {
		from, long := w.X[0], w.X[len(w.X)-1]-w.X[0]
		for i, x := range w.X {
			s := (x - from) / long
			w.Height[i] -= 4 * in.Crown * s * (1 - s)
		}
	}
	return in
}

// face counts what one depth takes.
func (in Task) face(way, flank int, depth []float64) Face {
	w := in.Ways[way]
	if len(w.Between) > 0 {
		w.X, depth = w.finer(flank, depth)
	}
	f := Face{Way: way, X: w.X, Depth: depth, Deepest: slices.Max(depth), Volume: w.area(depth) * w.width(flank)}
	if w.Vee != nil {
		f.Flank = flank + 1
	}
	f.Passes = in.Options.passes(f.Deepest)
	f.Hours = f.Passes * in.Options.TimePerPass / 3600
	return f
}

// finer returns the depth at what lies between the stations too, where it is not left out.
func (w Way) finer(flank int, depth []float64) (x, finer []float64) {
	seen := shape.Shape{X: w.X, Y: depth}
	for i, at := range w.Between[flank].X {
		if at >= w.X[0] && at <= w.X[len(w.X)-1] && !w.leaves(at) {
			x, finer = append(x, at), append(finer, max(0, seen.At(at)+w.Between[flank].Y[i]))
		}
	}
	return x, finer
}

// leaves tells whether a place is left out.
func (w Way) leaves(x float64) bool {
	return slices.ContainsFunc(w.LeaveOut, func(s shape.Span) bool { return x >= s.From && x <= s.To })
}

// width returns that of one of its faces, m: a flank has half the way's, seen square.
func (w Way) width(flank int) float64 {
	if w.Vee == nil {
		return w.Width
	}
	return w.Width / 2 / math.Cos(w.Vee.Flanks[flank])
}

// sink returns how far a rider comes down on the mean.
func (w Way) sink(depth [][]float64) float64 {
	down := slices.Clone(depth[0])
	if w.Vee != nil {
		for i := range down {
			down[i], _ = w.Vee.Sink([2]float64{depth[0][i], depth[1][i]})
		}
	}
	sum := 0.0
	for _, d := range down {
		sum += d / float64(len(down))
	}
	return sum
}

// telling is the least depth that is one: nothing on a bed is known to a nanometre.
const telling = 1e-9

// Leaves returns what is left standing, m.
func (w Options) Leaves() float64 { return max(w.DepthPerPass, w.Until) }

// passes returns the whole passes that a depth takes; 0 when that of a pass is not known.
func (w Options) passes(depth float64) float64 {
	if w.DepthPerPass <= 0 {
		return 0
	}
	return math.Ceil(max(0, depth-w.Leaves()-telling) / w.DepthPerPass)
}

// zone returns how far the ways are out of straight: of tied flats about their plane, and
// else the worst way, up and down or sideways.
func (in Task) zone() (zone float64) {
	if in.tied() {
		zone, _, _, _ = in.plane()
	} else {
		for _, w := range in.Ways {
			zone = max(zone, shape.Zone(w.X, w.Height))
		}
	}
	for _, w := range in.Ways {
		if w.Sideways != nil {
			zone = max(zone, shape.Zone(w.X, w.Sideways))
		}
	}
	return zone
}

// plane returns the zone of all ways about their common plane a + bx + cy.
func (in Task) plane() (zone, a, b, c float64) {
	var x, y, h []float64
	for _, w := range in.Ways {
		x, h = append(x, w.X...), append(h, w.Height...)
		y = append(y, slices.Repeat([]float64{w.Offset}, len(w.X))...)
	}
	return shape.NewPlanes(x, y).Zone(h)
}

// flats returns the depths of ways that are all flats: about a plane, or each about its line
// of least zone.
func (in Task) flats() (out [][][]float64) {
	var zero, a, b, c float64
	if in.tied() {
		_, a, b, c = in.plane()
		zero = math.Inf(1)
	}
	for _, w := range in.Ways {
		h := shape.Shape{X: w.X, Y: w.Height}.AboutMinimumZone().Y
		if in.tied() {
			h = shape.Shape{X: w.X, Y: w.Height}.About(shape.Line{A: a + c*w.Offset, B: b}).Y
			zero = min(zero, slices.Min(h))
		} else {
			floats.AddConst(-slices.Min(h), h)
		}
		out = append(out, [][]float64{h})
	}
	for _, d := range out {
		floats.AddConst(-zero, d[0])
	}
	return out
}

// alongUnworn returns the depths of ways that are cut along where their metal is unworn: up
// and down and sideways along the line of least squares through it, sunk until nothing lies
// below.
func (in Task) alongUnworn() (out [][][]float64) {
	for _, w := range in.Ways {
		up, aside := in.about(w, w.Height), make([]float64, len(w.X))
		if w.Sideways != nil {
			aside = in.about(w, w.Sideways)
		}
		faces, sink := make([][]float64, w.faces()), math.Inf(-1)
		for k := range faces {
			u, lean := w.normal(k)
			for i := range up {
				n := u*up[i] + lean*aside[i]
				faces[k], sink = append(faces[k], n), max(sink, -n/u)
			}
		}
		for k, n := range faces {
			u, _ := w.normal(k)
			floats.AddConst(u*sink, n)
		}
		out = append(out, faces)
	}
	return out
}

// about returns what a way has about the line of least squares through where its metal is
// unworn; with fewer than two stations there, about its line of least zone.
func (in Task) about(w Way, y []float64) []float64 {
	var unworn shape.Shape
	for i, x := range w.X {
		if slices.ContainsFunc(in.Unworn, func(s shape.Span) bool { return x >= s.From && x <= s.To }) {
			unworn.X, unworn.Y = append(unworn.X, x), append(unworn.Y, y[i])
		}
	}
	if len(unworn.X) < 2 {
		return shape.Shape{X: w.X, Y: y}.AboutMinimumZone().Y
	}
	return shape.Shape{X: w.X, Y: y}.About(unworn.LeastSquaresLine()).Y
}

// area returns ∫ y dx by straight lines between stations, where the way is not left out.
func (w Way) area(y []float64) (sum float64) {
	for i := 1; i < len(w.X); i++ {
		from, slope := w.X[i-1], (y[i]-y[i-1])/(w.X[i]-w.X[i-1])
		for _, s := range shape.Less([]shape.Span{{From: from, To: w.X[i]}}, w.LeaveOut) {
			sum += (s.To - s.From) * (y[i-1] + slope*((s.From+s.To)/2-from))
		}
	}
	return sum
}
