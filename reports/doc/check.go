package doc

import (
	"slices"

	"footwork/beam"
	"footwork/reports"
)

// check says what the bed is, as the job has it.
func (j Job) check(v reports.Check) section {
	weight := say("The plates weigh ", q(Force, v.Plates), " by their drawing", also(v.Ribs > 0, ", the ribs ", q(Force, v.Ribs)))
	if v.Weighed > 0 {
		weight = append(weight, say("; the casting was weighed at ", q(Force, v.Weighed))...)
		weight = append(weight, also(v.WeighedSD > 0, " ± ", q(Force, 2*v.WeighedSD)))
		weight = append(weight, ", which counts")
		switch drawn := v.Plates + v.Ribs; {
		case v.Weighed > 1.1*drawn:
			weight = append(weight, say(": ", q(Force, v.Weighed-drawn), " of it is not drawn")...)
		case v.Weighed < drawn/1.1:
			weight = append(weight, say(": ", q(Force, drawn-v.Weighed), " less than is drawn")...)
		}
	}
	s := section{Title: "What the bed is", Answer: append(weight, ".")}
	for _, p := range v.Stretches {
		s.add(stretchTable(p, v.Material, len(v.Stretches) > 1))
	}
	s.add(giveTable(v.Feet))
	for _, d := range v.Doubts {
		s.add(checkDoubt(d))
	}
	return s
}

// stretchTable holds the constants of one stretch.
func stretchTable(p beam.Stretch, m beam.Material, several bool) *Table {
	title := pick(several, say("Its section from ", q(Along, p.From), " to ", q(Along, p.To)), say("Its section"))
	t := newTable(title, say("what"), say("how much"), say("remark"))
	t.add("area", q(Area, p.Area), "")
	t.add("second moment of area, I", q(Inertia, p.Inertia), "against bending")
	t.add("shear area", q(Area, p.ShearArea), "")
	t.add("torsion constant, J", q(Inertia, p.Torsion), also(p.Most > 1.05*p.Least, "with its ribs, from ", q(Inertia, p.Least), " to ", q(Inertia, p.Most)))
	t.add("warping constant, I_ω", q(Warping, p.Warping), "walls that bend apart when it twists")
	t.add("twist is felt over", q(Along, p.Reach(m)), "√(EI_ω/GJ)")
	cells := pick(p.Cells > 0, "closed: "+plural(p.Cells, "cell", "cells"), "open")
	t.add("seen from the end", cells, "")
	return t
}

// giveTable says how much the feet give way, those alike in one row.
func giveTable(feet []reports.CheckFoot) *Table {
	t := newTable(say("How much a foot gives way"), say("standing"), say("feet"), say("in all, ", UnitOf(Softness)), say("of that the casting, ", UnitOf(Softness)))
	for i, f := range feet {
		alike := func(g reports.CheckFoot) bool {
			return g.Standing == f.Standing && g.Give == f.Give && g.Casting == f.Casting
		}
		if slices.ContainsFunc(feet[:i], alike) {
			continue
		}
		same := slices.DeleteFunc(slices.Clone(feet), func(g reports.CheckFoot) bool { return !alike(g) })
		t.add(f.Standing, list(each(same, func(g reports.CheckFoot) string { return g.Foot })), bare(Softness, f.Give), bare(Softness, f.Casting))
	}
	return t
}

// checkDoubt says what the job leaves open and what would settle it.
func checkDoubt(d reports.CheckDoubt) Text {
	switch d.Kind {
	case reports.OpenUnribbed:
		what := pick(d.Walls > 2, plural(d.Walls, "wall", "walls")+" stand open side by side, and no ribs are given", "The section is open, and no ribs are given")
		return say(what, " from ", q(Along, d.From), " to ", q(Along, d.To), ": foot loads after a move may be wrong by half. Add them as [[bed.rib]], or torsion if it was measured.")
	case reports.BoxUnribbed:
		return say("No ribs are given inside the box from ", q(Along, d.From), " to ", q(Along, d.To), ": it is taken to go out of square as if there were none, and foot loads after a move may be wrong by half if there are some. Look inside and add them as [[bed.rib]], or torsion if it was measured.")
	case reports.BoxBare:
		return say("The box from ", q(Along, d.From), " to ", q(Along, d.To), " has no rib over ", q(Along, d.Long), ": there it goes out of square, and its shape after a move may be wrong by a seventh of its range. Look inside and add what ribs there are.")
	case reports.Lopsided:
		return say("The section from ", q(Along, d.From), " to ", q(Along, d.To), " is lopsided: where nothing holds it, it also bends sideways, and sags by up to ", q(Percent, d.Share), " more than is told.")
	case reports.RigidFeet:
		return say("All feet of ", d.Standing, " are rigid: no foot on a floor is, and a screw and its pad give about ", q(Softness, 1e-9), ". Loads after a move will be smaller than foretold.")
	}
	panic("doc: no words for " + string(d.Kind))
}
