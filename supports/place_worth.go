package supports

import "fmt"

// worthwhile is by how much a further foot must lessen what is to be expected
// before it is advised: a tenth.
const worthwhile = 0.1

// Expected is the zone to reckon with when one foot is 10 µm wrong, m.
func (p Placement) Expected() float64 { return p.Zone + p.Sensitivity }

// recommend picks the number of feet that is worth it and says why. With a
// tolerance, the fewest feet that keep it with one foot 10 µm wrong; else, or when
// none does, more feet as long as they lessen the expected zone by a tenth. A table,
// if there is one, travels.
func (p *Placements) recommend(tolerance float64, travels bool) {
	over := "out of straight"
	if travels {
		over = "over the whole travel"
	}
	p.Recommended = 0
	for i, q := range p.Placements {
		if tolerance > 0 && q.Expected() <= tolerance {
			p.Recommended = i
			p.Why = fmt.Sprintf("%s are enough: they keep %s, and %s with one foot 10 µm wrong, within the %s wanted.",
				q.count(), metric(q.Zone), metric(q.Expected()), metric(tolerance))
			return
		}
		if q.Expected() < (1-worthwhile)*p.Placements[p.Recommended].Expected() {
			p.Recommended = i
		}
	}
	best := p.Placements[p.Recommended]
	p.Why = fmt.Sprintf("%s are worth it: %s %s, %s with one foot 10 µm wrong", best.count(), metric(best.Zone), over, metric(best.Expected()))
	if more := p.Recommended + 1; more < len(p.Placements) {
		q := p.Placements[len(p.Placements)-1]
		p.Why += fmt.Sprintf("; %s sag %s but cost %s more when one is 10 µm wrong, so that little is gained and they must be set more exactly", q.count(), metric(q.Zone), metric(q.Sensitivity))
	} else if p.Recommended > 0 {
		q := p.Placements[p.Recommended-1]
		p.Why += fmt.Sprintf(", where %s leave %s and %s", q.count(), metric(q.Zone), metric(q.Expected()))
	}
	p.Why += "."
	if tolerance > 0 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("no number of feet that was tried keeps %s with one foot 10 µm wrong; the nearest is %s with %s", metric(tolerance), best.count(), metric(best.Expected())))
	}
}

func (p Placement) count() string { return fmt.Sprintf("%d feet", len(p.Feet)) }
