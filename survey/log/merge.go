package log

import "slices"

// merge puts the rows of a job file, in the order of the file, and the acts of the
// log into one time order. Days go before passes; of one moment the file's order
// holds, and the rows come first. Where the pass of a survey is higher than that
// of the one before, metal was cut between.
func merge(b Bed, rows, acts []Act) (all []Act) {
	rows = withCuts(b, inOrder(rows))
	for _, a := range acts {
		for len(rows) > 0 && !a.When.before(rows[0].When) {
			all, rows = append(all, rows[0]), rows[1:]
		}
		all = append(all, a)
	}
	return append(all, rows...)
}

// inOrder sorts by moment, and puts those without a day after the last of no
// higher pass, or where they stand in the file.
func inOrder(rows []Act) (list []Act) {
	for _, a := range rows {
		if a.When.Day != "" {
			at := slices.IndexFunc(list, func(v Act) bool { return a.When.before(v.When) })
			if at < 0 {
				at = len(list)
			}
			list = slices.Insert(list, at, a)
		}
	}
	for _, surveys := range []bool{true, false} { // surveys first, so that a touch finds those of its pass
		for _, a := range rows {
			if a.When.Day == "" && (a.What == Survey) == surveys {
				list = slices.Insert(list, place(list, a), a)
			}
		}
	}
	return list
}

// place returns where a row without a day belongs.
func place(list []Act, r Act) int {
	if r.Pass == nil {
		return len(list)
	}
	for i := len(list) - 1; i >= 0; i-- {
		if p := list[i].Pass; p != nil && *p <= *r.Pass {
			return i + 1
		}
	}
	if i := slices.IndexFunc(list, func(v Act) bool { return v.Pass != nil || v.Row > r.Row }); i >= 0 {
		return i
	}
	return len(list)
}

// withCuts puts scraping before the surveys whose pass is higher than those
// before. A cross level sees what was cut from a way as soon as the way's own
// next survey does.
func withCuts(b Bed, list []Act) (out []Act) {
	done := map[string]int{}
	for i, a := range list {
		if a.What == Survey && a.Pass != nil {
			for _, w := range b.Ways {
				if n := *a.Pass - done[w.Name]; n > 0 && (a.Way == w.Name || a.Way == "" && reached(list[i:], w.Name, *a.Pass)) {
					out = append(out, Act{When: a.When, What: Scrape, Standing: a.Standing, Way: w.Name, Passes: n})
					done[w.Name] = *a.Pass
				}
			}
		}
		out = append(out, a)
	}
	return out
}

// reached tells whether a way's next survey is of a pass or a later one.
func reached(list []Act, way string, pass int) bool {
	i := slices.IndexFunc(list, func(a Act) bool { return a.What == Survey && a.Way == way && a.Pass != nil })
	return i >= 0 && *list[i].Pass >= pass
}

// unordered returns the rows whose place among the touches of the bed's feet
// neither days nor passes tell, nor, of several surveys of one way on one day,
// times of day.
func unordered(rows []Act) (list []int) {
	for i, a := range rows {
		if slices.ContainsFunc(rows, func(t Act) bool {
			return t.What.Touching() && t.Standing == a.Standing && !a.What.Touching() && !known(a, t) &&
				(a.When.Day == "" || t.When.Day == "" || repeated(rows, a))
		}) {
			list = append(list, i)
		}
	}
	return list
}

// known tells whether it is known which of two came first.
func known(a, t Act) bool {
	if a.When.Day != "" && t.When.Day != "" {
		return a.When.before(t.When) || t.When.before(a.When)
	}
	return a.Pass != nil && t.Pass != nil
}

// repeated tells whether another survey of the same way was taken on the day of one.
func repeated(rows []Act, a Act) bool {
	return slices.ContainsFunc(rows, func(v Act) bool {
		return a.What == Survey && v.What == Survey && v.Survey != a.Survey && v.Way == a.Way && v.Standing == a.Standing && v.When.Day == a.When.Day
	})
}
