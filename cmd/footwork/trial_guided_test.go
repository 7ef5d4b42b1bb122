package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"footwork/internal/shop/turn"
	"footwork/survey"
	"footwork/survey/log"
)

// guidedWay is one way of being guided at the bed by what instruments read.
type guidedWay struct {
	name       string
	feel       bool // every foot is felt with each survey
	by         survey.Instrument
	unit       string
	one, noise float64 // rad, of a unit and of a reading
	reached    float64 // share of beds that must reach the best in one session
}

var guidedWays = []guidedWay{
	{"guided, with feel", true, survey.Autocollimator, "arcsec", arcsec, 0.3 * arcsec, 0.92},
	{"guided, without feel", false, survey.Autocollimator, "arcsec", arcsec, 0.3 * arcsec, 0.85},
	{"guided by a level of 2 µm/m, with feel", true, survey.Level, "µm/m", 1e-6, 2e-6, 0},
}

const (
	guidedRise = 1.5e-3     // m a turn
	lockShift  = 10e-6      // m, either way, by which a lock nut moves its foot
	touchMiss  = 2e-6       // m, of where a screw is found to touch
	misread    = 5 * arcsec // once in misreads readings
	misreads   = 50
	// mostSurveys of one session: the first, and those that it asks for, or tells to take to be sure, as many as a
	// day may have; how far four come is told beside.
	mostSurveys, fewSurveys = 7, 4
)

// guideBed writes the job of a hidden bed and goes through one session by what `turn` asks: what is typed goes into the
// log, and each survey has the job matched and planned anew, as by the command · surveys: the most of them.
func guideBed(t testing.TB, seed uint64, way guidedWay, surveys int) guided {
	dir := t.TempDir()
	w := newTruth(t, seed)
	w.rise, w.noise = 0, way.noise // the uncertainty of the best is the instrument's alone
	h := &hand{truth: w, way: way, dir: dir, zero: map[string]float64{}, most: surveys, out: guided{turned: map[string]bool{}}}
	out := &h.out
	out.before = w.zoneOf(w.heights(t))
	out.best, out.unsure, _ = w.best(t)
	w.rise = guidedRise
	for range h.nominal.Feet {
		h.locked = append(h.locked, true) // as it was surveyed
		h.shift = append(h.shift, lockShift*(2*w.rng.Float64()-1))
	}
	h.writeJob(t)
	var last *turn.Session // that a survey has ended
	for again := true; again; {
		if out.surveys++; way.feel {
			h.feelAll(t)
		}
		s, err := (&terminal{out: io.Discard, err: io.Discard}).open(filepath.Join(dir, "job.toml"))
		if err != nil {
			t.Fatal(err)
		}
		session, err := s.Turn(last)
		if err != nil {
			t.Fatal(err)
		}
		a, err := s.Adjust(nil)
		if err != nil {
			t.Fatal(err)
		}
		if p := a.Plans[a.Recommended]; p.FeetMoved > 0 {
			out.plans = append(out.plans, float64(len(p.Steps))/float64(p.FeetMoved))
		}
		visits := out.visits.of
		h.light = nil
		for _, f := range h.stand(t).Feet() {
			h.light = append(h.light, f.Load)
		}
		c := h.session(t, session)
		if last = session; c.Ending != turn.Survey {
			last = nil
			if again = out.visits.of > visits && len(c.Surveys) > 0 && out.surveys < surveys; again { // to be sure
				for _, name := range c.Surveys {
					h.tell(t, log.Line{When: h.when().String(), What: string(log.Survey), Where: name, Value: h.sheet(t, name)})
				}
			}
		}
		if out.after = w.zoneOf(w.heights(t)); out.surveys <= fewSurveys {
			out.early = out.after
		}
	}
	return h.out
}

// guidedFigures sums the beds up.
type guidedFigures struct {
	before, after, best, turns, setups, feet, surveys float64 // medians
	visits, each                                      float64 // likewise, each of a foot that was moved
	first, plans                                      float64 // steps a foot moved: of the first plan of a session, and of all
	reached, early, light, during                     float64 // shares
}

// guideBeds tries beds · quick: of three pairs, surveyed once, to be done in every run.
func guideBeds(t testing.TB, from, to int, way guidedWay, quick bool, tell func(seed uint64, g guided)) guidedFigures {
	all := make([]guided, to-from)
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for k := range workers {
		wg.Go(func() {
			for i := k; i < len(all); i += workers {
				seed, most := uint64(from+i), mostSurveys
				if quick {
					seed, most = 3*seed, 1
				}
				all[i] = guideBed(t, seed, way, most)
				tell(seed, all[i])
			}
		})
	}
	wg.Wait()
	return sumUp(all)
}

func (g guided) reached(zone float64) bool { return zone <= 1.15*g.best+2*g.unsure }

func (g guided) String() string {
	said := func(zone float64) string {
		return fmt.Sprintf("%.1f%s", zone*1e6, map[bool]string{false: ", not reached"}[g.reached(zone)])
	}
	return fmt.Sprintf("%.1f µm before, best %.1f ± %.1f, after %s; with %d surveys at most %s; %d visits of %d feet, %d turns, %d places, %d surveys; plans %.2f; light %s",
		g.before*1e6, g.best*1e6, g.unsure*1e6, said(g.after), fewSurveys, said(g.early), g.visits.of, len(g.turned), g.turns, g.setups, g.surveys, g.plans, strings.Join(g.visits.feet, "; "))
}

