package beam

import (
	"math"
	"testing"

	"footwork/beam/casting"
)

// From plates, ribs and pads alone a beam does what the solid does when a foot is raised, a table comes or it just
// stands. The bounds are those that a move must be foretold within: 10 % of the range of the shape, 10 % of the mean load, no
// wrong sign, and 0.8 µm of sag and table. A bare box also opens sideways under what stands off its walls,
// which no beam knows: of that only moves are held. Flat bars close the open side of a deck less surely: 13 % of the shape where they
// are a zigzag, and a fifth of the mean load.
func TestBedsAsSolids(t *testing.T) {
	for _, name := range []string{"bed_a", "bed_c", "flange", "deck", "box", "box_bare", "end_boxes", "deck_zigzag", "deck_three", "deck_lattice", "deck_battens"} {
		shape, load := 0.10, 0.10
		switch name {
		case "deck_lattice":
			shape, load = 0.13, 0.17
		case "deck_battens":
			load = 0.19
		case "deck_zigzag":
			load = 0.11
		}
		s := readSolid(t, name)
		ribs := s.ribs()
		if ribs == nil {
			ribs = solidRibs(name)
		}
		b := s.bed(t, ribs)
		mean := s.Weight / float64(len(s.Feet))
		for _, kind := range []string{"soft", "rigid"} {
			for _, c := range []string{"weight", "table"} {
				off, _, loads, want := s.against(t, b, c, kind)
				if name == "box_bare" {
					continue
				}
				if off > 0.8e-6 {
					t.Errorf("%s %s, %s: off by %.2f µm", name, kind, c, off*1e6)
				}
				for i := range loads {
					if math.Abs(loads[i]-want[i]) > 0.1*mean {
						t.Errorf("%s %s, %s: foot %d carries %.0f N, the solid's %.0f", name, kind, c, i+1, loads[i], want[i])
					}
				}
			}
			for _, c := range []string{"F1 +25", "F2 +25"} {
				off, span, loads, want := s.against(t, b, c, kind)
				if off > shape*span {
					t.Errorf("%s %s, %s: off by %.1f %% of %.1f µm", name, kind, c, off/span*100, span*1e6)
				}
				for i := range loads {
					if math.Abs(loads[i]-want[i]) > load*mean || math.Abs(want[i]) > 0.1*mean && loads[i]*want[i] < 0 {
						t.Errorf("%s %s, %s: foot %d changes by %.0f N, the solid's by %.0f", name, kind, c, i+1, loads[i], want[i])
					}
				}
			}
		}
	}
}

// Without what a beam alone does not know a move is foretold wrong: walls that bend apart in beds a and c, feet off their
// wall, a box out of square.
func TestWhatABeamAloneMisses(t *testing.T) {
	for name, less := range map[string]func(*casting.Bed, *solidBed){
		"bed_a":    func(b *casting.Bed, _ *solidBed) { b.Sections[0].Warping = 0 },
		"bed_c":    func(b *casting.Bed, _ *solidBed) { b.Sections[0].Warping = 0 },
		"flange":   func(b *casting.Bed, _ *solidBed) { b.Sections[0].Plates = nil },
		"box_bare": func(b *casting.Bed, _ *solidBed) { b.Sections[0].TwistGiven = true },
		"deck_zigzag": func(b *casting.Bed, _ *solidBed) { // as if it stood between bare walls
			b.Sections[0].Torsion, b.Sections[0].TwistGiven = 3.2e-4, true
		},
	} {
		s := readSolid(t, name)
		ribs := s.ribs()
		if ribs == nil {
			ribs = solidRibs(name)
		}
		b := s.bed(t, ribs)
		less(&b, &s)
		if off, span, _, _ := s.against(t, b, "F2 +25", "rigid"); off < 0.1*span {
			t.Errorf("%s: off by %.1f %% alone", name, off/span*100)
		}
	}
}

// An inner wall hangs on slanting ribs, which give, and on end plates, which hardly do: these take more than their own
// weight, and all of it arrives.
func TestInnerWallHangsOnTheEndPlates(t *testing.T) {
	s := readSolid(t, "bed_c")
	b := s.bed(t, solidRibs("bed_c"))
	rest, err := asCast(b)
	if err != nil {
		t.Fatal(err)
	}
	var sum, first float64
	for i, w := range rest.Weights {
		sum += w.Force
		if i > 1 && w.Offset == 0 && w.At < 0.02 { // the first two are the end plates' own
			first += w.Force
		}
	}
	_, ribs := b.Drawn()
	near(t, "weight that is passed on", 0, sum, ribs+gravity*s.Density*0.025*0.405*s.Length, 1e-9)
	if first < 200 || first > 400 { // half of the give's length √√(4EI/k) of wall: about 0.3 m at 1200 N/m
		t.Errorf("an end plate takes %.0f N of the wall", first)
	}
	near(t, "the rest", 0, rest.Sections[0].Area, b.Sections[0].Area-0.025*0.405, 1e-9)
}

// A wall that its ribs do not hold up, none or one of them, weighs where it is, and what else keeps one from standing on them is told.
func TestWallThatRibsDoNotBear(t *testing.T) {
	s := readSolid(t, "bed_c")
	b := s.bed(t, solidRibs("bed_c"))
	for _, st := range []Standing{{}, {Feet: []Foot{{At: 1, Stiffness: 1e9, Held: true}}}} {
		rest, err := b.Ribbed(func(wall casting.Bed, _ float64) ([]casting.Weight, error) { return passedOn(wall, st) })
		if err != nil || rest.Sections[0].Area != b.Sections[0].Area {
			t.Errorf("%d ribs: %v, %g m² left", len(st.Feet), err, rest.Sections[0].Area)
		}
	}
	off := Standing{Feet: []Foot{{At: 2 * b.Length, Stiffness: 1e9}}}
	if _, err := b.Ribbed(func(wall casting.Bed, _ float64) ([]casting.Weight, error) { return passedOn(wall, off) }); err == nil {
		t.Error("a rib off the bed bears it")
	}
}

