package job

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/supports"
)

func (b *builder) standings(readers []*reader) {
	seen := map[string]bool{}
	for _, r := range readers {
		s := Standing{Standing: beam.Standing{Name: r.called(seen), After: r.text("after")}, Like: r.text("like"), Over: r.flag("over")}
		s.Gradient, s.GradientSD = r.measured("gradient")
		b.feet(r, &s)
		s.Bearings = b.bearings(r.subs("bearing"))
		s.Weights = b.weights(r.subs("weight"))
		b.alike(r, &s)
		if r.clean() && len(s.Feet)+len(s.Bearings) == 0 && !r.damaged {
			r.fault("", "give it [[standing.foot]] or [[standing.bearing]]", "%s has neither feet nor bearings", unit.Quote(s.Name))
		}
		b.job.Standings = append(b.job.Standings, s)
	}
	b.chains(readers)
}

// alike fills in what a standing does not say itself from the one above that it
// is like: of its feet those that are named, or all.
func (b *builder) alike(r *reader, s *Standing) {
	model, kept, ok := b.model(r, s.Like)
	if !ok {
		return
	}
	own := *s
	s.Feet, s.Adjusters, s.StiffnessSD = nil, nil, nil
	for n, f := range model.Feet {
		if (!r.has("feet") || slices.Contains(kept, f.Name)) && !slices.Contains(footNames(own), f.Name) {
			s.stand(f, model.Adjusters[n], model.StiffnessSD[n])
		}
	}
	for n, f := range own.Feet {
		s.stand(f, own.Adjusters[n], own.StiffnessSD[n])
	}
	if !r.has("bearing") {
		s.Bearings = model.Bearings
	}
	if !r.has("weight") {
		s.Weights = model.Weights
	}
	if !r.has("after") {
		s.After = model.After
	}
	if !r.has("gradient") {
		s.Gradient, s.GradientSD = model.Gradient, model.GradientSD
	}
}

// model returns the standing that another is like, and the names of its feet on which
// that one stands; ok is false where there is none.
func (b *builder) model(r *reader, like string) (model Standing, kept []string, ok bool) {
	if v := r.get("feet"); v != nil && v.first().kind == unstable.InlineTable {
		r.fault("feet", "did you mean [[standing.foot]]?", "is a table")
		r.damaged = true
		return model, nil, false
	}
	kept = r.texts("feet")
	i := slices.IndexFunc(b.job.Standings, func(t Standing) bool { return t.Name == like })
	switch {
	case like == "" && r.has("feet"):
		r.fault("feet", `write like = "…", the standing whose feet they are`, "needs the standing that this one is like")
	case like != "" && i < 0 && !r.damaged:
		r.fault("like", unit.Choices(like, b.job.StandingNames()), "there is no standing %s above this one", unit.Quote(like))
	}
	if like == "" || i < 0 {
		return model, nil, false
	}
	model = b.job.Standings[i]
	for _, name := range kept {
		if names := footNames(model); !slices.Contains(names, name) {
			r.fault("feet", unit.Choices(name, names), "%s has no foot %s", unit.Quote(like), unit.Quote(name))
		}
	}
	return model, kept, true
}

func footNames(s Standing) []string {
	return unit.Names(s.Feet, func(f beam.Foot) string { return f.Name })
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
				r.fault("after", "the bed was made straight in one standing first: leave after out there", "%s comes after itself", unit.Quote(own))
				break
			}
			next = after[next]
		}
	}
}

func (b *builder) feet(r *reader, s *Standing) {
	seen, readers := map[string]bool{}, r.subs("foot")
	for _, f := range readers {
		foot := beam.Foot{Name: f.called(seen), At: f.quantity("at"), Offset: f.quantity("offset"), Height: f.quantity("height"), Length: f.quantity("length"), Held: f.flag("held")}
		var sd float64
		foot.Stiffness, sd = f.measured("stiffness")
		b.onBed(f, "at", foot.At)
		if foot.Length > 0 {
			b.onBed(f, "length", foot.At-foot.Length/2)
			b.onBed(f, "length", foot.At+foot.Length/2)
		}
		s.stand(foot, b.adjuster(f), sd)
	}
	own := s.Feet
	b.later(func() {
		b.footSlips(readers, own)
		b.besideSlips(readers)
	})
}

