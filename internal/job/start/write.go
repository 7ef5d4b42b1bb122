package start

import (
	_ "embed"
	"fmt"
	"math"
	"regexp"
	"strings"
	"text/template"

	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/survey"
)

//go:embed job.toml
var jobText string

var jobTemplate = template.Must(template.New("job").Parse(jobText))

// starter is a sketch as the template of a job file asks for it. What nobody told is guessed and
// stands in remarks, which begin with what the last four hold.
type starter struct {
	Sketch
	Unit, Degree, Stiffness, Wrench, Rated, Thread, Fine string

	Measure                                  string // begins what is said of figures that are to be replaced
	Middle, JointEnd, Edge, EdgeDepth, Start float64
	Weighed, Ribbed, Table, On               string
}

// Job returns the sketch as a commented job file.
func (s Sketch) Job() string {
	var b strings.Builder
	if err := jobTemplate.Execute(&b, s.starter()); err != nil {
		panic(err)
	}
	return remark.ReplaceAllStringFunc(b.String(), func(line string) string {
		m := remark.FindStringSubmatch(line)
		return fmt.Sprintf("%-30s # %s", m[1], m[2])
	})
}

func (s Sketch) starter() starter {
	t := starter{Sketch: s, Unit: "mm", Degree: "°C", Stiffness: "0.9 kN/µm", Wrench: "300 mm", Rated: "15 kN", Thread: "6 mm", Fine: "3 µm"}
	if s.Inch() {
		t = starter{Sketch: s, Unit: "in", Degree: "°F", Stiffness: "5000 lbf/thou", Wrench: "12 in", Rated: "3400 lb", Thread: "0.25 in", Fine: "0.12 thou"}
	}
	if !s.Measured {
		t.Measure = "measure: "
	}
	t.Middle, t.JointEnd = s.Length/2, round(s.Length/2+0.025, s.Units)
	t.Edge, t.EdgeDepth = round(min(2, s.Length/2), s.Units), round(0.11*min(2, s.Length/2), s.Units)
	_, t.Start = s.stations()
	if s.Weight == 0 {
		t.Weighed, t.Weight = "# ", 1.3*s.drawn()
	}
	if s.Ribs == "" {
		t.Ribbed = "# "
	}
	if s.TableLength == 0 {
		t.Table, t.TableLength, t.TableWeight = "# ", round(0.6*s.Length, s.Units), 0.6*s.drawn()
		t.Stroke = shape.Span{From: 0, To: s.Length - t.TableLength}
	}
	if s.Instrument == "" {
		t.On = "# "
	}
	return t
}

// drawn returns what the plates weigh, N.
func (s Sketch) drawn() float64 {
	var area float64
	for _, p := range s.Plates() {
		area += p.Width * p.Height
	}
	return area * s.Length * 7150 * unit.G0
}

// remark finds a line that ends in a remark.
var remark = regexp.MustCompile(`(?m)^((?:# )?(?:\[|\w+ *=).*\S) +# (.*)$`)

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
