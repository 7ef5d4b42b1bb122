package shop

import (
	"fmt"

	"footwork/internal/job"
	"footwork/reports"
)

// inputs lists what the job says of bed, table and feet.
func (s *Shop) inputs() []reports.Fact {
	facts := []reports.Fact{{Name: "Length of the bed", Value: s.Bed.Length, Kind: reports.Along, Note: "job"}}
	for i, sec := range s.Bed.Sections {
		name := func(what string) string {
			if len(s.Bed.Sections) == 1 {
				return what
			}
			return fmt.Sprintf("%s, section %d", what, i+1)
		}
		facts = append(facts,
			reports.Fact{Name: name("Bending stiffness EI"), Value: s.Bed.Material.Modulus * sec.Inertia, Kind: reports.Bending, Note: "section and modulus"},
			reports.Fact{Name: name("Area"), Value: sec.Area, Kind: reports.AreaOf, Note: "section"},
			reports.Fact{Name: name("Second moment of area"), Value: sec.Inertia, Kind: reports.Inertia, Note: "section"},
			reports.Fact{Name: name("Shear area"), Value: sec.ShearArea, Kind: reports.AreaOf, Note: "section"},
			reports.Fact{Name: name("Torsion constant"), Value: sec.Torsion, Kind: reports.Inertia, Note: "section"})
	}
	if s.Table != nil {
		facts = append(facts, reports.Fact{Name: "Weight of the table", Value: s.Table.Weight, Kind: reports.Force, Note: "job"})
	}
	return facts
}

// materialFacts lists the constants used and how far the published ones spread.
func (s *Shop) materialFacts() []reports.Fact {
	m := s.Bed.Material
	facts := []reports.Fact{
		{Name: "Modulus", Value: m.Modulus, Kind: reports.Modulus},
		{Name: "Shear modulus", Value: m.ShearModulus, Kind: reports.Modulus},
		{Name: "Density", Value: m.Density, Kind: reports.Density},
		{Name: "Expansion", Value: m.Expansion, Kind: reports.Expansion},
	}
	spread, ok := job.Published(m.Name)
	for i := range facts {
		facts[i].Note = "job"
		if ok {
			facts[i].Note = spread.Source
			facts[i].Low, facts[i].High = spread.Ranges[i][0], spread.Ranges[i][1]
		}
	}
	if m.Name != "" {
		facts = append([]reports.Fact{{Name: "Material", Text: m.Name, Note: "job"}}, facts...)
	}
	return facts
}

var modelSentences = []string{
	"The bed is a beam along its length that bends, shears and twists; its section may change along it. It is cut into 5,000 cells, and on closed forms of handbooks it is right to one part in a hundred thousand.",
	"Feet push and pull only as they are held; which of them carry is found by the method of least complementary energy, and the loads balance the weight.",
	"A profile after a change of standing is the shape there less the shape where it was made straight.",
	"Heights from slopes carry their whole covariance; straightness is given about the ends, by least squares (LSLI) and by minimum zone (MZLI), as ISO 12780-1 names them.",
}

var limitSentences = []string{
	"A beam model knows no local give of a way between ribs, no distortion of the section itself, and no slip in a joint.",
	"The modulus of grey iron differs by a tenth and more between castings and falls with stress; the floor under a foot is known worse still. A survey before and after a known move tells both.",
	"A foot's height is that of its unloaded top. Oil, paint and dirt between foot and bed count as height.",
}
