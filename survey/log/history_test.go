package log

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// told reads a log that must be right.
func told(t *testing.T, text string) []Act {
	t.Helper()
	acts, faults := shop().Read([]byte(head + text))
	if len(faults) > 0 {
		t.Fatalf("%+v", faults)
	}
	return acts
}

// A day at the bed: what stood when each act was done.
func TestEntriesTellHowTheBedStood(t *testing.T) {
	h := history(told(t, `2026-03-02 08:00,heat,,0.3 K
2026-03-02 08:10,survey,front way,a.csv
2026-03-02 08:40,read,front way at 1 m,2
2026-03-02 08:41,turn,F2,up 25 µm
2026-03-02 08:42,read,front way at 1 m,4
2026-03-02 08:43,lock,F2,
2026-03-02 08:44,read,front way at 1 m,5
2026-03-02 08:50,set up,front way,
2026-03-02 08:51,read,front way at 1 m,1
2026-03-02 09:00,survey,back way,b.csv
2026-03-02 09:30,read,front way at 1 m,7
2026-03-02 10:00,scrape,front,2 passes
2026-03-02 10:30,table,,at 700 mm
2026-03-02 11:00,survey,front way,c.csv
2026-03-03 08:00,read,twist at 1 m,1
2026-03-03 08:10,read,twist at 1 m,1
`))
	type stood struct {
		What             What
		Epoch, Zero, Cut int
		Heat, Table      bool
	}
	var got []stood
	for _, e := range h.Entries {
		got = append(got, stood{e.What, e.Epoch, e.Zero, e.Cut, e.Heat != nil, e.Table != nil})
	}
	want := []stood{
		{Heat, 0, 0, 0, true, false},
		{Survey, 0, 1, 0, true, false},
		{Read, 0, 1, 0, true, false}, // the survey's own set-up
		{Turn, 1, 0, 0, true, false},
		{Read, 1, 1, 0, true, false},
		{Lock, 2, 0, 0, true, false},
		{Read, 2, 1, 0, true, false},
		{SetUp, 2, 2, 0, true, false},
		{Read, 2, 2, 0, true, false},
		{Survey, 2, 1, 0, true, false}, // of the back way: its first
		{Read, 2, 3, 0, true, false},   // the collimator had been turned to the back way
		{Scrape, 2, 0, 1, true, false},
		{Table, 2, 0, 1, true, true},
		{Survey, 2, 4, 1, true, true},
		{Read, 2, 1, 1, false, true}, // another day: nobody measured the heat
		{Read, 2, 1, 1, false, true}, // a level keeps its zero
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// What was voided did not happen; a void names the latest line of its kind.
func TestVoid(t *testing.T) {
	h := history(told(t, `2026-03-02 08:41,turn,F1,up 25 µm
2026-03-02 08:41,turn,F2,up 25 µm
2026-03-02 08:41,turn,F1,up 5 µm
2026-03-02 08:50,void,2026-03-02 08:41 turn F1,,
2026-03-02 08:51,void,2026-03-02 08:41 turn,,
`))
	if len(h.Entries) != 1 || math.Abs(h.Raised("shop floor", "F1")-25e-6) > 1e-15 || h.Raised("shop floor", "F2") != 0 {
		t.Errorf("%+v", h.Entries)
	}
}

// What a foot was raised by adds up, in all standings that share it.
func TestRaised(t *testing.T) {
	h := history(told(t, `2026-03-03,turn,B1,to touch
2026-03-04,turn,B1,up 12 µm
2026-03-04,turn,B1,down 3 µm
2026-03-04,bolts,all,slack
2026-03-05,shim,F1,in 0.05 mm
2026-03-05,turn,F1 of on the grinder,up 1 mm
2026-03-05,turn,F1,down 0.01 mm
2026-03-05,gap,B2,20 µm
`))
	h.Entries = append(h.Entries, Entry{Act: Act{What: Turn, Standing: "on three", Foot: "F1", Value: 1e-6}})
	for _, c := range []struct {
		standing, foot string
		want           float64
	}{{"shop floor", "B1", 9e-6}, {"on three", "B1", 9e-6}, {"shop floor", "F1", 41e-6}, {"on three", "F1", 41e-6}, {"on the grinder", "F1", 1e-3}, {"shop floor", "B2", 0}} {
		if got := h.Raised(c.standing, c.foot); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("%s of %s was raised by %v, not %v", c.foot, c.standing, got, c.want)
		}
	}
}

// What was done to each foot since a day, and between two surveys.
func TestTouched(t *testing.T) {
	h := history(told(t, `2026-03-02,turn,F1,up 25 µm
2026-03-03,survey,front way,a.csv
2026-03-04,turn,F2,to touch
2026-03-04,turn,F1,up 5 µm
2026-03-05,bolts,all,tight
2026-03-05,turn,F2,up 10 µm
2026-03-05,lock,F2,
2026-03-06,survey,front way,b.csv
2026-03-07,turn,F1,down 1 µm
2026-03-07,survey,front way,c.csv
2026-03-08,turn,F2,up 10 µm
2026-03-08,turn,F1,up 3 µm
2026-03-08,lock,F2,
2026-03-08,came,F2,up 7 µm ± 1 µm
`))
	foot := func(name string, what What, raise float64, touch bool) Act {
		return Act{Standing: "shop floor", Foot: name, What: what, Value: raise, ToTouch: touch}
	}
	epoch := func(i int) int { return h.Entries[i].Epoch }
	near := cmpopts.EquateApprox(1e-12, 0)
	for _, c := range []struct {
		after, upTo int
		want        []Act
	}{
		{epoch(1), epoch(7), []Act{foot("F2", Lock, 10e-6, true), foot("F1", Turn, 5e-6, false)}},
		{epoch(3), epoch(8), []Act{foot("F2", Lock, 10e-6, false), foot("F1", Turn, -1e-6, false)}},
		{epoch(8), epoch(8), nil},
		{epoch(8), epoch(13), []Act{foot("F1", Turn, 3e-6, false), foot("F2", Came, 7e-6, false)}},
	} {
		if diff := cmp.Diff(c.want, h.Touched(c.after, c.upTo), near); diff != "" {
			t.Errorf("after %d up to %d:\n%s", c.after, c.upTo, diff)
		}
	}
}

// The day's heat is the one measured before, else after; of two days neither serves
// the other.
func TestHeatOfTheDay(t *testing.T) {
	h := history(told(t, `2026-03-02,note,,a
2026-03-02,heat,,0.1 K
2026-03-02,note,,b
2026-03-02,heat,,0.2 K
2026-03-02,note,,c
2026-03-03,note,,d
`))
	for i, want := range []float64{0.1, 0.1, 0.1, 0.2, 0.2, 0} {
		got := 0.0
		if heat := h.Entries[i].Heat; heat != nil {
			got = heat.Value
		}
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("entry %d: %v, not %v", i, got, want)
		}
	}
}

