package survey

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// fourFeet is a bed on two pairs, read so coarsely that its prior matters.
func fourFeet(t testing.TB, noise float64) (*world, MatchInput) {
	w := newWorld(t, 2, 3)
	w.bed.Sections[0].Torsion = 1e-3                                                         // boxed in: it rocks rather than twists
	w.standing.Weights = []beam.Weight{{Name: "gearbox", At: 0.5, Offset: 0.1, Force: 1500}} // else two feet on a diagonal could carry it all
	var err error
	if w.solver, err = beam.NewSolver(w.bed, w.standing, beam.Options{Cells: 1000}); err != nil {
		t.Fatal(err)
	}
	w.slopeSD = noise
	in := w.input()
	in.Scenarios, in.Seed = 400, 5
	w.survey(t, &in, "2026-03-02")
	return w, in
}

// hangs returns the probability that a foot carries nothing.
func hangs(m Matched, foot string) float64 {
	for _, f := range m.Feet {
		if f.Name == foot {
			return 1 - f.Carries
		}
	}
	panic("no such foot")
}

// TestContactsAreWeighedAsByBruteForce compares the sampler with plain integration:
// 200,000 draws from the prior, each weighted with its likelihood under all kernels.
func TestContactsAreWeighedAsByBruteForce(t *testing.T) {
	_, in := fourFeet(t, 4/3600.0*math.Pi/180)
	m, err := newModel(in)
	if err != nil {
		t.Fatal(err)
	}
	gs := m.marginals()
	r := rand.New(rand.NewPCG(8, 8))
	var logs []float64
	var loose [][4]bool
	p := m.newPoint()
	for range 200000 {
		for i := range p.u {
			p.u[i] = r.NormFloat64()
		}
		b, f := math.Exp(bedSD*r.NormFloat64()), math.Exp(m.footSD*r.NormFloat64())
		p.u[m.bed], p.u[m.bed+1] = (1/b-1)/m.sd[m.bed], (b/f-1)/m.sd[m.bed+1]
		if !m.stand(p) {
			continue
		}
		top, sum := math.Inf(-1), 0.0
		for k := range gs {
			top = max(top, gs[k].log(p.phi))
		}
		for k := range gs {
			sum += math.Exp(gs[k].log(p.phi) - top)
		}
		logs = append(logs, top+math.Log(sum))
		var row [4]bool
		for i := range row {
			row[i] = p.poses[0].on>>i&1 == 0
		}
		loose = append(loose, row)
	}
	top, total := math.Inf(-1), 0.0
	for _, l := range logs {
		top = max(top, l)
	}
	var want [4]float64
	effective := 0.0
	for k, l := range logs {
		e := math.Exp(l - top)
		total += e
		effective += e * e
		for i, off := range loose[k] {
			if off {
				want[i] += e
			}
		}
	}
	effective = total * total / effective
	if undecided := slices.ContainsFunc(want[:], func(p float64) bool { return p > 0.1*total && p < 0.9*total }); !undecided {
		t.Fatal("all feet are sure: the test says nothing")
	}
	got, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	if effective < 300 {
		t.Fatalf("the integration rests on %.0f draws only", effective)
	}
	// 400 scenarios of which every third is new, and `effective` draws
	tolerance := 3 * math.Sqrt(0.25/130+0.25/effective)
	for i := range want {
		p := want[i] / total
		if q := 1 - got.Feet[i].Carries; math.Abs(p-q) > tolerance {
			t.Errorf("%s hangs with %.3f, by integration %.3f ± %.3f", got.Feet[i].Name, q, p, tolerance)
		}
	}
}

