package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
)

func reportCommand(t *terminal) *cobra.Command {
	var name string
	var force bool
	c := &cobra.Command{
		Use:   "report JOB",
		Short: "everything on one page that works without a network",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := t.open(args[0])
			if err != nil {
				return err
			}
			if name == "" {
				name = pageName(args[0])
			}
			if err := s.writePage(t, name, force); err != nil {
				return err
			}
			_, err = fmt.Fprintf(t.out, "%s is written: open it in any browser.\n", shown(name))
			return err
		},
	}
	c.Flags().StringVarP(&name, "output", "o", "", "the page's file (default: beside the job, ending in .html)")
	c.Flags().BoolVar(&force, "force", false, "write the page over a file that is no page of footwork")
	return c
}

// pageName puts the page beside the job.
func pageName(file string) string { return strings.TrimSuffix(file, filepath.Ext(file)) + ".html" }

func (s *shop) writePage(t *terminal, name string, force bool) error {
	for _, own := range s.read {
		if sameFile(own, name) {
			return usagef("the page would be written over %s, which the job is read from; give another name with --output", own)
		}
	}
	if !force && !mayReplace(name) {
		return usagef("%s is there already and is no page of footwork; give another name with --output, or --force", name)
	}
	p, err := s.page(t)
	if err != nil {
		return err
	}
	return writeWhole(name, func(w io.Writer) error { return reports.WriteHTML(w, *p) })
}

// page works the whole job through. What the job has no data for stays empty.
func (s *shop) page(t *terminal) (*reports.Page, error) {
	work := s.working("")
	st, err := s.Standing(work)
	if err != nil {
		return nil, err
	}
	p := &reports.Page{Title: s.Title, Units: s.units, Made: time.Now().Format("2 January 2006"), Bed: s.Bed, Table: s.Table,
		Standing: work, Adjusters: map[string]supports.Adjuster{}, Goal: s.Goal,
		Inputs: s.inputs(), Materials: s.materialFacts(), Model: modelSentences, Limits: limitSentences}
	for i, f := range st.Feet {
		p.Adjusters[f.Name] = st.Adjusters[i]
	}
	for _, one := range s.Standings {
		p.Standings = append(p.Standings, one.Standing)
	}
	for _, name := range s.StandingNames() { // made here, so that what runs side by side only reads them
		if _, err := s.solver(name); err != nil {
			return nil, err
		}
	}
	placed := make(chan error, 1)
	go func() { placed <- s.pagePlace(p) }()
	for _, part := range []func(*terminal, *reports.Page, job.Standing) error{s.pageStanding, s.pageSurveys, s.pageTry} {
		if err := part(t, p, st); err != nil {
			<-placed
			return nil, err
		}
	}
	if err := <-placed; err != nil {
		t.note(err.Error())
		p.Place = nil
	}
	return p, nil
}

// pageStanding fills in how the bed stands and what that does.
func (s *shop) pageStanding(t *terminal, p *reports.Page, st job.Standing) (err error) {
	if p.Sag, err = s.sag(s.StandingNames(), nil); err != nil {
		return err
	}
	if p.Heat, err = s.heat(st.Name); err != nil {
		return err
	}
	if st.After != "" {
		if p.Change, err = s.change(st.After, st.Name, nil); err != nil {
			return err
		}
	}
	if s.Table != nil && len(s.Bed.Ways) > 0 {
		if p.Travel, err = s.travel(st.Name); err != nil {
			t.note(err.Error()) // a table that tips is no reason to go without a page
			p.Travel = nil
		}
	}
	return nil
}

// heat is the change of the ways for a top one kelvin warmer.
func (s *shop) heat(standing string) (*reports.Heat, error) {
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	st, err := s.Standing(standing)
	if err != nil {
		return nil, err
	}
	cold, err := v.Solve(beam.Case{})
	if err != nil {
		return nil, err
	}
	warmer := st.Gradient + 1
	warm, err := v.Solve(beam.Case{Draw: beam.Draw{Gradient: &warmer}})
	if err != nil {
		return nil, err
	}
	x := s.stations(standing)
	return &reports.Heat{X: x, Ways: s.wayShapes(x, func(y float64) beam.Shape { return warm.Way(y).Minus(cold.Way(y)) })}, nil
}

// inputs lists what the job says of bed, table and feet.
func (s *shop) inputs() []reports.Fact {
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
func (s *shop) materialFacts() []reports.Fact {
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