func BenchmarkFold(b *testing.B) {
	text := head
	for i := range 5000 {
		text += fmt.Sprintf("2026-03-02,turn,F%d,up %d µm\n", 1+i%2, 1+i%9)
	}
	acts, _ := shop().Read([]byte(text))
	for b.Loop() {
		history(acts)
	}
}

// The standing in force follows the surveys, and a foot that is raised to carry
// where the bed did not stand on it brings its own standing back.
func TestStandingInForce(t *testing.T) {
	h := history(told(t, `2026-03-02,turn,F2,down 0.3 mm
2026-03-02,survey,wire,a.csv
2026-03-02,feel,F1,solid
2026-03-02,turn,F2,to touch
2026-03-02,feel,F1,solid
`))
	for i, want := range []string{"shop floor", "on three", "on three", "shop floor", "shop floor"} {
		if h.Entries[i].In != want {
			t.Errorf("line %d stands %q, not %q", i+2, h.Entries[i].In, want)
		}
	}
}

func TestTimeOfANewLine(t *testing.T) {
	acts := told(t, "2026-03-02 12:00,note,,x\n")
	early := time.Date(2026, 3, 2, 11, 0, 0, 0, time.UTC)
	if m := After(acts, early); m.String() != "2026-03-02 12:00" {
		t.Errorf("a clock that is slow gave %s", m)
	}
	if m := After(acts, early.Add(2*time.Hour+3*time.Second)); m.String() != "2026-03-02 13:00:03" {
		t.Errorf("got %s", m)
	}
}

func history(acts []Act) History {
	h, _ := shop().History(nil, acts)
	return h
}

// A line that was struck out tells nothing of where the bed stood, nor that a foot was turned.
func TestVoidLinesMoveNothing(t *testing.T) {
	const head, tail = "2026-03-02,survey,front way,a.csv\n", "2026-03-04,survey,front way,b.csv\n"
	stood := func(lines string) (feet []string) {
		for _, e := range history(told(t, head+lines+tail)).Entries {
			if e.What == StoodAgain {
				feet = append(feet, e.Foot)
			}
		}
		return feet
	}
	const wire, turn = "2026-03-03,survey,wire,c.csv\n", "2026-03-03,turn,F2,up 25 µm\n"
	for lines, want := range map[string][]string{
		wire:        {"F2", "B2"},
		wire + turn: {"B2"},
		wire + turn + "2026-03-03,void,2026-03-03 turn F2,\n": {"F2", "B2"},
		wire + "2026-03-03,void,2026-03-03 survey wire,\n":    nil,
	} {
		if got := stood(lines); !slices.Equal(got, want) {
			t.Errorf("%q: %v stood again, want %v", lines, got, want)
		}
	}
}

// A pad is too small to be the way's: nothing is taken as cut from it.
func TestPadsCutNoWay(t *testing.T) {
	h := history(told(t, "2026-03-02,scrape,front,pad 12 µm in 4 passes\n2026-03-03,scrape,front,2 passes\n"))
	if pad, cut := h.Entries[0], h.Entries[1]; pad.Cut != 0 || pad.Cuts != 0 || pad.Done != 0 || cut.Cut != 1 || cut.Cuts != 1 || cut.Done != 2 {
		t.Errorf("%+v, then %+v", pad, cut)
	}
}
