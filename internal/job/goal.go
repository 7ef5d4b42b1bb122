package job

import (
	"cmp"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/supports"
	"footwork/supports/blue"
	"footwork/supports/cut"
	"footwork/supports/place"
	"footwork/survey"
)

// goal reads [adjust].
func (b *builder) goal(r *reader) {
	g := &supports.Goal{
		Standing:  b.standing(r, "standing"),
		Aim:       supports.Aim(r.choice("aim")),
		By:        supports.By(r.choice("by")),
		Allow:     supports.Allow(r.choice("allow")),
		Crown:     r.quantity("crown"),
		Twist:     r.quantity("twist"),
		Gauge:     r.quantity("gauge"),
		Tolerance: r.quantity("tolerance"),
		LeastLoad: r.quantity("least_load"),
		MostMove:  r.quantity("most_move"),
		Shims:     r.quantities("shims"),
		Indicator: r.quantity("indicator"),
	}
	slices.Sort(g.Shims)
	g.Shims = slices.Compact(g.Shims)
	b.job.Goal = g
}

// goalStanding finds which standing is to be adjusted where nobody says so.
func (b *builder) goalStanding(r *reader) {
	if r.has("standing") {
		return
	}
	switch names := b.job.Surveyed(); {
	case len(names) == 1:
		b.job.Goal.Standing = names[0]
	case len(names) == 0 && len(b.job.Standings) == 1:
		b.job.Goal.Standing = b.job.Standings[0].Name
	case !r.damaged && (b.job.LogFile == "" || len(b.faults) == 0): // else the log may have told
		r.fault("standing", unit.Choices("", b.job.StandingNames()), "is missing: it is not plain which standing is to be adjusted")
	}
}

func (b *builder) floor(r *reader) {
	b.job.Floor = &supports.Floor{HeightSD: r.quantity("height_sd"), StiffnessFactor: r.factor("stiffness_factor")}
}

func (b *builder) place(r *reader) {
	w := &place.Options{Apart: r.quantity("apart"), Offsets: r.quantities("offsets"), Pairs: r.wholes("feet")}
	for _, z := range r.subs("zones") {
		from, to := b.span(z)
		w.Zones = append(w.Zones, shape.Span{From: from, To: to})
	}
	for _, f := range r.subs("foot") {
		foot := beam.Foot{Name: f.text("name"), At: f.quantity("at"), Offset: f.quantity("offset"), Stiffness: f.quantity("stiffness")}
		b.onBed(f, "at", foot.At)
		if f.flag("keep") {
			w.Keep = append(w.Keep, foot)
		}
	}
	b.job.Place = w
}

func (b *builder) cut(r *reader) {
	b.job.Cut = &cut.Options{
		StraightIn: b.standing(r, "straight_in"), DepthPerPass: r.quantity("depth_per_pass"), TimePerPass: r.quantity("time_per_pass"),
		TableAt: b.parked(r, "table_at"),
	}
	b.job.Unworn = b.unworn(r)
	b.job.MaySink, b.job.OwnSink = r.quantity("may_sink"), r.quantity("table_sinks")
	if m := r.sub("marks"); m != nil {
		b.job.Marks.FromRight, b.job.Marks.Every = m.choice("from") == "right", m.quantity("every")
	}
}

// unworn reads where metal is unworn: at the ends, the outer tenth at each; in the middle, the
// middle third (assumed); or as the job says.
func (b *builder) unworn(r *reader) []shape.Span {
	l := b.job.Bed.Length
	switch text := r.text("datum"); text {
	case "":
		return nil
	case "ends":
		return []shape.Span{{From: 0, To: l / 10}, {From: 0.9 * l, To: l}}
	case "middle":
		return []shape.Span{{From: l / 3, To: 2 * l / 3}}
	default:
		left, right, _ := strings.Cut(text, " to ")
		from, err := unit.Length.Parse(left)
		to, also := unit.Length.Parse(right)
		if err != nil || also != nil || to <= from {
			r.fault("datum", `write "ends", "middle", or from and to: "0 mm to 300 mm"`, "%s is no stretch of a way", unit.Quote(text))
			return nil
		}
		b.onBed(r, "datum", from)
		b.onBed(r, "datum", to)
		return []shape.Span{{From: from, To: to}}
	}
}

// masters reads what is blued and laid on the ways.
func (b *builder) masters(readers []*reader) {
	seen := map[string]bool{}
	for _, r := range readers {
		m := Master{Name: r.called(seen), Vee: r.has("flanks"), Flanks: r.pair("flanks")}
		modulus := r.quantity("modulus")
		m.Master = blue.Iron(r.quantity("length"), r.quantityOr("depth", 0), modulus)
		m.Weight, m.Film, m.Stroke = r.quantityOr("weight", m.Weight), r.quantity("film"), r.quantity("stroke")
		if r.has("inertia") {
			m.Bending = modulus * r.quantity("inertia")
		}
		m.Face = b.face(r, m.Length)
		if !r.has("depth") && (!r.has("weight") || !r.has("inertia")) {
			r.require("depth")
		}
		if c := r.sub("carried"); c != nil {
			at := c.pair("at")
			if a, b := at[0]-m.Length/2, at[1]-m.Length/2; a*b > 0 {
				c.fault("at", "hang it on either side of its middle", "leaves the master to tip: both places lie on one side of its middle")
			}
			for _, x := range at {
				if x > m.Length {
					c.fault("at", "it is counted along the master from its left end", "%s lies beyond its end", b.length(x))
				}
			}
			m.Master = m.Carried(c.quantity("share"), at)
		}
		b.job.Masters = append(b.job.Masters, m)
		b.later(func() { b.masterSlip(r, m) })
	}
}

// stiffTable is the EI of a table that is said to be stiff, N·m²: a hundred times that of a
// block of iron as deep as half a metre.
const stiffTable = 1e12

// TableAsMaster returns the table as a master, with the film and stroke of one that says neither.
func (j *Job) TableAsMaster() blue.Master {
	t := j.Table
	return blue.Master{Length: t.Length, Weight: t.Weight, Bending: cmp.Or(t.Bending, stiffTable),
		Film: masterTables.below("film").without, Stroke: masterTables.below("stroke").without}
}

// face reads the CSV of a master's own face: heights, in µm or thou where the head
// of the column says nothing else, at places counted from its left end.
func (b *builder) face(r *reader, length float64) (face shape.Shape) {
	s := survey.Survey{Instrument: survey.Heights, Unit: "µm", Scale: unit.UM, XScale: unit.MM}
	if b.job.Units == unit.Inches {
		s.Unit, s.Scale, s.XScale = "thou", unit.Thou, unit.Inch
	}
	file := r.text("form")
	if file == "" {
		return face
	}
	data, ok := b.opened(file, "form", r.fault)
	if !ok {
		return face
	}
	t := readGrid(data, s.XScale)
	t.tellUnit(&s)
	if s.Readings, ok = b.taken(&s, file, t); !ok {
		return face
	}
	p, err := survey.Reduce(s)
	switch {
	case err != nil:
		r.fault("form", "its columns are x and run 1, one row a place", "%s is no face of a master", unit.Quote(file))
	case p.X[0] < -slack || p.X[len(p.X)-1] > length+slack:
		r.fault("form", "its places are counted from its left end", "%s reaches from %s to %s, beyond the master", unit.Quote(file), b.length(p.X[0]), b.length(p.X[len(p.X)-1]))
	}
	return shape.Shape{X: p.X, Y: p.Height}
}