// TestFeelDecides: a foot felt loose carries nothing, one felt tight carries, a jack's
// load and a feeler's gap are found again.
func TestFeelDecides(t *testing.T) {
	w, in := fourFeet(t, 100/3600.0*math.Pi/180)
	free, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	st, err := w.solver.Solve(w.truth)
	if err != nil {
		t.Fatal(err)
	}
	mean := st.Weight() / 4
	felt := func(f Felt) Matched {
		in := in
		f.Standing, f.Date = "floor", "2026-03-02"
		in.Felt = []Felt{f}
		m, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	foot := 0
	for i, f := range free.Feet {
		if math.Abs(f.Carries-0.5) < math.Abs(free.Feet[foot].Carries-0.5) {
			foot = i
		}
	}
	name := free.Feet[foot].Name
	if p := hangs(free, name); p < 0.1 || p > 0.9 {
		t.Fatalf("%s hangs with %.2f before anybody felt it: the test says nothing", name, p)
	}
	if f := felt(Felt{Foot: name, State: "loose"}).Feet[foot]; f.Load.High > 3*looseShare*mean {
		t.Errorf("felt loose, it carries up to %.0f N of a mean %.0f", f.Load.High, mean)
	}
	if m := felt(Felt{Foot: name, State: "tight"}); hangs(m, name) > 0.01 || m.Feet[foot].Load.Low < looseShare*mean {
		t.Errorf("felt tight, it hangs with %.2f, load from %.0f N", hangs(m, name), m.Feet[foot].Load.Low)
	}
	gap, load := 30e-6, 0.6*mean
	if f := felt(Felt{Foot: name, Gap: &gap}).Feet[foot]; math.Abs(f.Gap.Value-gap) > feelerSD || f.Gap.High-f.Gap.Low > 5*feelerSD {
		t.Errorf("a gap of 30 µm is believed to be %.0f, %.0f to %.0f µm", f.Gap.Value*1e6, f.Gap.Low*1e6, f.Gap.High*1e6)
	}
	if f := felt(Felt{Foot: name, Load: &load, Uncertainty: 0.03 * mean}).Feet[foot]; math.Abs(f.Load.Value-load) > 0.04*mean {
		t.Errorf("a load of %.0f N is believed to be %.0f N", load, f.Load.Value)
	}
}

// TestReadingsThatSayNothing: with a useless instrument the prior comes back, and
// statics with it. A bed that does not twist rocks on four feet: never do two hang,
// and the feet beside the gearbox cannot.
func TestReadingsThatSayNothing(t *testing.T) {
	_, in := fourFeet(t, 4000/3600.0*math.Pi/180)
	m, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range m.Sets {
		if len(s.Hanging) > 1 || slices.Contains(s.Hanging, "F1") || slices.Contains(s.Hanging, "B1") {
			t.Errorf("%v hang with %.2f", s.Hanging, s.Probability)
		}
	}
	for _, f := range m.Feet {
		if f.Height.Told {
			t.Errorf("the height of %s is said to be told by readings that say nothing", f.Name)
		}
	}
	if m.Bed.Told || m.FootGive.Told || m.Gradient.Told {
		t.Errorf("stiffness %+v, feet %+v or heat %+v are said to be told by readings that say nothing", m.Bed, m.FootGive, m.Gradient)
	}
}

// TestEvidencePicksTheKernel draws forms from a known kernel on a bed held down to a
// rigid bearing, where form is all there is to see.
func TestEvidencePicksTheKernel(t *testing.T) {
	bed := shopBed(4)
	s := beam.Standing{Name: "table", Bearings: []beam.Bearing{{From: 0.1, To: 3.9, Stiffness: math.Inf(1), Held: true}}}
	v, err := beam.NewSolver(bed, s, beam.Options{Cells: 400, Panels: 20})
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float64, 30)
	for i := range x {
		x[i] = 0.1 + 3.8*float64(i)/29
	}
	r := rand.New(rand.NewPCG(4, 4))
	right, all := 0, 0
	for k, share := range lengths {
		cov := mat.NewSymDense(len(x), nil)
		for i := range x {
			for j := i; j < len(x); j++ {
				cov.SetSym(i, j, 16e-12*matern52((x[j]-x[i])/(share*3.8)))
			}
			cov.SetSym(i, i, cov.At(i, i)+1e-16)
		}
		var chol mat.Cholesky
		if !chol.Factorize(cov) {
			t.Fatal("covariance")
		}
		var l mat.TriDense
		chol.LTo(&l)
		for range 6 {
			in := MatchInput{Ways: bed.Ways, Standing: "table", Standings: []StandingModel{{Standing: s, Solver: v}}}
			for _, way := range bed.Ways {
				z := mat.NewVecDense(len(x), nil)
				for i := range x {
					z.SetVec(i, r.NormFloat64())
				}
				var y mat.VecDense
				y.MulVec(&l, z)
				p := Profile{X: x, Height: y.RawVector().Data, Cov: mat.NewSymDense(len(x), nil)}
				for i := range x {
					p.Height[i] += 0.1e-6 * r.NormFloat64()
					p.Cov.SetSym(i, i, 1e-14)
				}
				in.Surveys = append(in.Surveys, Survey{Name: way.Name, Standing: "table", Way: way.Name, Instrument: Heights})
				in.Profiles = append(in.Profiles, p)
			}
			m, err := Match(in)
			if err != nil {
				t.Fatal(err)
			}
			all++
			at := m.Kernel.Length / 3.8
			if math.Abs(math.Log(at/share)) < math.Log(2.01) && m.Kernel.Amplitude > 1.9e-6 && m.Kernel.Amplitude < 8.1e-6 {
				right++
			} else {
				t.Logf("length %d (%.2f, 4 µm) taken for %.2f, %.1f µm", k, share, at, m.Kernel.Amplitude*1e6)
			}
		}
	}
	if right < all*8/10 {
		t.Errorf("%d of %d kernels within one step of the truth", right, all)
	}
}

