package doc

import (
	"gonum.org/v1/gonum/floats"

	"footwork/reports"
)

func (j job) travel(v reports.Travel) section {
	s := section{Title: "The table's journey", Answer: j.travelAnswer(v)}
	s.add(j.workCurves(v), journeyTable(v), j.travelLoads(v))
	if len(v.Feet) > 0 {
		s.add(loadCaution)
	}
	return s
}

func (j job) travelAnswer(v reports.Travel) Text {
	at, height := v.Work()
	return say("On “{}” {} the work under the tool goes {height} out of straight{}{}{}.",
		v.Standing, StateWords(v.State), v.AtToolStraightness, strokeWords(v), highAndLow(v.AtToolStraightness, at, height, " with it at "), j.lightestOnTravel(v))
}

// strokeWords says which stroke was taken: the table's left end from where to where.
func strokeWords(v reports.Travel) Text {
	if len(v.TableAt) == 0 {
		return nil
	}
	return say(" while the table's left end goes from {spot} to {spot}", v.TableAt[0], v.TableAt[len(v.TableAt)-1])
}

// extremes returns the places where a foot carries least and most.
func extremes(v reports.Travel, foot int) (least, most int) {
	loads := each(v.FootLoads, func(all []float64) float64 { return all[foot] })
	return floats.MinIdx(loads), floats.MaxIdx(loads)
}

// travelForce returns the kind of the loads under the table, by the whole weight.
func travelForce(v reports.Travel) Kind {
	if len(v.Feet) == 0 {
		return forceOf(0)
	}
	return forceOf(floats.Sum(v.FootLoads[0]))
}

// lightestOnTravel is the end of the answer: the foot that is ever the lightest.
func (j job) lightestOnTravel(v reports.Travel) Text {
	foot, place := 0, 0
	for f := range v.Feet {
		if i, _ := extremes(v, f); v.FootLoads[i][f] < v.FootLoads[place][foot] {
			foot, place = f, i
		}
	}
	if len(v.Feet) == 0 {
		return nil
	}
	return say("; foot {} comes down to {} with the table at {spot}", v.Feet[foot], q(travelForce(v), v.FootLoads[place][foot]), v.TableAt[place])
}

// workCurves shows the height of the work under the tool by the place of the
// table's left end.
func (j job) workCurves(v reports.Travel) *Curves {
	at, height := v.Work()
	c := &Curves{Title: say("Height of the work under the tool about the line through its ends, {}", StateWords(v.State)),
		X: Axis{Name: "place of the table's left end", Kind: Along}, Y: Axis{Name: "height", Kind: Height}}
	c.curve("work under the tool", First, at, height)
	return c
}

func journeyTable(v reports.Travel) *Table {
	t := newTable(say("The journey {}", StateWords(v.State)), "table at, {unit spot}", "table height, {unit height}", "pitch, {unit slope}", "roll, {unit slope}",
		"at the tool, {unit height}")
	for _, i := range spaced(len(v.Path), 9) {
		p := v.Path[i]
		t.add(bare(Spot, v.TableAt[i]), bare(Height, p.Height), bare(slope, p.Pitch), bare(slope, p.Roll), bare(Height, p.AtTool))
	}
	return t
}

func (j job) travelLoads(v reports.Travel) *Table {
	force := travelForce(v)
	t := newTable(say("Foot loads over the journey {}, and the place of the table's left end", StateWords(v.State)), "foot", column("least", force), "at, {unit spot}",
		column("most", force), "at, {unit spot}")
	for f, name := range v.Feet {
		i, k := extremes(v, f)
		t.add(name, bare(force, v.FootLoads[i][f]), bare(Spot, v.TableAt[i]), bare(force, v.FootLoads[k][f]), bare(Spot, v.TableAt[k]))
	}
	return t
}
