package match

import (
	"cmp"
	"math"
	"slices"
)

// mostEpochs is how many epochs are reckoned with when there are many: what a chain does in one
// sweep grows by the second power of their number, and of how the bed stands now the last surveys
// tell nearly all (assumed: as many as a match of eight feet takes in within its budget).
const mostEpochs = 12

// recent returns the input without what was measured long ago, and how many surveys these were:
// kept are the latest survey of every way, since the last survey in a standing what an instrument
// read first and last with one zero, where it was read twice, and how a foot felt last, and of the
// rest the newest, mostEpochs in all. What was moved stays.
func (in Input) recent() (Input, int) {
	in.Epochs = together(in.Epochs)
	left := 0
	for e, keep := range in.lately() {
		if epoch := &in.Epochs[e]; !keep {
			left += len(epoch.Surveys)
			*epoch = Epoch{Standing: epoch.Standing, Moves: epoch.Moves}
		}
	}
	out := in
	out.Epochs = nil
	for _, epoch := range together(in.Epochs) {
		if n := len(out.Epochs); n > 0 && out.Epochs[n-1].Standing == epoch.Standing && out.Epochs[n-1].empty() {
			epoch.Moves = summed(append(slices.Clone(out.Epochs[n-1].Moves), epoch.Moves...))
			out.Epochs = out.Epochs[:n-1]
		}
		out.Epochs = append(out.Epochs, epoch)
	}
	out.heatsUsed()
	return out, left
}

// together returns the epochs without readings of which none shares the zero: these tell nothing but that.
func together(epochs []Epoch) []Epoch {
	count := map[zero]int{}
	for _, epoch := range epochs {
		for _, r := range epoch.Readings {
			count[r.zero()]++
		}
	}
	out := slices.Clone(epochs)
	for e := range out {
		out[e].Readings = slices.DeleteFunc(slices.Clone(out[e].Readings), func(r Reading) bool { return count[r.zero()] == 1 })
	}
	return out
}

func (e Epoch) empty() bool { return len(e.Surveys)+len(e.Readings)+len(e.Felt) == 0 }

// lately tells which epochs are kept.
func (in Input) lately() []bool {
	keep := make([]bool, len(in.Epochs))
	type part struct{ standing, part int } // a way, or a foot
	surveyed, latest, felt := map[int]bool{}, map[part]bool{}, map[part]bool{}
	opens, last := in.zeros(), map[zero]bool{}
	kept := 0
	for e, epoch := range slices.Backward(in.Epochs) {
		since := !surveyed[epoch.Standing]
		for _, r := range epoch.Readings {
			keep[e] = keep[e] || since && (!last[r.zero()] || opens[r.zero()] == e)
			last[r.zero()] = true
		}
		for _, f := range epoch.Felt {
			foot := part{epoch.Standing, f.Foot}
			keep[e] = keep[e] || since && !felt[foot]
			felt[foot] = true
		}
		for _, s := range epoch.Surveys {
			surveyed[epoch.Standing] = true
			way := part{epoch.Standing, s.Way}
			keep[e] = keep[e] || !latest[way]
			latest[way] = true
		}
		if keep[e] {
			kept++
		}
	}
	for e, epoch := range slices.Backward(in.Epochs) {
		if !keep[e] && !epoch.empty() && kept < mostEpochs {
			keep[e] = true
			kept++
		}
	}
	return keep
}

// zero is what readings of an instrument left standing share.
type zero struct {
	survey    string
	zero, cut int
}

func (r Reading) zero() zero { return zero{r.Survey, r.Zero, r.Cut} }

// zeros returns the epoch in which each was read first.
func (in Input) zeros() map[zero]int {
	first := map[zero]int{}
	for e, epoch := range slices.Backward(in.Epochs) {
		for _, r := range epoch.Readings {
			first[r.zero()] = e
		}
	}
	return first
}

// summed makes one move of several of a foot: what they did adds up, from where it was last set
// anew.
func summed(moves []Move) (out []Move) {
	for _, v := range moves {
		same := func(o Move) bool { return o.Foot == v.Foot }
		if v.Anew {
			out = append(slices.DeleteFunc(out, same), v)
		} else if k := slices.IndexFunc(out, func(o Move) bool { return same(o) && !o.Anew }); k >= 0 {
			o := &out[k]
			o.Raise, o.SD = o.Raise+v.Raise, math.Hypot(cmp.Or(o.SD, moveSD), cmp.Or(v.SD, moveSD))
			o.Undated = o.Undated || v.Undated
		} else {
			out = append(out, v)
		}
	}
	return out
}

// heatsUsed leaves the gradients that something is read under.
func (in *Input) heatsUsed() {
	heats, at := in.Heats, map[int]int{}
	in.Heats = nil
	used := func(k *int) {
		if _, there := at[*k]; !there {
			at[*k] = len(in.Heats)
			in.Heats = append(in.Heats, heats[*k])
		}
		*k = at[*k]
	}
	for e := range in.Epochs {
		epoch := &in.Epochs[e]
		epoch.Surveys, epoch.Readings, epoch.Felt = slices.Clone(epoch.Surveys), slices.Clone(epoch.Readings), slices.Clone(epoch.Felt)
		for i := range epoch.Surveys {
			used(&epoch.Surveys[i].Heat)
		}
		for i := range epoch.Readings {
			used(&epoch.Readings[i].Heat)
		}
		for i := range epoch.Felt {
			used(&epoch.Felt[i].Heat)
		}
	}
}
