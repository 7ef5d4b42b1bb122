package reports

import "math"

// basis answers section 9: what all of it rests on.
func (p *Page) basis() section {
	s := section{id: "basis", title: "What this rests on"}
	s.answer = say("These are estimates from a beam model with the inputs below; they decide nothing about safety.")
	if len(p.Inputs) > 0 {
		s.tables = append(s.tables, factTable("Inputs", p.Inputs))
	}
	if len(p.Materials) > 0 {
		s.tables = append(s.tables, factTable("Material", p.Materials))
	}
	for _, m := range p.Model {
		s.how = append(s.how, say(m))
	}
	return s
}

func factTable(caption string, facts []Fact) table {
	t := table{caption: say(caption), head: []prose{say("What"), say("Value"), say("May lie between"), say("From")}}
	for _, f := range facts {
		if f.Kind == "" {
			t.add(f.Name, f.Text, "", f.Note)
			continue
		}
		if math.IsInf(f.Value, 1) {
			t.add(f.Name, "without limit", "", f.Note)
			continue
		}
		between := prose(nil)
		if f.Low < f.High {
			between = say(q(f.Kind, f.Low), " and ", q(f.Kind, f.High))
		}
		t.add(f.Name, q(f.Kind, f.Value), between, f.Note)
	}
	return t
}

// cautions are on every page; the trade's common practice, no source.
var cautions = []string{
	"Castings are lifted and blocked by people trained for it, with rated gear.",
	"Nobody works under a bed that stands on screws or jacks alone.",
	"Isolate the machine's power before reaching in.",
	"Turn in small steps in rotation, never beyond the plan's limits.",
	"A foot that is predicted to go light may let the bed tip.",
	"Foot, floor and lifting loads must be checked by a competent person under the local rules.",
	"The numbers are estimates from a beam model and decide nothing about safety.",
}
