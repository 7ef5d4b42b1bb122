package place

// worthwhile is by how much a further foot must lessen what is to be expected
// before it is advised: a tenth, a judgement with no source.
const worthwhile = 0.1

// Why a number of feet is recommended.
const (
	Enough = "enough" // the fewest that keep the tolerance with one foot wrong
	Worth  = "worth"  // no tolerance is kept, or none was given: more gain less than a tenth
)

// expected is the zone to reckon with when one foot is 10 µm wrong, m.
func (p Placement) expected() float64 { return p.Zone + p.Sensitivity }

// recommend picks the number of feet that is worth it. With a tolerance, the fewest
// feet that keep it with one foot 10 µm wrong; else, or when none does, more feet as
// long as they lessen the expected zone by a tenth.
func (a *Answer) recommend(tolerance float64) {
	a.Recommended, a.Reason = 0, Worth
	for i, p := range a.Placements {
		if tolerance > 0 && p.expected() <= tolerance {
			a.Recommended, a.Reason = i, Enough
			return
		}
		if p.expected() < (1-worthwhile)*a.Placements[a.Recommended].expected() {
			a.Recommended = i
		}
	}
}
