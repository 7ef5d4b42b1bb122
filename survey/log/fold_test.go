package log

import (
	"fmt"
	"math"
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
	h := Fold(shop(), told(t, `2026-03-02 08:00,heat,,0.3 K
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
	h := Fold(shop(), told(t, `2026-03-02 08:41,turn,F1,up 25 µm
2026-03-02 08:41,turn,F2,up 25 µm
2026-03-02 08:41,turn,F1,up 5 µm
2026-03-02 08:50,void,2026-03-02 08:41 turn F1,,
2026-03-02 08:51,void,2026-03-02 08:41 turn,,
`))
	s := h.Now()
	if len(h.Entries) != 1 || math.Abs(s.Feet[At{"shop floor", "F1"}].Raised-25e-6) > 1e-15 || s.Feet[At{"shop floor", "F2"}].Raised != 0 {
		t.Errorf("%+v", s.Feet)
	}
}

// Feet: what was turned adds up, a touch ends a gap, and what was felt holds
// until the foot is moved.
func TestFeetOfAState(t *testing.T) {
	h := Fold(shop(), told(t, `2026-03-02,gap,B1,20 µm
2026-03-02,feel,F1,solid
2026-03-03,turn,B1,to touch
2026-03-04,turn,B1,up 12 µm
2026-03-04,turn,B1,down 3 µm
2026-03-04,bolts,all,slack
2026-03-05,bolts,F1,tight
2026-03-05,feel,B1,solid
2026-03-05,shim,F1,in 0.05 mm
2026-03-05,turn,F1,down 0.01 mm
2026-03-05,feel,F1,solid
2026-03-05,scrape,front,3 passes
2026-03-05,scrape,front,1 pass
`))
	b1, f1 := At{"shop floor", "B1"}, At{"shop floor", "F1"}
	at := func(day string) FootState { return h.At(Moment{Day: day}).Feet[b1] }
	if f := at("2026-03-02"); len(f.Lately) != 1 || f.Touches || f.Unsure {
		t.Errorf("before it was turned: %+v", f)
	}
	if f := at("2026-03-03"); len(f.Lately) != 0 || !f.Touches || !f.Unsure || f.Raised != 0 {
		t.Errorf("at touch: %+v", f)
	}
	s := h.Now()
	if f := s.Feet[b1]; math.Abs(f.Raised-9e-6) > 1e-15 || f.Touches || !f.Unsure || len(f.Lately) != 1 {
		t.Errorf("now: %+v", f)
	}
	if len(s.Feet[f1].Lately) != 1 || !s.Bolts[f1] || s.Bolts[b1] || s.Epoch != 7 || s.Passes["front"] != 4 {
		t.Errorf("now: %+v", s)
	}
	if f := s.Feet[f1]; math.Abs(f.Raised-40e-6) > 1e-15 || math.Abs(f.Turned+10e-6) > 1e-15 {
		t.Errorf("F1: %+v", f)
	}
	if _, known := s.Bolts[b1]; !known {
		t.Error("all bolts were slackened")
	}
}

// What was done to each foot since a day, and between two surveys.
func TestTouched(t *testing.T) {
	h := Fold(shop(), told(t, `2026-03-02,turn,F1,up 25 µm
2026-03-03,survey,front way,a.csv
2026-03-04,turn,F2,to touch
2026-03-04,turn,F1,up 5 µm
2026-03-05,bolts,all,tight
2026-03-05,turn,F2,up 10 µm
2026-03-05,lock,F2,
2026-03-06,survey,front way,b.csv
2026-03-07,turn,F1,down 1 µm
`))
	f := func(name string) At { return At{"shop floor", name} }
	near := cmpopts.EquateApprox(1e-12, 0)
	for _, c := range []struct {
		after, upTo int
		want        []Change
	}{
		{h.Entries[1].Epoch, h.Entries[7].Epoch, []Change{{f("F2"), 10e-6, true, true}, {f("F1"), 5e-6, false, false}}},
		{h.At(Moment{Day: "2026-03-04"}).Epoch, h.Now().Epoch, []Change{{f("F2"), 10e-6, false, true}, {f("F1"), -1e-6, false, false}}},
		{h.Now().Epoch, h.Now().Epoch, nil},
	} {
		if diff := cmp.Diff(c.want, h.Touched(c.after, c.upTo), near); diff != "" {
			t.Errorf("after %d up to %d:\n%s", c.after, c.upTo, diff)
		}
	}
}

// A lock nut may move its foot: what was felt before, and that it just touches, hold
// no longer.
func TestLockEndsWhatWasFelt(t *testing.T) {
	h := Fold(shop(), told(t, "2026-03-02,turn,F1,to touch\n2026-03-02,feel,F1,nips\n2026-03-03,lock,F1,\n"))
	f1 := At{"shop floor", "F1"}
	if f := h.At(Moment{Day: "2026-03-02"}).Feet[f1]; !f.Touches || len(f.Lately) != 1 {
		t.Errorf("before: %+v", f)
	}
	if f := h.Now().Feet[f1]; f.Touches || len(f.Lately) != 0 {
		t.Errorf("after: %+v", f)
	}
}

// The day's heat is the one measured before, else after; of two days neither serves
// the other.
func TestHeatOfTheDay(t *testing.T) {
	h := Fold(shop(), told(t, `2026-03-02,note,,a
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
		Fold(shop(), acts).Now()
	}
}

// The standing in force follows the surveys, and a foot that is raised to carry
// where the bed did not stand on it brings its own standing back.
func TestStandingInForce(t *testing.T) {
	h := Fold(shop(), told(t, `2026-03-02,turn,F2,down 0.3 mm
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
