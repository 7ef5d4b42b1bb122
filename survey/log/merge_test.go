package log

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// old is a row of a job file: a survey or a move, with a day or a pass.
func old(what What, name, when string, pass int) Act {
	d := Act{What: what, Standing: "shop floor"}
	if what == Survey {
		d.Survey, d.Way = name, "front"
	} else {
		d.Foot = name
	}
	if when != "" {
		d.When, _ = ParseMoment(when)
	}
	if pass >= 0 {
		d.Pass = &pass
	}
	return d
}

func order(acts []Act) (list []string) {
	for _, a := range acts {
		if a.What == Scrape {
			list = append(list, fmt.Sprintf("cut %s %d", a.Way, a.Passes))
			continue
		}
		list = append(list, a.Place())
	}
	return list
}

func TestMerge(t *testing.T) {
	for name, c := range map[string]struct {
		old    []Act
		log    string
		want   []string
		unsure []string
	}{
		"by days": {
			old:  []Act{old(Survey, "a", "2026-03-02", 0), old(Survey, "b", "2026-03-04", 0), old(Turn, "F1", "2026-03-03", -1)},
			log:  "2026-03-03,turn,F2,up 1 mm\n2026-03-05,turn,B1,up 1 mm\n",
			want: []string{"a", "F1", "F2", "b", "B1"},
		},
		"by passes, which are cuts": {
			old:  []Act{old(Survey, "a", "", 0), old(Survey, "b", "", 2), old(Turn, "F1", "", 0)},
			want: []string{"a", "F1", "cut front 2", "b"},
		},
		"survey, move and survey on one day, by the clock": {
			old:  []Act{old(Survey, "a", "2026-03-02 08:00", 0), old(Survey, "b", "2026-03-02 11:00", 0), old(Turn, "F1", "2026-03-02 10:00", -1)},
			want: []string{"a", "F1", "b"},
		},
		"survey, move and survey on one day, by their order in the file": {
			old:    []Act{old(Survey, "a", "2026-03-02", 0), old(Turn, "F1", "2026-03-02", -1), old(Survey, "b", "2026-03-02", 0)},
			want:   []string{"a", "F1", "b"},
			unsure: []string{"a", "b"},
		},
		"one survey and a move on one day": {
			old:  []Act{old(Survey, "a", "2026-03-02", 0), old(Turn, "F1", "2026-03-02", -1)},
			want: []string{"a", "F1"},
		},
		"surveys, nobody knows when": {
			old:    []Act{old(Survey, "a", "", 0), old(Survey, "b", "", 0), old(Turn, "F1", "2026-03-03", -1)},
			want:   []string{"a", "b", "F1"},
			unsure: []string{"a", "b"},
		},
		"felt, nobody knows when": {
			old:    []Act{old(Survey, "a", "2026-03-02", 0), old(Feel, "F2", "", -1), old(Turn, "F1", "2026-03-03", -1)},
			want:   []string{"a", "F1", "F2"},
			unsure: []string{"F2"},
		},
	} {
		for i := range c.old {
			c.old[i].Row = i + 1
		}
		all, unsure := merge(shop(), c.old, told(t, c.log)), unordered(c.old)
		if diff := cmp.Diff(c.want, order(all)); diff != "" {
			t.Errorf("%s:\n%s", name, diff)
		}
		var doubted []string
		for _, i := range unsure {
			doubted = append(doubted, c.old[i].Place())
		}
		if diff := cmp.Diff(c.unsure, doubted); diff != "" {
			t.Errorf("%s, unsure:\n%s", name, diff)
		}
	}
}

// A cross level sees what was cut from a way that its own next survey tells of;
// a way that nobody looked at was not worked on.
func TestCutsThatACrossLevelSees(t *testing.T) {
	cross := old(Survey, "twist", "2026-03-04", 1)
	cross.Way = ""
	rows := []Act{old(Survey, "a", "2026-03-02", 0), cross, old(Survey, "b", "2026-03-04", 1)}
	all := merge(shop(), rows, nil)
	if diff := cmp.Diff([]string{"a", "cut front 1", "twist", "b"}, order(all)); diff != "" {
		t.Error(diff)
	}
}

// Voids count lines of the log alone.
func TestVoidsAmongOldRows(t *testing.T) {
	h, _ := shop().History([]Act{old(Turn, "B1", "2026-03-01", -1), old(Turn, "B1", "2026-03-02", -1)},
		told(t, "2026-03-02,turn,F1,up 1 mm\n2026-03-02,turn,F2,up 1 mm\n2026-03-03,void,2026-03-02 turn F2,,\n"))
	var left []string
	for _, e := range h.Entries {
		left = append(left, e.Foot)
	}
	if diff := cmp.Diff([]string{"B1", "B1", "F1"}, left); diff != "" {
		t.Error(diff)
	}
}
