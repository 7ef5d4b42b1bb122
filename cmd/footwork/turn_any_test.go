package main

import (
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"
	"time"

	"footwork/internal/shop/turn"
	"footwork/survey/log"
)

// Whatever is typed at the bed, no session panics, and its log is one from which the next begins. One bed in
// every run; FOOTWORK_TRIAL=words:N,M tries those from N to M.
func TestAnyWords(t *testing.T) {
	if testing.Short() {
		t.Skip("a match")
	}
	from, to := uint64(0), uint64(1)
	fmt.Sscanf(os.Getenv("FOOTWORK_TRIAL"), "words:%d,%d", &from, &to)
	for seed := from; seed < to; seed++ {
		anySessions(t, rand.New(rand.NewPCG(seed, 3)), seed)
	}
}

func anySessions(t *testing.T, choose *rand.Rand, seed uint64) {
	var typed []string
	defer func() {
		if r := recover(); r != nil {
			t.Fatalf("bed %d: after %q: %v\n%s", seed, typed, r, debug.Stack())
		}
	}()
	dir := t.TempDir()
	file, err := writeSmall(dir, "")
	if err != nil {
		t.Fatal(err)
	}
	diary := filepath.Join(dir, "log.csv")
	for range 3 {
		s, err := (&terminal{out: io.Discard, err: io.Discard}).open(file)
		if err != nil {
			t.Fatalf("bed %d: after %q: %v", seed, typed, err)
		}
		session, err := s.Turn(nil)
		if err != nil {
			t.Fatalf("bed %d: after %q: %v", seed, typed, err)
		}
		r := &turning{job: file, log: s.LogFile}
		session.Sound = func(l log.Line) error { return r.sound(diary, l) }
		for n := 0; n < 30 && session.Card().Kind != turn.Over; n++ {
			typed = append(typed, anyLine(choose, session.Card()))
			_ = session.Take(typed[len(typed)-1], log.After(s.Log, time.Date(2026, 4, 1, 8, len(typed), 0, 0, time.UTC))) // it may refuse
			if _, _, err := log.File(diary).Append(session.Lines()...); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// anyLine is what somebody may type to a card: more often than not what it asks for.
func anyLine(choose *rand.Rand, c turn.Card) string {
	one := func(words ...string) string { return words[choose.IntN(len(words))] }
	feet := []string{"F1", "B1", "F2", "B2", "F3", "B3"}
	if c.Kind == turn.Question && choose.IntN(8) > 0 {
		return map[bool]string{true: "yes", false: one("yes", "no")}[c.What < turn.LockNuts]
	}
	switch choose.IntN(10) {
	case 0:
		return one("yes", "no", "done", "two", "skip", "lock", "knocked", "strike out", "turn back", "lock "+one(feet...), one(feet...))
	case 1:
		return one("nips", "solid", "free", "nips "+one(feet...), "solid "+one(feet...), "free "+one(feet...))
	case 2:
		return one("", "blue", "1e400", "help", "responses", "note x,\"y\"", "survey front way front.csv", "survey back.csv", "survey nothing", "0")
	case 3:
		return fmt.Sprintf("%.2f", 10*choose.NormFloat64())
	case 4, 5:
		return one("yes", "nips", "solid", "done", "lock", "no")
	}
	const division = 0.02e-3
	return fmt.Sprintf("%.2f", []float64{c.Until, c.Until, c.Before}[choose.IntN(3)]/division+0.05*choose.NormFloat64())
}
