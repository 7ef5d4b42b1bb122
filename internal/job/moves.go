package job

import (
	"footwork/survey"
	"footwork/survey/log"
)

// moves reads the feet moved between surveys, as version 1 had them.
func (b *builder) moves(readers []*reader) {
	for _, r := range readers {
		m := survey.Move{Date: r.date("date"), Pass: r.whole("pass"), Raise: r.quantity("raise")}
		m.Standing, m.Foot = b.footOf(r)
		dated := r.has("date") || r.has("pass")
		if r.done() && !dated && !r.damaged {
			r.fault("", "for example "+r.key("date").assignment(), "needs a date or a pass, to stand between its surveys")
		}
		b.row(r, m.Date, m.Pass, log.Act{What: log.Turn, Standing: m.Standing, Foot: m.Foot, Value: m.Raise})
		b.job.Moves = append(b.job.Moves, m)
	}
}

// felt reads what hand, feeler or jack said, as version 1 had it.
func (b *builder) felt(readers []*reader) {
	for _, r := range readers {
		f := survey.Felt{Date: r.date("date"), Pass: r.whole("pass"), Uncertainty: r.quantityOr("uncertainty", 0)}
		for key, to := range map[string]**float64{"gap": &f.Gap, "load": &f.Load} {
			if r.has(key) {
				v, sd := r.measured(key)
				if *to = &v; sd > 0 {
					f.Uncertainty = sd
				}
			}
		}
		f.Standing, f.Foot = b.footOf(r)
		given := 0
		for _, key := range []string{"state", "gap", "load"} {
			if r.has(key) {
				given++
			}
		}
		if r.has("state") {
			f.State = r.choice("state")
		}
		if r.has("uncertainty") && !r.has("load") {
			r.fault("uncertainty", "leave it out", "belongs to a load")
		}
		if clean := r.done(); given != 1 && (clean || given > 1) && !r.damaged {
			r.fault("", "write one of "+r.example(`state = "loose", gap = "20 µm", load = "3.1 kN"`), "has %d of state, gap and load; it needs one", given)
		}
		b.row(r, f.Date, f.Pass, feltAct(f))
		b.job.Felt = append(b.job.Felt, f)
	}
}
