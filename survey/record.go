package survey

// Record is a survey, reduced, with how the bed stood when it was taken.
type Record struct {
	Survey  Survey
	Profile Profile
	Epoch   int // how often the bed's feet had been touched
	Cut     int // how often metal had been cut from its way; across the ways: from any
	AnyCut  int // how often metal had been cut from any way
}

// Subject is what a survey looks at: surveys of one subject may be compared.
type Subject struct {
	Standing, Way     string // Way "" across the ways
	Sideways, OfTable bool
	Against           string
	Pulled            int
}

// Subject returns what a survey looks at.
func (s Survey) Subject() Subject {
	return Subject{s.Standing, s.Way, s.Sideways, s.OfTable, s.Against, s.Pulled}
}

// UpAndDown tells whether a survey looks at the bed's own ways, or their twist, up
// and down: what feet, heat and weight change.
func (s Survey) UpAndDown() bool { return !s.Sideways && !s.OfTable && s.Pulled == 0 }

// Undisturbed tells whether no foot was touched between two surveys of one standing,
// and the table stood alike.
func (r Record) Undisturbed(o Record) bool {
	return r.Survey.Standing == o.Survey.Standing && r.Epoch == o.Epoch && samePlace(r.Survey.TableAt, o.Survey.TableAt)
}

// parked is how far apart the table may stand and count as at one place, m.
const parked = 0.01

func samePlace(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a-*b < parked && *b-*a < parked
}
