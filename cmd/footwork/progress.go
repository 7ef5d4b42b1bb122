package main

import (
	"fmt"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// progress returns what tells how far some work is, from its second second on:
// in one line of a terminal, elsewhere in a line every five seconds.
func (t *terminal) progress(what string) func(done, whole int) {
	began := time.Now()
	var last time.Time
	shown := isTerminal(t.err)
	pause := 5 * time.Second
	if shown {
		pause = time.Second / 5
	}
	return func(done, whole int) {
		now := time.Now()
		if now.Sub(began) < time.Second || now.Sub(last) < pause {
			return
		}
		last = now
		t.tell(fmt.Sprintf("%s: %d of %d", what, done, whole), shown)
	}
}

// tell says how far some work is; in place, over what it said before.
func (t *terminal) tell(text string, inPlace bool) {
	if !inPlace {
		fmt.Fprintln(t.err, text)
		return
	}
	t.clear()
	fmt.Fprint(t.err, text)
	t.told = len(text)
}

// clear takes back what was told in place, before something else is said.
func (t *terminal) clear() {
	if t.told > 0 {
		fmt.Fprint(t.err, "\r", strings.Repeat(" ", t.told), "\r")
		t.told = 0
	}
}

func isTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
