package beam

import (
	"encoding/json"
	"math"
	"math/big"
	"os"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/free"
)

const gravity = 9.80665 // m/s², standard (3rd CGPM, 1901)

// handbookCase is one case of testdata/handbook in units of w, L and EI:
// deflections downwards, reactions upwards, moments positive when sagging.
type handbookCase struct {
	Name, Source string
	Length       float64
	Feet         []float64
	Heights      []float64
	Uniform      float64
	Lines        [][3]float64 // from, to, load per length
	Points       [][2]float64 // at, force
	Spring       float64      // kL³/EI of every foot; 0: rigid
	Phi          float64      // 12EI/κGAL²; 0: no shear
	Bow          float64      // free curvature from a warm top
	Reactions    []fraction
	Moments      []pair
	Deflections  []pair
	Printed      [][3]float64 // x, deflection, half the last printed digit
}

type fraction float64

func (f *fraction) UnmarshalJSON(b []byte) error {
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return err
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		return &json.UnmarshalTypeError{Value: s}
	}
	v, _ := r.Float64()
	*f = fraction(v)
	return nil
}

type pair struct{ x, want float64 }

func (p *pair) UnmarshalJSON(b []byte) error {
	var f fraction
	parts := [2]any{&p.x, &f}
	err := json.Unmarshal(b, &parts)
	p.want = float64(f)
	return err
}

func handbook(t testing.TB) (cases []handbookCase) {
	b, err := os.ReadFile("../testdata/handbook/continuous.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &cases); err != nil {
		t.Fatal(err)
	}
	return cases
}

// bed builds the case with its feet held, as in the tables.
func (c handbookCase) bed() (casting.Bed, Standing, Case) {
	s := casting.Section{To: c.Length, Area: 1, Inertia: 1, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}
	if c.Phi > 0 {
		s.ShearArea = 12 / c.Phi
	}
	b := casting.Bed{Length: c.Length, Sections: []casting.Section{s},
		Material: casting.Material{Modulus: 1, ShearModulus: 1, Density: c.Uniform / gravity, Expansion: c.Bow}}
	st := Standing{Gradient: 1}
	for i, x := range c.Feet {
		f := Foot{At: x, Stiffness: math.Inf(1), Held: true}
		if c.Spring > 0 {
			f.Stiffness = c.Spring
		}
		if c.Heights != nil {
			f.Height = c.Heights[i]
		}
		st.Feet = append(st.Feet, f)
	}
	var v Case
	for _, l := range c.Lines {
		v.Lines = append(v.Lines, free.Line{From: l[0], To: l[1], Start: l[2], End: l[2]})
	}
	for _, p := range c.Points {
		st.Weights = append(st.Weights, casting.Weight{At: p[0], Force: p[1]})
	}
	return b, st, v
}

// moment returns M at x from loads and reactions, positive when sagging.
func (c handbookCase) moment(x float64, feet []FootState) (m float64) {
	for _, f := range feet {
		m += f.Load * max(0, x-f.At)
	}
	m -= c.Uniform * x * x / 2
	for _, l := range c.Lines {
		if hi := min(x, l[1]); hi > l[0] {
			m -= l[2] * (hi - l[0]) * (x - (hi+l[0])/2)
		}
	}
	for _, p := range c.Points {
		m -= p[1] * max(0, x-p[0])
	}
	return m
}

func solve(t testing.TB, b casting.Bed, s Standing, c Case, o Options) *State {
	t.Helper()
	v, err := NewSolver(b, s, o)
	if err != nil {
		t.Fatal(err)
	}
	st, err := v.Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func TestHandbook(t *testing.T) {
	for _, c := range handbook(t) {
		t.Run(c.Name, func(t *testing.T) {
			b, s, v := c.bed()
			for _, refine := range []int{1, 10} {
				st := solve(t, b, s, v, Options{Cells: refine * 5000})
				within := 1e-5 / math.Pow(float64(refine), 1.5) // it must still fall
				feet := st.Feet()
				for i, want := range c.Reactions {
					near(t, "reaction", feet[i].At, feet[i].Load, float64(want), within)
				}
				for _, m := range c.Moments {
					near(t, "moment", m.x, c.moment(m.x, feet), m.want, within)
				}
				way := st.Way(0)
				for _, d := range c.Deflections {
					near(t, "deflection", d.x, -way.At(d.x), d.want, within)
				}
				for _, p := range c.Printed {
					if got := -way.At(p[0]); math.Abs(got-p[1]) > p[2]*1.001 {
						t.Errorf("printed deflection at %g: got %.7g, want %g ± %g", p[0], got, p[1], p[2])
					}
				}
			}
		})
	}
}

// near is a check of relative error; where the true value is zero, absolute.
func near(t testing.TB, what string, at, got, want, within float64) {
	t.Helper()
	scale := math.Abs(want)
	if scale == 0 {
		scale = 1
	}
	if !(math.Abs(got-want) <= within*scale) {
		t.Errorf("%s at %g: got %.10g, want %.10g (off by %.2g of it)", what, at, got, want, math.Abs(got-want)/scale)
	}
}