// An end plate holds a wall beside its middle less stiffly than one there: by the longer of its parts.
func TestPlateHoldsByItsLongerPart(t *testing.T) {
	b := readSolid(t, "bed_c").bed(t, solidRibs("bed_c"))
	middle, left, right := holds(b, 0), holds(b, -0.06), holds(b, 0.06)
	if len(middle.Feet) == 0 || left.Feet[0].Stiffness > 0.9*middle.Feet[0].Stiffness {
		t.Errorf("%+v in the middle, beside it %+v", middle.Feet, left.Feet)
	}
	near(t, "on the other side", 0.06, right.Feet[0].Stiffness, left.Feet[0].Stiffness, 1e-9)
}

// Ribs weigh where the solid's do, the total is the solid's, and a weighed total scales all.
func TestRibsWeighWhereTheyStand(t *testing.T) {
	for _, name := range []string{"bed_a", "bed_c"} {
		s := readSolid(t, name)
		b := s.bed(t, solidRibs(name))
		sections, ribs := b.Drawn()
		near(t, "weight of "+name, 0, sections+ribs, s.Weight, 2e-3)
		cast, err := asCast(b)
		if err != nil {
			t.Fatal(err)
		}
		own := cast.Weights
		for i, w := range s.Ribs {
			near(t, "rib", w[0], own[i].Force, w[1], 1e-9)
			if math.Abs(own[i].At-w[0]) > 0.0101 { // at the ends of bed a the solid's stand half within
				t.Errorf("rib %d stands at %g m, the solid's at %g m", i, own[i].At, w[0])
			}
		}
		b.Weight = 1.5 * (sections + ribs)
		var sum float64
		for _, f := range solve(t, b, s.standing("soft"), Case{}, Options{}).Feet() {
			sum += f.Load
		}
		near(t, "weighed", 0, sum, b.Weight, 1e-9)
	}
}

// How sure the twist is: what the ribs' rules leave open where they count, J given by hand as measured,
// walls without a word of ribs hardly at all, a box as its plates.
func TestTwistIsAsSureAsItsSource(t *testing.T) {
	s, c := readSolid(t, "bed_a"), readSolid(t, "bed_c")
	ribbed, bare, given := s.bed(t, solidRibs("bed_a")), s.bed(t, nil), s.bed(t, nil)
	given.Sections[0].TwistGiven = true
	box := s.bed(t, nil)
	sec, err := casting.FromPlates(append(plates(s.Plates...), plates([4]float64{0.46, 0.02, 0, 0.4}, [4]float64{0.46, 0.02, 0, 0})...))
	if err != nil {
		t.Fatal(err)
	}
	sec.To = s.Length
	box.Sections = []casting.Section{sec}
	empty := box
	box.Ribs = solidRibs("bed_a")
	for name, c := range map[string]struct {
		bed    casting.Bed
		lo, hi float64
	}{"square ribs": {ribbed, 0.2, 0.2}, "slanting ribs": {c.bed(t, solidRibs("bed_c")), 0.21, 0.3}, "bare": {bare, math.Log(3), math.Log(3)}, "given": {given, 0.2, 0.2}, "box": {box, 0.2, 0.2}, "empty box": {empty, math.Log(3), math.Log(3)}} {
		if sd := c.bed.TwistSD(); sd < c.lo || sd > c.hi {
			t.Errorf("%s: %g", name, sd)
		}
	}
	out, err := asCast(ribbed)
	if err != nil {
		t.Fatal(err)
	}
	if more := out.Sections[0].Torsion / ribbed.Sections[0].Torsion; more < 1.2 || more > 2.2 { // the solid: about twice
		t.Errorf("ribs make J %.2f times the plates'", more)
	}
	if b := given; b.Sections[0].Torsion != s.bed(t, nil).Sections[0].Torsion {
		t.Error("a given J was changed")
	}
}

// A rigid foot stands under iron that gives: bed a's wall of 25 mm and 400 mm on a flange of 30 mm and a
// pad of 100 mm, ln(1 + 2·400/160)/(2·110 GPa·25 mm) = 0.326 µm/kN; between the walls nothing is known.
func TestCastingGivesOverAFoot(t *testing.T) {
	s := readSolid(t, "bed_a")
	b := s.bed(t, nil)
	give, _ := b.Give(1, -0.18, 0)
	near(t, "give", 0, give, math.Log(6)/(2*110e9*0.025), 1e-12)
	if g, _ := b.Give(1, 0, 0); g != 0 {
		t.Errorf("over a foot between the walls %g m/N", g)
	}
	for length, within := range map[float64]float64{0: 1e-9, 0.1: 0.07} { // a longer one meets the bed at two places
		st := s.standing("rigid")
		for i := range st.Feet {
			st.Feet[i].Length = length
		}
		now := solve(t, b, st, Case{}, Options{})
		f := now.Feet()[1]
		give, _ := b.Give(f.At, f.Offset, f.Length)
		near(t, "the bed over a rigid foot", f.At, -now.Way(f.Offset).At(f.At), f.Load*give, within)
	}
}
