package job

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/supports"
)

// goal reads [adjust]. Its standing may be left out when only one has surveys.
func (b *builder) goal(r *reader) {
	if r == nil {
		return
	}
	g := &supports.Goal{
		Standing:  b.standing(r, "standing"),
		Allow:     supports.Allow(r.choice("allow", string(supports.Either), string(supports.HighOnly), string(supports.LowOnly))),
		Crown:     r.quantity("crown", signed(unit.Length, "5 mm")),
		Tolerance: r.quantity("tolerance", size(unit.Length, "5 mm").ifAbsent(0)),
		LeastLoad: r.quantity("least_load", amount(unit.Share, "95 %")),
		MostMove:  r.quantity("most_move", size(unit.Length, "50 mm").ifAbsent(math.Inf(1))),
	}
	if r.has("shims") {
		g.Shims = r.quantities("shims", size(unit.Length, "50 mm"))
		slices.Sort(g.Shims)
		g.Shims = slices.Compact(g.Shims)
	}
	if !r.has("standing") {
		switch names := b.job.Surveyed(); {
		case len(names) == 1:
			g.Standing = names[0]
		case len(names) == 0 && len(b.job.Standings) == 1:
			g.Standing = b.job.Standings[0].Name
		case !r.damaged:
			r.fault("standing", thereAre("", b.job.StandingNames()), "is missing: it is not plain which standing is to be adjusted")
		}
	}
	r.done()
	b.job.Goal = g
}

func (b *builder) floor(r *reader) {
	if r == nil {
		return
	}
	b.job.Floor = &supports.Floor{
		HeightSD:        r.quantity("height_sd", size(unit.Length, "50 mm").ifAbsent(0.1*unit.MM)),
		StiffnessFactor: r.factor("stiffness_factor", 1, 100, 2),
	}
	r.done()
}

func (b *builder) place(r *reader) {
	if r == nil {
		return
	}
	r.require(`feet = [3, 4, 5]`, `offsets = ["-240 mm", "240 mm"]`)
	w := &supports.PlaceWish{
		Apart:   r.quantity("apart", amount(unit.Length, "100 m")),
		Offsets: r.quantities("offsets", offset),
	}
	for _, v := range r.list("feet", "[3, 4, 5]") {
		if n := r.wholeOf("feet", v, 2, 20); n != nil {
			w.Pairs = append(w.Pairs, *n)
		}
	}
	for _, z := range r.subs("zones") {
		from, to := b.span(z)
		w.Zones = append(w.Zones, beam.Span{From: from, To: to})
		z.done()
	}
	for _, f := range r.subs("foot") {
		f.require(`at = "250 mm"`, `offset = "-240 mm"`)
		foot := beam.Foot{Name: f.text("name"), At: f.quantity("at", place), Offset: f.quantity("offset", offset),
			Stiffness: f.quantity("stiffness", stiffness.ifAbsent(math.Inf(1)))}
		b.onBed(f, "at", foot.At)
		if f.require("keep = true"); f.flag("keep") {
			w.Keep = append(w.Keep, foot)
		}
		f.done()
	}
	r.done()
	b.job.Place = w
}

func (b *builder) cut(r *reader) {
	if r == nil {
		return
	}
	r.require(`depth_per_pass = "3 µm"`, `time_per_pass = "50 min"`)
	b.job.Cut = &supports.CutWish{
		StraightIn:   b.standing(r, "straight_in"),
		DepthPerPass: r.quantity("depth_per_pass", size(unit.Length, "5 mm")),
		TimePerPass:  r.quantity("time_per_pass", size(unit.Time, "1000 h")),
		TableAt:      r.maybe("table_at", place),
	}
	if t := b.job.Table; b.job.Cut.TableAt != nil && t != nil {
		b.onWays(r, "table_at", *b.job.Cut.TableAt, t)
	} else if b.job.Cut.TableAt != nil && !r.damaged {
		r.fault("table_at", "give a [table], or leave table_at out", "there is no table in this job")
	}
	r.done()
}
