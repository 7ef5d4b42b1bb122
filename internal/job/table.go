package job

import (
	"fmt"
	"math"

	"footwork/beam/ride"
	"footwork/beam/shape"
)

func (b *builder) table(r *reader) {
	t := &ride.Table{Length: r.quantity("length"), Weight: r.quantity("weight"), Tool: r.quantityOr("tool", b.job.Bed.Length/2), Offset: r.quantity("offset")}
	b.onBed(r, "tool", t.Tool)
	b.bending(r, t)
	if s := r.sub("stroke"); s != nil {
		t.Stroke = b.stroke(s, t)
	}
	b.job.Table = t
	b.later(func() {
		b.heavySlips([]*reader{r})
		b.shortTable(r)
	})
}

// stroke reads the places of the table's left end; its middle must stay on the
// bed, or it tips.
func (b *builder) stroke(r *reader, t *ride.Table) *shape.Span {
	s := shape.Span{From: r.quantity("from"), To: r.quantity("to")}
	b.onWays(r, "from", s.From, t)
	b.onWays(r, "to", s.To, t)
	if s.To < s.From {
		r.fault("to", "write the left end first", "lies to the left of from")
	}
	return &s
}

// onWays complains of a table parked with its left end where it would tip.
func (b *builder) onWays(r *reader, key string, x float64, t *ride.Table) {
	if lo, hi := -t.Length/2, b.job.Bed.Length-t.Length/2; (x < lo-slack || x > hi+slack) && !math.IsNaN(lo+hi) {
		r.fault(key, fmt.Sprintf("its left end can stand from %s to %s", b.length(lo), b.length(hi)), "the table would tip off the bed at %s", b.length(x))
	}
}

// parked reads where the table's left end stands; nil when it is not said.
func (b *builder) parked(r *reader, key string) *float64 {
	at, t := r.maybe(key), b.job.Table
	if at != nil && t != nil {
		b.onWays(r, key, *at, t)
	} else if at != nil && !r.damaged {
		r.fault(key, "give a [table], or leave "+key+" out", "there is no table in this job")
	}
	return at
}

// bending reads the stiffness of a flexible table and of its contact.
func (b *builder) bending(r *reader, t *ride.Table) {
	e, inertia := r.quantity("modulus"), r.quantity("inertia")
	t.Contact = r.quantityOr("contact", 0)
	plates := r.has("plates") || r.has("closed")
	if plates {
		section, _ := b.plates(r)
		if inertia = section.Inertia; r.has("inertia") {
			r.fault("inertia", "keep the plates or the inertia", "is given beside plates, which already say it")
		}
	}
	if !plates && !r.has("modulus") && !r.has("inertia") {
		if r.has("contact") {
			r.fault("contact", "give modulus and inertia too, or leave contact out", "counts only for a flexible table")
		}
		return
	}
	r.require("modulus", "contact")
	if !plates {
		r.require("inertia")
	}
	t.Bending = e * inertia
	if math.IsInf(t.Contact, 1) {
		r.fault("contact", "write a stiffness, for example "+r.key("contact").assignment(), "cannot be rigid between two flexible bodies")
	}
}
