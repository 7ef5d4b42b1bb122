package plan

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/shape"
)

// stood is how a draw of a task stands by package beam alone, raised.
func stood(t testing.TB, task Task, d beam.Draw, raise []float64) *beam.State {
	t.Helper()
	d.Heights = slices.Clone(d.Heights)
	for f, r := range raise {
		d.Heights[f] += r
	}
	st, err := task.Solver.Solve(beam.Case{Draw: d})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// lines are the ways of a bed made ready to be read, and planes over their stations.
type lines struct {
	ways   []*beam.Probe
	planes *shape.Planes
}

// ready keeps the lines of every bed.
var ready = map[*beam.Solver]lines{}

func linesOf(task Task) lines {
	l, ok := ready[task.Solver]
	if !ok {
		var x, y []float64
		for _, way := range task.Ways {
			offset := task.Bed.Ways[way.Of].Offset
			l.ways = append(l.ways, task.Solver.Probe(way.X, offset))
			x, y = append(x, way.X...), append(y, slices.Repeat([]float64{offset}, len(way.X))...)
		}
		l.planes = shape.NewPlanes(x, y)
		ready[task.Solver] = l
	}
	return l
}

// zoneOf returns the zone of the ways of a draw that stands so.
func zoneOf(task Task, d beam.Draw, st *beam.State) (zone float64) {
	l := linesOf(task)
	var h []float64
	for w, way := range task.Ways {
		heights := st.Read(l.ways[w])
		floats.Add(heights, d.Form[w].Y)
		h, zone = append(h, heights...), max(zone, shape.Zone(way.X, heights))
	}
	if task.Tied {
		zone, _, _, _ = l.planes.Zone(h)
	}
	return zone
}

// truth stands a draw of a task, raised, and returns the zone of its ways and how its feet stand.
func truth(t testing.TB, task Task, d beam.Draw, raise []float64) (zone float64, feet []beam.FootState) {
	t.Helper()
	st := stood(t, task, d, raise)
	return zoneOf(task, d, st), st.Feet()
}

// costOf is what a certain bed's raises cost, by the rule of doc.go.
func costOf(t testing.TB, task Task, raise []float64) float64 {
	t.Helper()
	zone, feet := truth(t, task, task.Draws[0], raise)
	return zone + loadCost(task, feet)
}

// loadCost is what feet that stand so add to it.
func loadCost(task Task, feet []beam.FootState) (cost float64) {
	mean, most, sum := 0.0, 0.0, 0.0
	for _, f := range feet {
		mean += f.Load / float64(len(feet))
	}
	for _, f := range feet {
		lack := max(0, task.Goal.LeastLoad-f.Load/mean)
		most, sum = max(most, lack), sum+lack
	}
	if most > unnoticed {
		cost += 200e-6 * (0.95 - math.Sqrt(0.05*0.95))
	}
	return cost + 50e-6*sum
}

// least lowers best to what a bed costs that stands so: its zone is asked for only where loads leave
// it open.
func least(task Task, st *beam.State, best *float64) {
	if c := loadCost(task, st.Feet()); c < *best {
		*best = min(*best, c+zoneOf(task, task.Draws[0], st))
	}
}

// total returns what a plan raises each foot of the certain bed by, touching and all.
func total(t testing.TB, task Task, p Plan) []float64 {
	feet := stood(t, task, task.Draws[0], nil).Feet()
	raise := make([]float64, len(feet))
	for _, m := range p.Moves {
		raise[m.Foot] = m.Raise
		if m.Touch {
			raise[m.Foot] += feet[m.Foot].Gap
		}
	}
	return raise
}

func stacksOf(task Task) (out []float64) {
	for a := range 5 {
		for b := range 5 - a {
			if s := float64(a)*task.Goal.Shims[0] + float64(b)*task.Goal.Shims[1]; s > 0 && s <= task.Goal.MostMove*(1+1e-9) {
				out = append(out, s)
			}
		}
	}
	return out
}
