package doc

import "fmt"

// inputs lists what the job says of bed, table and material, and how far the published
// constants of the material spread.
func (g pager) inputs() *Table {
	t := newTable(say("Inputs and material"), say("what"), say("value"), say("may lie between"), say("from"))
	add := func(name string, k Kind, v float64, from string) { t.add(name, q(k, v), "", from) }
	add("Length of the bed", Along, g.Bed.Length, "job")
	for i, s := range g.Bed.Sections {
		of := pick(len(g.Bed.Sections) > 1, fmt.Sprintf(", section %d", i+1), "")
		add("Bending stiffness EI"+of, Bending, g.Bed.Material.Modulus*s.Inertia, "section and modulus")
		add("Area"+of, Area, s.Area, "section")
		add("Second moment of area"+of, Inertia, s.Inertia, "section")
		add("Shear area"+of, Area, s.ShearArea, "section")
		add("Torsion constant"+of, Inertia, s.Torsion, "section")
	}
	if g.Table != nil {
		add("Weight of the table", Force, g.Table.Weight, "job")
	}
	if m := g.Bed.Material; m.Name != "" {
		t.add("Material", m.Name, "", "job")
	}
	g.constants(t)
	return t
}

// constants adds those of the material, and how far they spread where they are published.
func (g pager) constants(t *Table) {
	m := g.Bed.Material
	for i, c := range []struct {
		name  string
		kind  Kind
		value float64
	}{{"Modulus", Modulus, m.Modulus}, {"Shear modulus", Modulus, m.ShearModulus}, {"Density", Density, m.Density}, {"Expansion", Expansion, m.Expansion}} {
		between, from := any(""), "job"
		if p := g.Published; p != nil {
			from = "source 1"
			if low, high := p.Ranges[i][0], p.Ranges[i][1]; low < high {
				between = say(q(c.kind, low), " and ", q(c.kind, high))
			}
		}
		t.add(c.name, q(c.kind, c.value), between, from)
	}
}

// source says where the material's constants are published.
func (g pager) source() List {
	if g.Published == nil {
		return List{}
	}
	return List{Title: "Sources", Items: []Text{say(g.Published.Source)}, Numbered: true}
}

var model = []string{
	"The bed is a beam along its length that bends, shears and twists; its section may change along it. It is cut into 5,000 cells, and on closed forms of handbooks it is right to one part in a hundred thousand.",
	"Feet push and pull only as they are held; which of them carry is found by the method of least complementary energy, and the loads balance the weight.",
	"A profile after a change of standing is the shape there less the shape where it was made straight.",
	"Heights from slopes carry their whole covariance; straightness is given about the ends, by least squares (LSLI) and by minimum zone (MZLI), as ISO 12780-1 names them.",
}

var limits = []string{
	"A beam model knows no local give of a way between ribs, no distortion of the section itself, and no slip in a joint.",
	"The modulus of grey iron differs by a tenth and more between castings and falls with stress; the floor under a foot is known worse still. A survey before and after a known move tells both.",
	"A foot's height is that of its unloaded top. Oil, paint and dirt between foot and bed count as height.",
}
