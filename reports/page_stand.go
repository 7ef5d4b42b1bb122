package reports

import (
	"fmt"

	"footwork/beam"
)

// where answers section 1: where the bed stands and what each foot carries.
func (p *Page) where() section {
	s := section{id: "stand", title: "Where it stands"}
	if p.Sag == nil || len(p.Sag.Standings) == 0 {
		s.missing = "Add a [[standing]] with its feet to the job to see what each foot carries."
		return s
	}
	main := p.mainStanding()
	if p.Found != nil {
		main = *p.Found
		s.folded = append(s.folded, folded{title: "The standing “" + main.Name + "” as the job gives it", figures: p.standFigures(p.mainStanding()), tables: []table{p.footTable(p.mainStanding())}})
	}
	s.answer = p.standAnswer(main)
	s.warnings = AllSaid(main.Warnings, p.Units)
	s.figures = p.standFigures(main)
	s.tables = []table{p.footTable(main)}
	for _, other := range p.Sag.Standings {
		if other.Name == main.Name {
			continue
		}
		s.folded = append(s.folded, folded{title: "The standing “" + other.Name + "”", figures: p.standFigures(other), tables: []table{p.footTable(other)}})
	}
	s.how = []prose{
		say("The bed is a beam that bends, shears and twists on supports that can only push unless they are bolted. The loads balance the weight exactly; among all sets of pushing forces the bed takes the one with least energy."),
		say("A foot is called light under ", q(Force, p.lightLoad(main)), ", and off when nothing presses on it."),
	}
	return s
}

// mainStanding returns the sag of the standing that the machine works in.
func (p *Page) mainStanding() SagStanding {
	for _, s := range p.Sag.Standings {
		if s.Name == p.Standing {
			return s
		}
	}
	return p.Sag.Standings[len(p.Sag.Standings)-1]
}

func (p *Page) standing(name string) *beam.Standing {
	for i := range p.Standings {
		if p.Standings[i].Name == name {
			return &p.Standings[i]
		}
	}
	return nil
}

// lightLoad returns the load under which a foot is called light, N: the goal's
// least share of the mean, or a tenth of it.
func (p *Page) lightLoad(s SagStanding) float64 {
	if len(s.Feet) == 0 {
		return 0
	}
	return p.leastShare() * meanLoad(s.Feet)
}

// leastShare returns the share of the mean load under which a foot is called light.
func (p *Page) leastShare() float64 {
	if p.Goal != nil && p.Goal.LeastLoad > 0 {
		return p.Goal.LeastLoad
	}
	return 0.1
}

func meanLoad(feet []FootLoad) float64 {
	sum := 0.0
	for _, f := range feet {
		sum += f.Load
	}
	return sum / float64(len(feet))
}

func (p *Page) standAnswer(s SagStanding) prose {
	if len(s.Feet) == 0 {
		return say("In the standing “", s.Name, "” a weight of ", q(Force, s.Weight), " lies on ", plural(len(s.Bearings), "bearing", "bearings"), ".")
	}
	least, most := s.Feet[0], s.Feet[0]
	for _, f := range s.Feet {
		if f.Load < least.Load {
			least = f
		}
		if f.Load > most.Load {
			most = f
		}
	}
	by := ""
	if s.State == "found" {
		by = ", as the surveys tell it,"
	}
	a := say("In the standing “", s.Name, "”", by, " ", q(Force, s.Weight), " stands on ", plural(len(s.Feet), "foot", "feet"), ": ",
		most.Name, " carries most, ", q(Force, most.Load), ", ", least.Name, " least, ", q(Force, least.Load))
	return append(a, p.lightWords(s)...)
}

// lightWords ends the sentence with the feet that are light or carry nothing.
func (p *Page) lightWords(s SagStanding) prose {
	pic := standPicture{light: p.lightLoad(s)}
	var light, off []string
	for _, f := range s.Feet {
		switch pic.state(f) {
		case "light":
			light = append(light, f.Name)
		case "off":
			off = append(off, f.Name)
		}
	}
	var a prose
	if len(light) > 0 {
		a = append(a, "; light: ", list(light))
	}
	if len(off) > 0 {
		a = append(a, "; carrying nothing: ", list(off))
	}
	if a == nil {
		a = say("; none is light")
	}
	return append(a, ".")
}

func (p *Page) standFigures(s SagStanding) []figure {
	pic := standPicture{page: p, standing: p.standing(s.Name), sag: s, light: p.lightLoad(s)}
	label, id := p.standAnswer(s).plain(p.Units), slug(s.Name)
	if s.State == "found" {
		id += "-matched"
	}
	return []figure{
		{id: "side-" + id, drawing: both(pic.side, "From the side. "+label),
			caption: say("From the side. Arrows are foot loads to scale; a filled foot carries, an open one is light, a diamond carries nothing.")},
		{id: "plan-" + id, drawing: both(pic.plan, "From above. "+label),
			caption: say("From above. The size of a foot follows its load; a crossed box is a weight.")},
	}
}

func (p *Page) footTable(s SagStanding) table {
	t := table{caption: say("Feet of “", s.Name, "”"), head: []prose{say("Foot"), say("At, ", unitOf(Along)),
		say("Offset, ", unitOf(Along)), say("Load, ", unitOf(Force)), say("Of the mean"), say("Gap, ", unitOf(Height)), say("Stands")}}
	pic := standPicture{light: p.lightLoad(s)}
	for _, f := range s.Feet {
		state := any("firm")
		if st := pic.state(f); st != "" {
			state = mark(st)
		}
		share := any("")
		if m := meanLoad(s.Feet); m > 0 {
			share = q(PlainShare, f.Load/m)
		}
		t.add(f.Name, bare(Along, f.At), bare(Along, f.Offset), bare(Force, f.Load), share, bare(Height, f.Gap), state)
	}
	for i, b := range s.Bearings {
		t.add(fmt.Sprintf("bearing %d", i+1), "", "", bare(Force, b.Load), "", "", "")
	}
	return t
}

// slug returns a name that is safe as part of an id.
func slug(s string) string {
	out := []rune{}
	for _, r := range s {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			out = append(out, r)
		} else if n := len(out); n > 0 && out[n-1] != '-' {
			out = append(out, '-')
		}
	}
	return fmt.Sprintf("%s-%x", string(out), checksum(s))
}

// checksum keeps ids of different names apart (FNV-1a, 32 bits).
func checksum(s string) uint32 {
	h := uint32(2166136261)
	for _, b := range []byte(s) {
		h = (h ^ uint32(b)) * 16777619
	}
	return h
}
