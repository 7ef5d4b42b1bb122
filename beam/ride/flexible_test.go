package ride

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// rigidBed does not bend, and stands on rigid feet.
func rigidBed(length float64) (casting.Bed, beam.Standing) {
	b := shopBed(length)
	b.Material.Modulus, b.Material.ShearModulus = 1e22, 1e22
	return b, pairs(length, 2, math.Inf(1))
}

// With great EI the pressure is the stiff table's, whole or partly over the
// ways, in the middle or off it.
func TestStiffensToTheStiffTable(t *testing.T) {
	b, s := rigidBed(4)
	for _, stiff := range []Table{
		{Length: 2, Weight: 1e4, Tool: 2, Stroke: &shape.Span{From: -0.8, To: 2.9}},
		{Length: 2, Weight: 1e4, Tool: 2, Stroke: &shape.Span{From: 1, To: 1.5}, Offset: 0.1},
	} {
		flexible := stiff
		flexible.Bending, flexible.Contact = 1e14, 4e9
		want := travel(t, b, s, stiff, journey{Places: 9, Cells: 200})
		got := travel(t, b, s, flexible, journey{Places: 9, Cells: 200})
		for i, p := range got.Places {
			for w, row := range p.Pressure {
				for k, v := range row {
					if x := p.At + got.Along[k]; math.Abs(x) < 0.01 || math.Abs(x-4) < 0.01 {
						continue // the cell at the end of the ways
					}
					if q := want.Places[i].Pressure[w][k]; math.Abs(v-q) > 0.01*stiff.Weight {
						t.Fatalf("table at %.3f m, way %d at %.3f m: %.1f N/m, stiff %.1f", p.At, w, got.Along[k], v, q)
					}
				}
			}
		}
	}
}

// Without stiffness every metre presses with its own weight.
func TestSlackTableLiesEven(t *testing.T) {
	b, s := shopBed(4), pairs(4, 3, 9e8)
	tr := travel(t, b, s, Table{Length: 1.5, Weight: 9000, Tool: 2, Bending: 1, Contact: 4e9, Stroke: &shape.Span{From: 0, To: 2.5}}, journey{Places: 11})
	for _, p := range tr.Places {
		for _, row := range p.Pressure {
			for k, v := range row {
				if math.Abs(v-3000) > 3 {
					t.Fatalf("table at %g m, %g m along it: %g N/m, want 3000", p.At, tr.Along[k], v)
				}
			}
		}
	}
}

// overhung is the pressure y·k of a table overhanging a short rigid bed by a at
// both ends: the general solution of the beam on an elastic foundation (M.
// Hetényi, Beams on Elastic Foundation, 1946; form from memory),
// y = w/k + A·cosh βx cos βx + B·sinh βx sin βx, with M = −wa²/2 and V = wa of the
// overhang at x = c/2.
func overhung(w, k, ei, c, a float64) func(x float64) float64 {
	beta := math.Pow(k/(4*ei), 0.25)
	u := beta * c / 2
	cc, ss := math.Cosh(u)*math.Cos(u), math.Sinh(u)*math.Sin(u)
	cs, sc := math.Cosh(u)*math.Sin(u), math.Sinh(u)*math.Cos(u)
	// EI·y″ = wa²/2 and EI·y‴ = −wa:
	b2, b3 := w*a*a/2/(2*ei*beta*beta), -w*a/(2*ei*beta*beta*beta)
	m11, m12, m21, m22 := -ss, cc, -(cs + sc), sc-cs
	det := m11*m22 - m12*m21
	p, q := (b2*m22-m12*b3)/det, (m11*b3-m21*b2)/det
	return func(x float64) float64 {
		v := beta * x
		return w + k*(p*math.Cosh(v)*math.Cos(v)+q*math.Sinh(v)*math.Sin(v))
	}
}

