package job

import "footwork/survey/log"

// moves reads the feet moved between surveys, as version 1 had them.
func (b *builder) moves(readers []*reader) {
	for _, r := range readers {
		a := log.Act{What: log.Turn, Value: r.quantity("raise"), Pass: r.whole("pass")}
		b.footRow(r, a)
		if r.clean() && !r.has("date") && !r.has("pass") && !r.damaged {
			r.fault("", "for example "+r.key("date").assignment(), "needs a date or a pass, to stand between its surveys")
		}
	}
}

// felt reads what hand, feeler or jack said, as version 1 had it.
func (b *builder) felt(readers []*reader) {
	for _, r := range readers {
		a, given := log.Act{What: log.Feel, Pass: r.whole("pass")}, 0
		for _, key := range []string{"state", "gap", "load"} {
			if !r.has(key) {
				continue
			}
			if given++; key != "state" {
				a.What = log.What(key)
				a.Value, a.Sigma = r.measured(key)
			} else if a.Feel = log.Solid; r.choice(key) == "loose" {
				a.Feel = log.Free
			}
		}
		if r.has("uncertainty") && a.Sigma == 0 {
			a.Sigma = r.quantity("uncertainty")
		}
		if r.has("uncertainty") && !r.has("load") {
			r.fault("uncertainty", "leave it out", "belongs to a load")
		}
		b.footRow(r, a)
		if given != 1 && (given > 1 || r.clean()) && !r.damaged {
			r.fault("", "write one of "+r.example(`state = "loose", gap = "20 µm", load = "3.1 kN"`), "has %d of state, gap and load; it needs one", given)
		}
	}
}

// footRow keeps what was done to a foot or felt of it.
func (b *builder) footRow(r *reader, a log.Act) {
	a.Standing, a.Foot = b.footOf(r)
	b.row(r, r.date("date"), a)
}
