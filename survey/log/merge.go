package log

import "slices"

// Dated is an act of the job file, which may know its day, the number of scraping
// passes done before it (for a touch: after the surveys of that pass), or neither.
type Dated struct {
	Act
	Pass *int
	row  int // in the order of the file
}

// Merge puts the acts of a job file, in the order of the file, and those of the
// log into one time order. Days go before passes; of one moment the file's order
// holds, and the job file's acts come first. Where the pass of a survey is higher
// than that of the one before, metal was cut between. Acts of the job file whose
// order nobody can tell are returned beside, by their index.
func Merge(b Bed, old []Dated, acts []Act) (all []Act, unsure []int) {
	rows := withCuts(b, inOrder(old))
	for _, a := range acts {
		for len(rows) > 0 && !a.When.Before(rows[0].When) {
			all, rows = append(all, rows[0].Act), rows[1:]
		}
		all = append(all, a)
	}
	for _, d := range rows {
		all = append(all, d.Act)
	}
	return all, unordered(old)
}

// inOrder sorts by moment, and puts those without a day after the last of no
// higher pass, or where they stand in the file.
func inOrder(old []Dated) (list []Dated) {
	old = slices.Clone(old)
	for i := range old {
		old[i].row = i
	}
	for _, d := range old {
		if d.When.Day != "" {
			at := slices.IndexFunc(list, func(v Dated) bool { return d.When.Before(v.When) })
			if at < 0 {
				at = len(list)
			}
			list = slices.Insert(list, at, d)
		}
	}
	for _, touches := range []bool{false, true} { // surveys first, so that a touch finds those of its pass
		for _, d := range old {
			if d.When.Day == "" && (d.What != Survey) == touches {
				list = slices.Insert(list, place(list, d), d)
			}
		}
	}
	return list
}

// place returns where an act without a day belongs.
func place(list []Dated, d Dated) int {
	if d.Pass == nil {
		return len(list)
	}
	for i := len(list) - 1; i >= 0; i-- {
		if p := list[i].Pass; p != nil && *p <= *d.Pass {
			return i + 1
		}
	}
	if i := slices.IndexFunc(list, func(v Dated) bool { return v.Pass != nil || v.row > d.row }); i >= 0 {
		return i
	}
	return len(list)
}

// withCuts puts scraping before the surveys whose pass is higher than those
// before. A cross level sees what was cut from a way as soon as the way's own
// next survey does.
func withCuts(b Bed, list []Dated) (out []Dated) {
	done := map[string]int{}
	for i, d := range list {
		if d.What == Survey && d.Pass != nil {
			for _, w := range b.Ways {
				if n := *d.Pass - done[w.Name]; n > 0 && (d.Way == w.Name || d.Way == "" && reached(list[i:], w.Name, *d.Pass)) {
					out = append(out, Dated{Act: Act{When: d.When, What: Scrape, Standing: d.Standing, Way: w.Name, Passes: n}})
					done[w.Name] = *d.Pass
				}
			}
		}
		out = append(out, d)
	}
	return out
}

// reached tells whether a way's next survey is of a pass or a later one.
func reached(list []Dated, way string, pass int) bool {
	i := slices.IndexFunc(list, func(d Dated) bool { return d.What == Survey && d.Way == way && d.Pass != nil })
	return i >= 0 && *list[i].Pass >= pass
}

// unordered returns the acts whose place among the touches of the bed's feet
// neither days nor passes tell, nor, of several surveys of one way on one day,
// times of day.
func unordered(old []Dated) (list []int) {
	for i, d := range old {
		for j, t := range old {
			if i != j && t.What.Touching() && t.Standing == d.Standing && !d.What.Touching() && !known(d, t) && (d.When.Day == "" || t.When.Day == "" || repeated(old, i)) {
				list = append(list, i)
				break
			}
		}
	}
	return list
}

// known tells whether it is known which of two came first.
func known(d, t Dated) bool {
	if d.When.Day != "" && t.When.Day != "" {
		return d.When.Before(t.When) || t.When.Before(d.When)
	}
	return d.Pass != nil && t.Pass != nil
}

// repeated tells whether another survey of the same way was taken on the day of act i.
func repeated(old []Dated, i int) bool {
	return slices.ContainsFunc(old, func(v Dated) bool {
		return old[i].What == Survey && v.What == Survey && v.Survey != old[i].Survey && v.Way == old[i].Way && v.Standing == old[i].Standing && v.When.Day == old[i].When.Day
	})
}