// TestMovesTeachTheStiffness: with feet moved by known amounts and everything
// carrying, the bed's factor is learnt and its interval holds the truth.
func TestMovesTeachTheStiffness(t *testing.T) {
	in95, told, before, after := 0, 0, 0.0, 0.0
	const beds = 24
	for seed := range uint64(beds) {
		w := newWorld(t, 3, seed+100)
		for i := range w.truth.Heights {
			w.truth.Heights[i] *= 0.1 // nothing hangs
		}
		in := w.input()
		w.survey(t, &in, "2026-03-02")
		one, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		w.truth.Heights[2] += 25e-6
		w.truth.Heights[3] += 20e-6
		in.Moves = []Move{{Date: "2026-03-03", Standing: "floor", Foot: "F2", Raise: 25e-6}, {Date: "2026-03-03", Standing: "floor", Foot: "B2", Raise: 20e-6}}
		w.survey(t, &in, "2026-03-04")
		two, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		before += math.Log(one.Bed.High / one.Bed.Low)
		after += math.Log(two.Bed.High / two.Bed.Low)
		if two.Bed.Low <= w.stiff && w.stiff <= two.Bed.High {
			in95++
		}
		if two.Bed.Told {
			told++
		}
		for _, r := range two.Responses { // stiffness hidden by 20 % and a factor of two
			if r.Observed*r.Predicted < 0 || math.Abs(math.Log(r.Observed/r.Predicted)) > 1 {
				t.Errorf("bed %d: %s moved the way by %.1f µm, predicted %.1f", seed, r.Foot, r.Observed*1e6, r.Predicted*1e6)
			}
		}
		if len(two.Responses) != 2 {
			t.Errorf("bed %d: %d responses of 2 moves", seed, len(two.Responses))
		}
	}
	if in95 < 20 { // of 24 at 95 %, fewer happens once in a hundred times
		t.Errorf("%d of %d intervals of 95 %% hold the bed's factor", in95, beds)
	}
	if after > 0.9*before || told < 4 {
		t.Errorf("moves narrowed the factor from %.2f to %.2f, told %d of %d", before/beds, after/beds, told, beds)
	}
	t.Logf("the bed's factor: log interval %.2f before, %.2f after known moves; told %d, held %d of %d", before/beds, after/beds, told, in95, beds)
}

// TestWhatCannotBeTold: from one way alone a foot's height and a form of the same
// shape look alike; both must be wide and tied, and the advice must say what helps.
func TestWhatCannotBeTold(t *testing.T) {
	w := newWorld(t, 4, 2)
	in := w.input()
	w.survey(t, &in, "2026-03-02")
	in.Surveys, in.Profiles = in.Surveys[:1], in.Profiles[:1]
	m, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	whole, noise := slices.Max(m.Ways[0].Whole.Sigma), slices.Max(m.Ways[0].Measured.Sigma)
	if whole > 1.5*noise {
		t.Errorf("the way itself is known to %.2f µm only, the instrument's %.2f", whole*1e6, noise*1e6)
	}
	if feet := m.Explained[0]; feet.Wide < 4*whole {
		t.Errorf("the share of the feet is told to ± %.2f µm, of a whole that is known to %.2f", feet.Wide*1e6, whole*1e6)
	}
	if len(m.Tied) == 0 {
		t.Error("nothing is said to be tied")
	}
	if len(m.Advice) == 0 || m.Advice[0].Bits <= 0 {
		t.Fatal("no advice")
	}
	var parts []string
	sum := 0.0
	for _, e := range m.Explained {
		parts, sum = append(parts, e.Part), sum+e.Value
	}
	if !slices.Contains(parts, "feet") || !slices.Contains(parts, "metal") || math.Abs(sum-m.Zone) > 1e-9 {
		t.Errorf("parts %v add up to %g m of %g m", parts, sum, m.Zone)
	}
}

// TestAWayNotSeenIsNotForgotten: after a pass over the front way alone, surveyed
// alone, as much is known of the back way as before.
func TestAWayNotSeenIsNotForgotten(t *testing.T) {
	w := newWorld(t, 4, 3)
	in := w.input()
	w.survey(t, &in, "2026-03-02")
	before, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	w.survey(t, &in, "2026-03-04")
	in.Surveys, in.Profiles = in.Surveys[:4], in.Profiles[:4] // its front way
	in.Surveys[3].Pass = 1
	after, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	worst := func(c Curve) float64 { return slices.Max(c.Sigma) }
	if was, is := worst(before.Ways[1].Whole), worst(after.Ways[1].Whole); is > 1.5*was {
		t.Errorf("the back way was known to %.2f µm and is to %.2f", was*1e6, is*1e6)
	}
	for i, y := range after.Ways[1].Rest {
		if math.Abs(y) > 4*(after.Ways[1].Measured.Sigma[i]+0.1e-6) {
			t.Errorf("the back way at %.2f m is off by %.2f µm of what was measured", after.Ways[1].X[i], y*1e6)
		}
	}
}
