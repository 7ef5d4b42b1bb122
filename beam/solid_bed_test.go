package beam

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/free"
	"footwork/beam/section"
)

// solidBed is a bed of testdata/solid and what three-dimensional finite elements make of it.
type solidBed struct {
	Length  float64      `json:"length_m"`
	Modulus float64      `json:"modulus_pa"`
	Poisson float64      `json:"poisson"`
	Density float64      `json:"density_kg_m3"`
	Ways    []float64    `json:"ways_at_m"`
	Plates  [][4]float64 `json:"plates_width_height_offset_bottom_m"`
	Feet    []struct {
		At     float64 `json:"at_m"`
		Offset float64 `json:"offset_m"`
	}
	Pad   float64 `json:"pad_m"`
	Soft  float64 `json:"foot_stiffness_soft_n_per_m"`
	Table struct {
		Weight float64 `json:"weight_n"`
		Length float64 `json:"length_m"`
		At     float64 `json:"left_end_at_m"`
	}
	Weight float64      `json:"weight_n"`
	Ribs   [][2]float64 `json:"rib_weights"`
	Closed [][2]float64 `json:"closed_from_to_m"`
	Caps   [][4]float64 `json:"closed_by"`
	Rows   []struct {
		Thickness float64    `json:"thickness_m"`
		Height    float64    `json:"height_m"`
		Bottom    float64    `json:"bottom_m"`
		From      float64    `json:"from_m"`
		To        float64    `json:"to_m"`
		Every     float64    `json:"every_m"`
		Diagonal  bool       `json:"diagonal"`
		Between   [2]float64 `json:"between_m"`
	} `json:"ribs"`
	X     []float64             `json:"x_m"`
	Cases map[string]*solidCase `json:"cases"`
}

type solidCase struct {
	Front []float64 `json:"front_um_about_ends"`
	Back  []float64 `json:"back_um_about_ends"`
	Loads []float64 `json:"foot_loads_n"`
}

func readSolid(t testing.TB, name string) (s solidBed) {
	t.Helper()
	raw, err := os.ReadFile("../testdata/solid/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// plates are width, height, offset and bottom, m.
func plates(of ...[4]float64) (p []section.Plate) {
	for _, v := range of {
		p = append(p, section.Plate{Width: v[0], Height: v[1], Offset: v[2], Bottom: v[3]})
	}
	return p
}

// solidRibs are the ribs of the beds, as testdata/solid/README.md describes them.
func solidRibs(name string) []casting.Rib {
	square := func(thick, high, at float64) casting.Rib {
		return casting.Rib{Rib: section.Rib{Thickness: thick, Height: high}, From: at, To: at}
	}
	zigzag := func(from, to float64) casting.Rib {
		return casting.Rib{Rib: section.Rib{Thickness: 0.018, Height: 0.32, Bottom: 0.03, Between: [2]float64{from, to}},
			From: 0.025, To: 5.975, Every: 5.95 / 12, Diagonal: true}
	}
	if name == "bed_a" {
		row := square(0.02, 0.36, 0)
		row.To, row.Every = 3.6, 0.45
		return []casting.Rib{row}
	}
	return []casting.Rib{square(0.025, 0.405, 0.0125), square(0.025, 0.405, 5.9875), zigzag(-0.4, 0), zigzag(0, 0.4)}
}

// ribs are those that stand in the file.
func (s solidBed) ribs() (rows []casting.Rib) {
	for _, r := range s.Rows {
		rows = append(rows, casting.Rib{Rib: section.Rib{Thickness: r.Thickness, Height: r.Height, Bottom: r.Bottom, Between: r.Between}, From: r.From, To: r.To, Every: r.Every, Diagonal: r.Diagonal})
	}
	return rows
}

// bed is the bed from plates, ribs and pads alone.
func (s solidBed) bed(t testing.TB, ribs []casting.Rib) casting.Bed {
	t.Helper()
	sec, err := casting.FromPlates(plates(s.Plates...))
	if err != nil {
		t.Fatal(err)
	}
	sec.To = s.Length
	sections := []casting.Section{sec}
	if len(s.Closed) == 2 {
		box, err := casting.FromPlates(plates(append(slices.Clone(s.Plates), s.Caps...)...))
		if err != nil {
			t.Fatal(err)
		}
		sections = []casting.Section{box, sec, box}
		sections[0].To, sections[1].From, sections[1].To = s.Closed[0][1], s.Closed[0][1], s.Closed[1][0]
		sections[2].From, sections[2].To = s.Closed[1][0], s.Length
	}
	return casting.Bed{Length: s.Length, Sections: sections, Ribs: ribs, Ways: []casting.Way{{Offset: s.Ways[0]}, {Offset: s.Ways[1]}},
		Material: casting.Material{Modulus: s.Modulus, ShearModulus: s.Modulus / 2 / (1 + s.Poisson), Density: s.Density}}
}

func (s solidBed) standing(kind string) (st Standing) {
	k := map[string]float64{"soft": s.Soft, "rigid": math.Inf(1)}[kind]
	for _, f := range s.Feet {
		st.Feet = append(st.Feet, Foot{At: f.At, Offset: f.Offset, Stiffness: k})
	}
	return st
}

// load returns what is on the bed in a case of the solid, and whether it tells the change
// against the weight alone.
func (s solidBed) load(name string) (c Case, change bool) {
	q := s.Table.Weight / 2 / s.Table.Length
	switch name {
	case "table":
		for _, y := range s.Ways {
			c.Lines = append(c.Lines, free.Line{From: s.Table.At, To: s.Table.At + s.Table.Length, Offset: y, Start: q, End: q})
		}
	case "F1 +25", "F2 +25":
		c.Heights = make([]float64, len(s.Feet))
		c.Heights[name[1]-'1'] = 25e-6
	default:
		return c, false
	}
	return c, true
}

// against returns how far a bed is off the solid: its ways, m, about the lines through their ends, with the
// range of the solid's, and its feet's loads, N, beside the solid's.
func (s solidBed) against(t testing.TB, b casting.Bed, name, kind string) (off, span float64, loads, want []float64) {
	t.Helper()
	v := solverOf(t, b, s.standing(kind), Options{})
	stand := func(c Case) *State {
		st, err := v.Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		return st
	}
	c, change := s.load(name)
	now, before, solid := stand(c), stand(Case{}), s.Cases[name+", "+kind]
	for w, ref := range [][]float64{solid.Front, solid.Back} {
		way := now.Way(s.Ways[w])
		if change {
			way = way.Minus(before.Way(s.Ways[w]))
		}
		left, right := way.At(0), way.At(s.Length)
		for i, x := range s.X {
			off = max(off, math.Abs(way.At(x)-left-(right-left)*x/s.Length-ref[i]*1e-6))
		}
		span = max(span, (slices.Max(ref)-slices.Min(ref))*1e-6)
	}
	for i, f := range now.Feet() {
		if change {
			f.Load -= before.Feet()[i].Load
		}
		loads = append(loads, f.Load)
	}
	return off, span, loads, solid.Loads
}
