package doc

import (
	"fmt"
	"slices"

	"footwork/beam/casting"
	"footwork/reports"
)

// check says what the bed is, as the job has it.
func (j job) check(v reports.Check) section {
	weighs := "The plates weigh {force} by their drawing{}{}."
	if slices.ContainsFunc(v.Stretches, func(p casting.Stretch) bool { return p.Plates == nil }) {
		weighs = "By the area given the bed weighs {force}{}{}."
	}
	var weighed Text
	if v.Weighed > 0 {
		drawn := v.Plates + v.Ribs
		weighed = say("; the casting was weighed at {force}{}, which counts{}{}", v.Weighed, also(v.WeighedSD > 0, " ± {force}", 2*v.WeighedSD),
			also(v.Weighed > asDrawn*drawn, ": {force} of it is not drawn", v.Weighed-drawn), also(v.Weighed < drawn/asDrawn, ": {force} less than is drawn", drawn-v.Weighed))
	}
	s := section{Title: "What the bed is", Answer: say(weighs, v.Plates, also(v.Ribs > 0, ", the ribs {force}", v.Ribs), weighed)}
	for _, p := range v.Stretches {
		s.add(stretchTable(p, v.Material, len(v.Stretches) > 1))
	}
	s.add(giveTable(v.Feet))
	for _, d := range v.Doubts {
		s.add(checkDoubt(d))
	}
	return s
}

// How far a bed may be from its drawing, as a factor, without a word: its weight, since fillets and bosses are on
// none, and what its ribs leave open of J (judgement, no source).
const asDrawn, oneValue = 1.1, 1.05

// stretchTable holds the constants of one stretch.
func stretchTable(p casting.Stretch, m casting.Material, several bool) *Table {
	title := pick(several, say("Its section from {along} to {along}", p.From, p.To), say("Its section"))
	t := newTable(title, "what", "how much", "remark")
	t.add("area", q(area, p.Area), "")
	t.add("second moment of area, I", q(inertia, p.Inertia), "against bending")
	t.add("shear area", q(area, p.ShearArea), "")
	t.add("torsion constant, J", q(inertia, p.Torsion), also(p.Most > oneValue*p.Least, "with its ribs, from {inertia} to {inertia}", p.Least, p.Most))
	if p.Warping > 0 {
		t.add("warping constant, I_ω", q(warping, p.Warping), "walls that bend apart when it twists")
		t.add("twist is felt over", q(Along, p.Reach(m)), "√(EI_ω/GJ)")
	}
	if p.Plates != nil {
		t.add("seen from the end", pick(p.Cells > 0, "closed: "+plural(p.Cells, "cell", "cells"), "open"), "")
	}
	return t
}

// giveTable says how much the feet give way, those alike in one row.
func giveTable(feet []reports.CheckFoot) *Table {
	t := newTable("How much a foot gives way", "standing", "feet", "in all, {unit softness}", "of that the casting, {unit softness}")
	for i, f := range feet {
		alike := func(g reports.CheckFoot) bool {
			return g.Standing == f.Standing && g.Give == f.Give && g.Casting == f.Casting
		}
		if slices.ContainsFunc(feet[:i], alike) {
			continue
		}
		same := slices.DeleteFunc(slices.Clone(feet), func(g reports.CheckFoot) bool { return !alike(g) })
		t.add(f.Standing, list(each(same, func(g reports.CheckFoot) string { return g.Foot })), bare(softness, f.Give), bare(softness, f.Casting))
	}
	return t
}

// openWords say what the job leaves open and what would settle it.
var openWords = map[reports.DoubtKind]string{
	reports.OpenUnribbed: "{What}, and no ribs are given from {From along} to {To along}: foot loads after a move may be wrong by half. Add them as [[bed.rib]], or torsion if it was measured.",
	reports.BoxUnribbed: "No ribs are given inside the box from {From along} to {To along}: it is taken to go out of square as if there were none, and foot loads after a move may be " +
		"wrong by half if there are some. Look inside and add them as [[bed.rib]], or torsion if it was measured.",
	reports.BoxBare:   "The box from {From along} to {To along} has no rib over {Long along}: there it goes out of square, and its shape after a move may be wrong by a seventh of its range. Look inside and add what ribs there are.",
	reports.Lopsided:  "The section from {From along} to {To along} is lopsided: where nothing holds it, it also bends sideways, and sags by up to {Share percent} more than is told.",
	reports.RigidFeet: "All feet of {Standing} are rigid: no foot on a floor is, and a screw and its pad give about {Usual softness}. Loads after a move will be smaller than foretold.",
}

func checkDoubt(d reports.CheckDoubt) Text {
	return tell(openWords[d.Kind], struct {
		reports.CheckDoubt
		What  string
		Usual float64 // m/N
	}{d, pick(d.Walls > 2, plural(d.Walls, "wall", "walls")+" stand open side by side", "The section is open"), 1e-9})
}

// inputs lists what the job says of bed, table and material, and how far the published
// constants of the material spread.
func (j job) inputs() *Table {
	t := newTable("Inputs and material", "what", "value", "may lie between", "from")
	add := func(name string, k Kind, v float64, from string) { t.add(name, q(k, v), "", from) }
	add("Length of the bed", Along, j.Bed.Length, "job")
	for i, s := range j.Bed.Sections {
		of := pick(len(j.Bed.Sections) > 1, fmt.Sprintf(", section %d", i+1), "")
		add("Bending stiffness EI"+of, bending, j.Bed.Material.Modulus*s.Inertia, "section and modulus")
		add("Area"+of, area, s.Area, "section")
		add("Second moment of area"+of, inertia, s.Inertia, "section")
		add("Shear area"+of, area, s.ShearArea, "section")
		add("Torsion constant"+of, inertia, s.Torsion, "section")
	}
	if j.Table != nil {
		add("Weight of the table", Force, j.Table.Weight, "job")
	}
	if m := j.Bed.Material; m.Name != "" {
		t.add("Material", m.Name, "", "job")
	}
	j.constants(t)
	return t
}

// constants adds those of the material, and how far they spread where they are published.
func (j job) constants(t *Table) {
	m := j.Bed.Material
	for i, c := range []struct {
		name  string
		kind  Kind
		value float64
	}{{"Modulus", modulus, m.Modulus}, {"Shear modulus", modulus, m.ShearModulus}, {"Density", density, m.Density}, {"Expansion", expansion, m.Expansion}} {
		between, from := any(""), "job"
		if p := j.Published; p != nil {
			from = "source 1"
			if low, high := p.Ranges[i][0], p.Ranges[i][1]; low < high {
				between = say("{} and {}", q(c.kind, low), q(c.kind, high))
			}
		}
		t.add(c.name, q(c.kind, c.value), between, from)
	}
}

// source says where the material's constants are published.
func (j job) source() List {
	if j.Published == nil {
		return List{}
	}
	return List{Title: "Sources", Items: []Text{Text{j.Published.Source}}, Numbered: true}
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