// sumUp sums beds up.
func sumUp(all []guided) (f guidedFigures) {
	count := len(all)
	of := func(value func(g guided) float64) float64 {
		var v []float64
		for _, g := range all {
			v = append(v, value(g))
		}
		return median(v)
	}
	f.before, f.after, f.best = of(func(g guided) float64 { return g.before }), of(func(g guided) float64 { return g.after }), of(func(g guided) float64 { return g.best })
	f.turns, f.setups, f.feet = of(func(g guided) float64 { return float64(g.turns) }), of(func(g guided) float64 { return float64(g.setups) }), of(func(g guided) float64 { return float64(len(g.turned)) })
	f.surveys, f.visits = of(func(g guided) float64 { return float64(g.surveys) }), of(func(g guided) float64 { return float64(g.visits.of) })
	f.each = of(func(g guided) float64 { return float64(g.visits.of) / float64(max(1, len(g.turned))) })
	var visited, acted visits
	var first, plans []float64
	for _, g := range all {
		first, plans = append(first, g.plans[:min(1, len(g.plans))]...), append(plans, g.plans...)
		if g.reached(g.after) {
			f.reached += 1 / float64(count)
		}
		if g.reached(g.early) {
			f.early += 1 / float64(count)
		}
		visited.add(g.visits)
		acted.add(g.acts)
	}
	if first != nil {
		f.first, f.plans = median(first), median(plans)
	}
	f.light, f.during = visited.share(), acted.share()
	return f
}

func (f guidedFigures) String() string {
	return fmt.Sprintf("%.1f µm before, best %.1f, after one session %.1f; reached %.1f %%, with %d surveys at most %.1f %%; %.0f visits of %.0f feet, %.2f a foot (planned %.2f, of all plans %.2f), %.0f turns, %.0f places, %.0f surveys; a foot below half the least load after %.1f %% of visits, %.1f %% of acts",
		f.before*1e6, f.best*1e6, f.after*1e6, 100*f.reached, fewSurveys, 100*f.early, f.visits, f.feet, f.each, f.first, f.plans, f.turns, f.setups, f.surveys, 100*f.light, 100*f.during)
}

const guidedHead = `
One session at the bed, guided by readings, on the program's own files: a job with its three surveys, a log into which
every line goes, typed or made of readings, and after each survey all that the command makes of both. Screws of 1.5 mm, slips of 2°
where the angle alone tells, lock nuts that shift a foot by up to 10 µm and are tight when the bed is surveyed, touches
found with 2 µm, an unknown zero of every set-up, one reading in 50 misread by 5 arc seconds. A session has at most seven
surveys, as many as a day may have: the first, those that the program asks for, and, where it had feet turned and ends,
the one that it says to take to be sure. How many were reached before a fifth is told beside. With feel: every foot is
felt with each survey; without: until the program asks. A visit
is all that is done at a foot before another is turned. Loads are looked at after every visit, the nut tightened; a
foot that was lighter as it was surveyed counts once it has carried since, or when it is lighter still by 2 % of the
mean foot load. Planned are the steps that a plan gives for each foot that it moves, in the median of the first plans and
of all, one after each survey; visits are all that were made, with what was planned anew after readings and surveys.
The uncertainty of the best is the survey's alone, without slips of a hand.

| trial | before (best), µm | after, µm | reached (before a fifth survey) | visits (feet) | a foot | planned: first, all | turns | places | surveys | half the least load missed |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
`

func (f guidedFigures) row(name string) string {
	return fmt.Sprintf("| %s | %.1f (%.1f) | %.1f | %.1f %% (%.1f %%) | %.0f (%.0f) | %.2f | %.2f, %.2f | %.0f | %.0f | %.0f | %.1f %% |\n",
		name, f.before*1e6, f.best*1e6, f.after*1e6, 100*f.reached, 100*f.early, f.visits, f.feet, f.each, f.first, f.plans, f.turns, f.setups, f.surveys, 100*f.light)
}

// TestGuided tries a range of beds in some of the guided ways, and tells of each:
// FOOTWORK_TRIAL="guided:0,100" with the first two of them, "guided:0,100:2" with the third.
func TestGuided(t *testing.T) {
	wish, ok := strings.CutPrefix(os.Getenv("FOOTWORK_TRIAL"), "guided:")
	if !ok {
		t.Skip("beds without number: see the text above")
	}
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // as the program has it
	var from, to, way int
	ways := guidedWays[:2]
	if n, err := fmt.Sscanf(wish, "%d,%d:%d", &from, &to, &way); n == 3 {
		ways = guidedWays[way : way+1]
	} else if n < 2 {
		t.Fatal(err)
	}
	for _, w := range ways {
		f := guideBeds(t, from, to, w, false, func(seed uint64, g guided) { t.Logf("%s: bed %d: %v", w.name, seed, g) })
		t.Logf("%s: beds %d to %d: %v", w.name, from, to-1, f)
	}
}

// hold holds two hundred beds to what is promised, a few to ending far straighter.
func (f guidedFigures) hold(t testing.TB, way guidedWay, count int) {
	if count < 200 {
		if f.after > f.before/2 {
			t.Errorf("%s: %.1f µm before, %.1f after", way.name, f.before*1e6, f.after*1e6)
		}
		return
	}
	if f.reached < way.reached {
		t.Errorf("%s: %.1f %% reached, %.0f %% wanted", way.name, 100*f.reached, 100*way.reached)
	}
	if f.light > 0.01 {
		t.Errorf("%s: a foot below half the least load in %.1f %% of states", way.name, 100*f.light)
	}
}