func TestOverhangingTableIsHetenyis(t *testing.T) {
	const long, weight, ei, k = 2.4, 13000., 2e6, 4e9
	b, s := rigidBed(1.9)
	want := overhung(weight/long, 2*k, ei, 1.9, 0.25)
	if want(0) < 0 {
		t.Fatal("lifts: not the case meant here")
	}
	off := func(cells int) (worst float64) {
		tr := travel(t, b, s, Table{Length: long, Weight: weight, Tool: 1, Bending: ei, Contact: k, Stroke: &shape.Span{From: -0.25, To: -0.25}}, journey{Places: 1, Cells: cells})
		p := tr.Places[0]
		for i, at := range tr.Along {
			if x := at - long/2; math.Abs(x) < 0.9 {
				worst = max(worst, math.Abs(p.Pressure[0][i]+p.Pressure[1][i]-want(x)))
			}
		}
		return worst / (weight / long)
	}
	coarse, fine := off(96), off(384)
	if order := math.Log2(coarse/fine) / 2; fine > 1e-3 || math.Abs(order-2) > 0.1 {
		t.Errorf("off by %.2g of the mean pressure on 96 cells, %.2g on 384: order %.2f", coarse, fine, order)
	}
}

// Where the bilateral solution would pull the table lifts, in the middle.
func TestLongTableLiftsOverAShortBed(t *testing.T) {
	const long, weight, ei, k = 2.4, 13000., 2e6, 4e9
	b, s := rigidBed(1.2)
	if overhung(weight/long, 2*k, ei, 1.2, 0.6)(0) > 0 {
		t.Fatal("does not lift: not the case meant here")
	}
	tr := travel(t, b, s, Table{Length: long, Weight: weight, Tool: 1, Bending: ei, Contact: k, Stroke: &shape.Span{From: -0.6, To: -0.6}}, journey{Places: 1})
	p := tr.Places[0]
	if !p.Loose[23] || !p.Loose[24] || p.Loose[13] || p.Loose[34] {
		t.Errorf("loose: %v", p.Loose)
	}
}

// Block pivoting and the dual active set find the same, and the springs hold:
// p = k·(bed − table), the table's height being read through the tool.
func TestFlexibleContactIsConsistent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		table := Table{Length: rapid.Float64Range(0.2, 1.5).Draw(t, "length") * b.Length, Weight: 8000, Contact: 4e9,
			Offset: rapid.Float64Range(-0.2, 0.2).Draw(t, "offset"), Bending: math.Pow(10, rapid.Float64Range(3, 9).Draw(t, "EI"))}
		reach := table.Reach(b)
		at := rapid.Float64Range(reach.From, reach.To).Draw(t, "at")
		long := table.Length / 12
		j := journey{Cells: 12, Places: 1}
		for i := range 12 {
			if lo, hi := max(0, at+float64(i)*long), min(b.Length, at+float64(i+1)*long); hi-lo > 1e-9*long {
				j.X = append(j.X, (lo+hi)/2)
			}
		}
		v := solverOf(t, b, s, beam.Options{Cells: 400, At: j.X})
		r, rider := v.Riding(beam.Case{}), table.rider(b.Ways, j.Cells, beam.Draw{})
		berth := r.berth(rider, at)
		cells := berth.cells
		sol := contact.Answer{}
		r.couple(rider, berth)
		if err := r.coupled.Solve(r.over(rider, berth), &sol); err != nil {
			t.Skip("the bed tips")
		}
		table.Stroke = &shape.Span{From: at, To: at}
		tr, err := v.Travel(table, j)
		if err != nil {
			t.Fatal(err)
		}
		plane, force := tablePlane(sol, at), sol.Force[len(v.points):]
		bent := rider.bent(cells, force)
		for a, c := range cells {
			var mean float64
			for i := range 16 { // Gauss, two places on each of eight parts
				x := c.s + c.long*((float64(i/2)+0.5+(float64(i%2)-0.5)/math.Sqrt(3))/8-0.5)
				mean += (bent(x) + plane.at(x, c.y)) / 16
			}
			sunk := tr.Places[0].Shapes[c.row][a%len(j.X)] - mean
			press := force[a] / c.long / table.Contact
			if within := 1e-11 + 1e-5*table.Weight*math.Pow(long, 3)/table.Bending/12; press > 0 && math.Abs(sunk-press) > within || sunk > press+within {
				t.Fatalf("at %g m the table sinks in by %g m, pressed in by %g m", c.x, sunk, press)
			}
		}
	})
}
