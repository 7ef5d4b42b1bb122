package job

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/supports"
)

var (
	stiffness     = between(unit.Stiffness, "1 N/mm", "1000 kN/µm")
	lineStiffness = between(unit.LineStiffness, "1 N/mm/m", "1000 kN/µm/m")
	height        = signed(unit.Length, "50 mm")
)

func (b *builder) standings(readers []*reader) {
	seen := map[string]bool{}
	for _, r := range readers {
		s := Standing{Standing: beam.Standing{
			Name:     r.called(seen),
			After:    r.text("after"),
			Gradient: r.quantity("gradient", gradient),
		}}
		b.feet(r, &s)
		s.Bearings = b.bearings(r.subs("bearing"))
		s.Weights = b.weights(r.subs("weight"))
		if r.done() && len(s.Feet)+len(s.Bearings) == 0 && !r.damaged {
			r.fault("", "give it [[standing.foot]] or [[standing.bearing]]", "%q has neither feet nor bearings", s.Name)
		}
		b.job.Standings = append(b.job.Standings, s)
	}
	b.chains(readers)
}

// chains checks what each standing follows: it must exist, and nothing may
// follow itself.
func (b *builder) chains(readers []*reader) {
	after := map[string]string{}
	for _, s := range b.job.Standings {
		after[s.Name] = s.After
	}
	for i, r := range readers {
		own := b.job.Standings[i].Name
		if own == "" || b.standing(r, "after") == "" {
			continue
		}
		next := after[own]
		for range after {
			if next == own {
				r.fault("after", "the bed was made straight in one standing first: leave after out there", "%q comes after itself", own)
				break
			}
			next = after[next]
		}
	}
}

func (b *builder) feet(r *reader, s *Standing) {
	seen := map[string]bool{}
	for _, f := range r.subs("foot") {
		f.require(`at = "250 mm"`, `offset = "-240 mm"`, `stiffness = "0.9 kN/µm"`)
		foot := beam.Foot{
			Name:      f.called(seen),
			At:        f.quantity("at", place),
			Offset:    f.quantity("offset", offset),
			Height:    f.quantity("height", height),
			Stiffness: f.quantity("stiffness", stiffness),
			Length:    f.quantity("length", amount(unit.Length, "10 m")),
			Held:      f.flag("held"),
		}
		b.onBed(f, "at", foot.At)
		if foot.Length > 0 {
			b.onBed(f, "length", foot.At-foot.Length/2)
			b.onBed(f, "length", foot.At+foot.Length/2)
		}
		s.Feet = append(s.Feet, foot)
		s.Adjusters = append(s.Adjusters, b.adjuster(f))
		f.done()
	}
}

func (b *builder) bearings(readers []*reader) (list []beam.Bearing) {
	for _, r := range readers {
		r.require(`offset = "-240 mm"`, `stiffness = "rigid"`)
		var s beam.Bearing
		s.From, s.To = b.span(r)
		s.Offset = r.quantity("offset", offset)
		s.Stiffness = r.quantity("stiffness", lineStiffness)
		s.Held = r.flag("held")
		r.done()
		list = append(list, s)
	}
	return list
}

// adjuster reads how a foot is moved.
func (b *builder) adjuster(r *reader) supports.Adjuster {
	a := supports.Adjuster{Name: r.text("adjust"), Wrench: r.quantity("wrench", size(unit.Length, "5 m").ifAbsent(0))}
	word, rest, _ := strings.Cut(a.Name, " ")
	switch kind := supports.Kind(word); {
	case a.Name == "":
	case kind == supports.Screw && rest != "":
		a.Kind = kind
		var err error
		if a.Rise, err = rise(strings.TrimSpace(rest)); err != nil {
			r.fault("adjust", adjustHint, "%v", err)
		}
	case (kind == supports.Shim || kind == supports.Fixed) && rest == "":
		a.Kind = kind
	default:
		r.fault("adjust", adjustHint, "%q is no way to move a foot", a.Name)
		return a
	}
	if a.Wrench > 0 && a.Kind != supports.Screw {
		r.fault("wrench", `leave it out, or write adjust = "screw M20x1.5"`, "counts only for a screw")
	}
	return a
}

const adjustHint = `write "screw M20x1.5", "screw 3/4-10", "screw 2 mm" (rise per turn), "shim" or "fixed"`

// coarse holds the coarse pitch, mm, of metric threads by diameter, mm: ISO 261.
var coarse = map[float64]float64{
	10: 1.5, 12: 1.75, 14: 2, 16: 2, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3, 27: 3, 30: 3.5, 33: 3.5, 36: 4,
}

var (
	metricThread = regexp.MustCompile(`^M(\d+(?:\.\d+)?)(?:\s*[xX×]\s*(\d+(?:\.\d+)?))?$`)
	inchThread   = regexp.MustCompile(`^(\d+(?:[- ]\d+/\d+|/\d+)?)\s*-\s*(\d+(?:\.\d+)?)$`)
)

// rise returns the rise per turn, m, of a single-start thread ("M20x1.5", "M20" with
// coarse pitch, "3/4-10") or of "2 mm".
func rise(thread string) (float64, error) {
	var up float64
	if m := metricThread.FindStringSubmatch(thread); m != nil {
		diameter, _ := strconv.ParseFloat(m[1], 64)
		pitch, ok := coarse[diameter]
		if m[2] != "" {
			pitch, _ = strconv.ParseFloat(m[2], 64)
		} else if !ok {
			return 0, fmt.Errorf("the coarse pitch of M%s is not in the table (M10 to M36): write the pitch too", m[1])
		}
		up = pitch * unit.MM
	} else if m := inchThread.FindStringSubmatch(thread); m != nil {
		turns, _ := strconv.ParseFloat(m[2], 64)
		up = unit.Inch / turns
	} else {
		var err error
		if up, err = unit.Length.Parse(thread); err != nil {
			return 0, fmt.Errorf("%q is no thread and no rise per turn", thread)
		}
	}
	if !(up >= 0.05*unit.MM && up <= 20*unit.MM) || math.IsInf(up, 0) {
		return 0, fmt.Errorf("%q would rise %.3g mm a turn", thread, up/unit.MM)
	}
	return up, nil
}