// stand puts a foot under the bed.
func (s *Standing) stand(f beam.Foot, a supports.Adjuster, stiffnessSD float64) {
	s.Feet, s.Adjusters, s.StiffnessSD = append(s.Feet, f), append(s.Adjusters, a), append(s.StiffnessSD, stiffnessSD)
}

func (b *builder) bearings(readers []*reader) (list []beam.Bearing) {
	for _, r := range readers {
		s := beam.Bearing{Offset: r.quantity("offset"), Stiffness: r.quantity("stiffness"), Held: r.flag("held")}
		s.From, s.To = b.span(r)
		list = append(list, s)
	}
	b.later(func() { b.bearingSlips(readers) })
	return list
}

// adjuster reads how a foot is moved, and what it can take.
func (b *builder) adjuster(r *reader) supports.Adjuster {
	a := supports.Adjuster{Name: r.text("adjust"), Wrench: r.quantity("wrench"), Rated: r.quantityOr("rated", 0)}
	if left := r.sub("left"); left != nil && (left.has("up") || left.has("down")) {
		a.Left = &supports.Thread{Up: left.quantity("up"), Down: left.quantity("down")}
	}
	word, rest, _ := strings.Cut(a.Name, " ")
	switch kind := supports.Kind(strings.TrimSuffix(strings.ToLower(word), "s")); {
	case a.Name == "":
	case kind == supports.Screw && rest != "":
		a.Kind = kind
		up, usual, err := rise(strings.TrimSpace(rest), b.length)
		if a.Rise = up; err != nil {
			r.fault("adjust", adjustHint, "%v", err)
		} else if up > usual {
			r.note("adjust", "check its unit, or whether a wedge is turned", "%s rises %s a turn, which is much; it is taken as written", unit.Quote(a.Name), b.length(a.Rise))
		}
	case (kind == supports.Shim || kind == supports.Fixed) && rest == "":
		a.Kind = kind
	default:
		r.fault("adjust", adjustHint, "%s is no way to move a foot", unit.Quote(a.Name))
		return a
	}
	if a.Wrench > 0 && a.Kind != supports.Screw {
		r.fault("wrench", `leave it out, or write adjust = "screw M20x1.5"`, "counts only for a screw")
	}
	return a
}

// steepThread, m a turn, is the coarse pitch of M36, the largest screw that usually levels a
// bed (common practice, no source).
const steepThread = 4e-3

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
// coarse pitch, "3/4-10") or of "2 mm", and the most that is usual of it · show writes a length.
func rise(thread string, show func(float64) string) (up, usual float64, err error) {
	usual = steepThread
	if m := metricThread.FindStringSubmatch(thread); m != nil {
		diameter, _ := strconv.ParseFloat(m[1], 64)
		pitch, ok := coarse[diameter]
		if ok {
			usual = pitch * unit.MM
		}
		if m[2] != "" {
			pitch, _ = strconv.ParseFloat(m[2], 64)
		} else if !ok {
			return 0, 0, fmt.Errorf("the coarse pitch of M%s is not in the table (M10 to M36): write the pitch too", m[1])
		}
		up = pitch * unit.MM
	} else if m := inchThread.FindStringSubmatch(thread); m != nil {
		turns, _ := strconv.ParseFloat(m[2], 64)
		up = unit.Inch / turns
	} else if up, err = unit.Length.Parse(thread); err != nil {
		return 0, 0, fmt.Errorf("%s is no thread and no rise per turn", unit.Quote(thread))
	}
	if !(up >= 0.05*unit.MM && up <= 20*unit.MM) || math.IsInf(up, 0) {
		return 0, 0, fmt.Errorf("%s would rise %s a turn", unit.Quote(thread), show(up))
	}
	return up, usual, nil
}
