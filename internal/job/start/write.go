package start

import (
	_ "embed"
	"fmt"
	"math"
	"regexp"
	"strings"
	"text/template"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/survey"
)

//go:embed job.toml
var jobText string

var jobTemplate = template.Must(template.New("job").Parse(jobText))

// starter is a sketch as the template of a job file asks for it.
type starter struct {
	Sketch
	Unit, Degree, Stiffness, Wrench, Rated, Thread, Fine string
}

// Job returns the sketch as a commented job file.
func (s Sketch) Job() string {
	t := starter{s, "mm", "°C", "0.9 kN/µm", "300 mm", "15 kN", "6 mm", "3 µm"}
	if s.Inch() {
		t = starter{s, "in", "°F", "5000 lbf/thou", "12 in", "3400 lb", "0.25 in", "0.12 thou"}
	}
	var b strings.Builder
	if err := jobTemplate.Execute(&b, t); err != nil {
		panic(err)
	}
	return remark.ReplaceAllStringFunc(b.String(), func(line string) string {
		m := remark.FindStringSubmatch(line)
		return fmt.Sprintf("%-30s # %s", m[1], m[2])
	})
}

// remark finds a line that ends in a remark.
var remark = regexp.MustCompile(`(?m)^((?:# )?(?:\[|\w+ *=).*\S) +# (.*)$`)

// Measure begins what is said of figures that are to be replaced.
func (s starter) Measure() string {
	if s.Measured {
		return ""
	}
	return "measure: "
}

// On makes remarks of the set-ups while nothing is to be measured.
func (s starter) On() string {
	if s.Instrument == "" {
		return "# "
	}
	return ""
}

// Guess is a weight for the example of a casting that was weighed, TableOr and
// the others what is shown of a table that there may be.
func (s starter) Guess() float64 { return 1.3 * s.drawn() }

func (s starter) drawn() float64 {
	var area float64
	for _, p := range s.Plates() {
		area += p.Width * p.Height
	}
	return area * s.Length * 7150 * unit.G0
}

func (s starter) TableOr() float64 {
	if s.TableLength > 0 {
		return s.TableLength
	}
	return round(0.6*s.Length, s.Units)
}

func (s starter) TableWeightOr() float64 {
	if s.TableLength > 0 {
		return s.TableWeight
	}
	return 0.6 * s.drawn()
}

func (s starter) StrokeOr() beam.Span {
	if s.TableLength > 0 {
		return s.Stroke
	}
	return beam.Span{From: 0, To: s.Length - s.TableOr()}
}

func (s starter) Middle() float64    { return s.Length / 2 }
func (s starter) JointEnd() float64  { return round(s.Middle()+0.025, s.Units) }
func (s starter) Edge() float64      { return round(min(2, s.Length/2), s.Units) }
func (s starter) EdgeDepth() float64 { return round(0.11*min(2, s.Length/2), s.Units) }
func (s starter) StartOr() float64   { _, start := s.stations(); return start }

// stations returns how many steps of the base the bed takes, and where the first begins.
func (s Sketch) stations() (n int, start float64) {
	n = max(2, int(math.Floor(s.Length/s.Base+1e-9)))
	return n, max(0, (s.Length-float64(n)*s.Base)/2)
}

// SetUp is how one way is to be measured.
type SetUp struct {
	survey.Survey
	Division, Reading, File string
}

// SetUps returns how each way is to be measured, and the twist between them; with
// a level where nobody has said.
func (s Sketch) SetUps() (list []SetUp) {
	by := s.Instrument
	if by == "" {
		by = survey.Level
	}
	division := "0.02 mm/m"
	if s.Inch() {
		division = "0.0005 in/ft"
	}
	for _, w := range s.WayList() {
		u := SetUp{survey.Survey{Name: w.Name + " way", Way: w.Name, Instrument: by}, "", "arcsec", s.Stem + "-" + w.Name + ".csv"}
		switch by {
		case survey.Level:
			u.Division, u.Reading = division, "div"
		case survey.Heights:
			if u.Reading = "µm"; s.Inch() {
				u.Reading = "thou"
			}
		}
		if by != survey.Heights {
			u.Base = s.Base
			_, u.Start = s.stations()
		}
		list = append(list, u)
	}
	if s.WayCount > 1 {
		list = append(list, SetUp{survey.Survey{Name: "twist", Instrument: survey.CrossLevel}, division, "div", s.Stem + "-twist.csv"})
	}
	return list
}

// Sheet returns the CSV of a set-up with its stations, for the readings to be
// written in.
func (s Sketch) Sheet(u SetUp) string {
	one, name := unit.MM, "mm"
	if s.Inch() {
		one, name = unit.Inch, "in"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# %s, readings in %s, places (x) in %s", u.Name, u.Reading, name)
	if u.Base > 0 {
		b.WriteString(", of the carriage's left foot")
	}
	n, start := s.stations()
	if u.Base == 0 {
		n++ // at the ends of all steps
	}
	b.WriteString("\nx,out,back\n")
	for i := range n {
		fmt.Fprintf(&b, "%g,,\n", math.Round((start+float64(i)*s.Base)/one*1e4)/1e4)
	}
	return b.String()
}
