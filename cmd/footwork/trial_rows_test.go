package main

import (
	"fmt"
	"testing"
)

// hold holds two hundred beds to what is promised, twenty to few steps, any to ending straighter.
func (f figures) hold(t testing.TB, w trialWay, count int) {
	if count >= 20 && f.steps > 1.3 {
		t.Errorf("%s: %.2f steps a foot moved", w.name, f.steps)
	}
	if count < 200 {
		if f.zone[rounds-1] > f.before/2 {
			t.Errorf("%s: %.1f µm before, %.1f after the last round", w.name, f.before*1e6, f.zone[rounds-1]*1e6)
		}
		return
	}
	if f.reached[0] < w.first || f.reached[2] < w.third {
		t.Errorf("%s: %.1f %% reached after the first round, %.1f %% after the third; %.0f %% and %.0f %% wanted",
			w.name, 100*f.reached[0], 100*f.reached[2], 100*w.first, 100*w.third)
	}
	if f.covered < 0.92 || f.covered > 0.98 {
		t.Errorf("%s: 95 %% bands hold %.1f %% of stations", w.name, 100*f.covered)
	}
	if f.light > 0.05 {
		t.Errorf("%s: %.2f %% of feet that should keep the least load at 95 %% ended lighter", w.name, 100*f.light)
	}
	if f.unloaded > 0.02 {
		t.Errorf("%s: %.2f %% of feet that should stay loaded came off", w.name, 100*f.unloaded)
	}
}

// rows returns the table's rows of one trial.
func (f figures) rows(name string) (s string) {
	s = fmt.Sprintf("| %s | before | %.1f (best %.1f) | | | | |\n", name, f.before*1e6, f.best*1e6)
	for k := range rounds {
		s += fmt.Sprintf("| | %d | %.1f | %.1f | %.1f %% | %.1f %% | %.1f %% |\n", k+1, f.zone[k]*1e6, f.sigma[k]*1e6, 100*f.reached[k], 100*f.strict[k], 100*f.inBand[k])
	}
	return s + fmt.Sprintf("| | | feet said to stay loaded that came off: %.2f %% | | | | |\n| | | feet said to keep the least load: %.1f %%, of these lighter: %.2f %% (of all %.2f %%) | | | | |\n| | | steps a foot moved, median: %.2f | | | | |\n",
		100*f.unloaded, 100*f.held, 100*f.light, 100*f.under, f.steps)
}
