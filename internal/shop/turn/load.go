package turn

import (
	"cmp"
	"math"
	"slices"

	"footwork/supports"
	"footwork/supports/plan"
)

// tellLoad asks, where no turn is dared, for one of the feet that may go light by the one that risks least
// to be let down until it just touches, of those the one that most beds have so: what the bed does on the way
// tells what it carried, and where it touches what it will carry however far it is raised from there.
func (s *Session) tellLoad() bool {
	const some = 0.03 // of the beds have it otherwise (assumed)
	part := s.careful(s.held, s.held.Raise).raise
	_, light := s.beds.lightened(move{foot: s.held.Foot, raise: part}, s.loose[s.held.Foot], s.in.Goal.LeastLoad/2, 1)
	var feet []int
	for f, share := range light {
		if kind := s.in.Task.Feet[f].Kind; share > some && share < 1-some && !s.told[f] && !s.skipped[f] && (kind == supports.Screw || kind == supports.Free) {
			feet = append(feet, f)
		}
	}
	slices.SortStableFunc(feet, func(a, b int) int { return cmp.Compare(light[b], light[a]) })
	for _, f := range feet {
		if w := s.seenBest(f); w != nil && s.letsDown(f) {
			s.telling = true
			s.begins(plan.Step{Foot: f, Touch: true, Watch: w}, 1)
			return true
		}
	}
	return false
}

// letsDown: a foot may be let down until it just touches: seldom does the bed tip or another foot go light by it.
func (s *Session) letsDown(foot int) bool {
	least, down := s.in.Goal.LeastLoad/2, s.threadLeft(foot).Down
	risk, err := s.beds.mean(func(_ int, one *bed) (float64, error) {
		by, ok := s.beds.untilTouch(one, foot)
		there, err := s.beds.raised(one, foot, by)
		if !ok || err != nil || -by > down {
			return 1, nil
		}
		for f, then := range there.state.Feet() {
			if mean := s.beds.meanLoad(one); f != foot && then.Load < least*mean && one.state.Feet()[f].Load >= least*mean {
				return 1, nil
			}
		}
		return 0, nil
	})
	return err == nil && risk <= dared
}

// seenBest is where a foot's moves are read best against what a reading scatters, by the first of the
// beds; nil where nowhere.
func (s *Session) seenBest(foot int) (best *plan.Watch) {
	const step, some = 10e-6, 16
	least := math.Inf(1)
	few := *s.beds
	few.all = few.all[:min(some, len(few.all))]
	raised := make([]bed, len(few.all))
	if few.each(func(i int, one *bed) (err error) { raised[i], err = few.raised(one, foot, step); return err }) != nil {
		return nil
	}
	for i, in := range s.in.Instruments {
		for _, at := range in.Places(s.in.Standing.Feet[foot]) {
			w := plan.Watch{Instrument: i, At: at, Within: in.Within()}
			p, _ := s.watched(plan.Step{Foot: foot, Watch: &w})
			for k, one := range few.all {
				w.Change += (few.shows(raised[k].state, p) - few.shows(one.state, p)) / float64(len(few.all))
			}
			if sd := w.Within / math.Abs(w.Change) * step; sd < least {
				best, least = &w, sd
			}
		}
	}
	return best
}
