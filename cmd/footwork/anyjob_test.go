package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"footwork/internal/unit"
	"footwork/survey"
)

// anyJob writes whole jobs at random: beds of all sizes and shapes on all kinds of
// supports, surveyed in all standings, with logs, wishes, and now and then a slip.
type anyJob struct {
	*rand.Rand
	b         strings.Builder
	inch      bool
	length    float64 // m
	wide      float64 // m
	ways      []string
	offsets   []float64
	standings []string
	feet      map[string][]string
	table     bool
	surveys   []string
	files     map[string]string
}

// jobOf returns the files of a job by name; the job file is job.toml.
func jobOf(seed uint64) map[string]string {
	j := &anyJob{Rand: rand.New(rand.NewPCG(seed, 77)), feet: map[string][]string{}, files: map[string]string{}}
	j.inch = j.IntN(3) == 0
	j.length = math.Exp(j.between(math.Log(0.3), math.Log(40)))
	j.wide = min(j.length, 6) * j.between(0.05, 0.3)
	j.say(`title = "bed %d"`, seed)
	j.say(`units = "%s"`, map[bool]string{true: "inch", false: "metric"}[j.inch])
	j.bed()
	j.wayTables()
	if j.often(0.5) {
		j.tableTable()
	}
	for range 1 + j.IntN(3) {
		j.standing()
	}
	for range j.IntN(4) {
		j.survey()
	}
	j.told()
	j.bounds()
	text := j.b.String()
	if j.often(0.1) { // a slip: a line is lost, or stands twice
		lines := strings.Split(text, "\n")
		i := j.IntN(len(lines))
		text = strings.Join(append(lines[:i:i], lines[i+1-j.IntN(2):]...), "\n")
	}
	j.files["job.toml"] = text
	return j.files
}

func (j *anyJob) between(lo, hi float64) float64 { return lo + (hi-lo)*j.Float64() }
func (j *anyJob) often(share float64) bool       { return j.Float64() < share }
func (j *anyJob) say(format string, a ...any)    { fmt.Fprintf(&j.b, format+"\n", a...) }

// m writes a length in mm or in.
func (j *anyJob) m(v float64) string {
	if j.inch {
		return fmt.Sprintf(`"%.4f in"`, v/unit.Inch)
	}
	return fmt.Sprintf(`"%.2f mm"`, v/unit.MM)
}

func one[T any](j *anyJob, of ...T) T { return of[j.IntN(len(of))] }

func (j *anyJob) bed() {
	j.say("[bed]\nlength = %s\nmaterial = %q", j.m(j.length), one(j, "grey iron 30", "GJL-250", "steel", "granite", "polymer concrete"))
	cuts := []float64{0}
	for range j.IntN(3) {
		cuts = append(cuts, cuts[len(cuts)-1]+(j.length-cuts[len(cuts)-1])*j.between(0.2, 0.8))
	}
	for i, from := range append(cuts, j.length)[:len(cuts)] {
		to := append(cuts, j.length)[i+1]
		j.say("[[bed.section]]\nfrom = %s\nto = %s", j.m(from), j.m(to))
		high, t := j.wide*j.between(0.4, 1.2), j.wide*j.between(0.03, 0.1)
		if j.often(0.2) {
			a := 3 * t * high
			j.say("area = \"%.4g m2\"\ninertia = \"%.4g m4\"\nshear_area = \"%.4g m2\"\ntorsion = \"%.4g m4\"\ndepth = %s", a, a*high*high/10, a/2, a*high*high/200, j.m(high))
			continue
		}
		j.say("plates = [")
		for _, y := range []float64{-j.wide / 2, j.wide / 2} {
			j.say("  { width = %s, height = %s, offset = %s },", j.m(t), j.m(high), j.m(y))
		}
		j.say("  { width = %s, height = %s, bottom = %s },\n]", j.m(j.wide+t), j.m(t), j.m(high))
		if j.often(0.3) {
			j.say("torsion = \"%.4g m4\"", j.wide*j.wide*t*high*j.between(0.01, 0.3))
		}
	}
	if j.often(0.4) {
		j.say("[[bed.rib]]\nfrom = %s\nto = %s\nevery = %s\nkind = %q\nthickness = %s\nheight = %s", j.m(j.length*0.05), j.m(j.length*0.95), j.m(j.length*j.between(0.05, 0.4)),
			one(j, "cross", "diagonal"), j.m(j.wide*0.05), j.m(j.wide*0.3))
	}
	for range j.IntN(2) {
		j.weight("bed.weight")
	}
}

func (j *anyJob) weight(table string) {
	j.say("[[%s]]\nname = \"thing\"\nat = %s\noffset = %s\nweight = \"%.3g kN\"", table, j.m(j.length*j.Float64()), j.m(j.wide*j.between(-0.5, 0.5)), j.length*j.wide*j.between(0.1, 5))
}

func (j *anyJob) wayTables() {
	n := one(j, 1, 2, 2, 2, 3)
	for i := range n {
		y := j.wide * (float64(i) - float64(n-1)/2) / 2 * j.between(0.9, 1.2)
		j.ways, j.offsets = append(j.ways, fmt.Sprintf("way %d", i+1)), append(j.offsets, y)
		j.say("[[way]]\nname = %q\noffset = %s\nwidth = %s", j.ways[i], j.m(y), j.m(j.wide*0.1))
		if j.often(0.2) {
			j.say("shape = \"vee\"\nfinished_to = \"3 µm\"\ninverted = %v", j.often(0.5))
		}
		if j.often(0.2) {
			from := j.length * j.between(0, 0.9)
			j.say("leave_out = [ { name = \"joint\", from = %s, to = %s } ]", j.m(from), j.m(from+j.between(0.001, 0.1)*j.length))
		}
	}
	for k, more := range []string{"", "flanks = [\"45°\", \"45°\"]", "carried = { at = [%s, %s], share = \"80 %%\" }"} {
		if j.often(0.3) {
			l := j.length * j.between(0.1, 1.1)
			if k == 2 {
				more = fmt.Sprintf(more, j.m(0.2*l), j.m(0.6*l))
			}
			j.say("[[master]]\nname = \"master %d\"\nlength = %s\ndepth = %s\n%s", k, j.m(max(l, 0.06)), j.m(0.1*max(l, 0.06)), more)
		}
	}
}

func (j *anyJob) tableTable() {
	l := j.length * j.between(0.1, 0.9)
	j.table = true
	j.say("[table]\nlength = %s\nweight = \"%.3g kN\"\noffset = %s", j.m(l), j.length*j.wide*j.between(1, 10), j.m(j.wide*j.between(-0.1, 0.1)))
	if j.often(0.4) {
		j.say("modulus = \"100 GPa\"\ninertia = \"%.3g m4\"\ncontact = \"%.3g N/µm/m\"", 1e-3*math.Pow(j.wide, 4), j.between(500, 5000))
	}
	if j.often(0.5) {
		j.say("stroke = { from = %s, to = %s }", j.m(-l*j.between(0, 0.4)), j.m(j.length-l*j.between(0.6, 1)))
	}
}

// stiffness is of feet from soft pads to rigid blocks.
func (j *anyJob) stiffness() string {
	if j.often(0.1) {
		return "rigid"
	}
	return fmt.Sprintf("%.3g N/µm", math.Exp(j.between(math.Log(5), math.Log(6000))))
}

func (j *anyJob) standing() {
	name := fmt.Sprintf("standing %d", len(j.standings)+1)
	j.say("[[standing]]\nname = %q\ngradient = \"%.2f K\"", name, j.between(-1, 1))
	if n := len(j.standings); n > 0 && j.often(0.5) {
		j.say("after = %q", j.standings[j.IntN(n)])
	}
	before := len(j.standings)
	j.standings = append(j.standings, name)
	switch {
	case j.often(0.2):
		for _, y := range []float64{-j.wide / 2, j.wide / 2} {
			j.say("[[standing.bearing]]\nfrom = %s\nto = %s\noffset = %s\nstiffness = %q\nheld = %v", j.m(j.length*0.02), j.m(j.length*0.98), j.m(y), one(j, "rigid", "800 N/µm/m"), j.often(0.7))
		}
		return
	case before > 0 && j.often(0.2) && len(j.feet[j.standings[before-1]]) > 0:
		old := j.feet[j.standings[before-1]]
		j.say("like = %q", j.standings[before-1])
		j.feet[name] = old
		return
	}
	pairs, scattered := one(j, 2, 2, 3, 3, 4, 5, 8), j.often(0.2)
	adjust := one(j, "screw M20x1.5", "screw 3/4-10", "shim", "screw 2 mm")
	for i := range 2 * pairs {
		at, y := j.length*(0.4+float64(i/2))/(float64(pairs)-0.2), j.wide/2*float64(2*(i%2)-1)
		if scattered {
			at, y = j.length*j.Float64(), j.wide*j.between(-0.5, 0.5)
		}
		foot := fmt.Sprintf("%c%d", "FB"[i%2], i/2+1)
		j.feet[name] = append(j.feet[name], foot)
		j.say("[[standing.foot]]\nname = %q\nat = %s\noffset = %s\nheight = \"%.1f µm\"\nstiffness = %q\nheld = %v", foot, j.m(at), j.m(y), 30*j.NormFloat64(), j.stiffness(), j.often(0.1))
		if j.often(0.8) {
			j.say("adjust = %q", adjust)
		}
		if j.often(0.1) {
			j.say("rated = \"%.3g kN\"\nleft = { up = \"6 mm\", down = \"0.1 mm\" }", j.between(1, 100))
		}
	}
	if j.often(0.3) {
		j.weight("standing.weight")
	}
}

func (j *anyJob) survey() {
	by := one(j, survey.Autocollimator, survey.Autocollimator, survey.Level, survey.Heights, survey.CrossLevel)
	name := fmt.Sprintf("survey %d", len(j.surveys)+1)
	j.surveys = append(j.surveys, name)
	j.say("[[survey]]\nname = %q\nstanding = %q\ninstrument = %q\nfile = \"%s.csv\"", name, one(j, j.standings...), by, name)
	n, unitOf := 3+j.IntN(30), one(j, "arcsec", "µm/m")
	base := j.length * 0.98 / float64(n)
	if by == survey.Heights {
		unitOf = one(j, "µm", "thou")
	}
	j.say("reading = %q", unitOf)
	if by != survey.CrossLevel {
		way := one(j, j.ways...)
		j.say("way = %q", way)
		if other := one(j, j.ways...); by == survey.Heights && j.often(0.4) {
			j.say("plane = \"sideways\"")
			if other != way {
				j.say("against = %q", other)
			}
		}
	}
	walk := by == survey.Autocollimator || by == survey.Level
	if walk {
		j.say("base = %s\nstart = %s", j.m(base), j.m(j.length*0.01))
	}
	if by == survey.Autocollimator && j.often(0.3) {
		j.say("doubled = true")
	}
	if j.often(0.5) && by != survey.Heights {
		j.say("uncertainty = \"%.2g arcsec\"", j.between(0.05, 1))
	}
	if j.table && j.often(0.2) {
		j.say("table_at = %s", j.m(0))
	}
	if j.often(0.7) {
		j.say("date = %q", fmt.Sprintf("2026-03-%02d", 1+j.IntN(28)))
	}
	if j.often(0.2) {
		j.say("pass = %d", j.IntN(3))
	}
	var csv strings.Builder
	runs := one(j, "run 1", "out,back", "run 1,run 2,run 3")
	fmt.Fprintf(&csv, "x,%s\n", runs)
	for i := range n {
		x := 0.01*j.length + base*float64(i)
		if j.inch {
			fmt.Fprintf(&csv, "%.5f", x/unit.Inch)
		} else {
			fmt.Fprintf(&csv, "%.4f", x/unit.MM)
		}
		v := 5 * math.Sin(float64(i)*j.between(0.1, 0.2)) * j.between(0.5, 2)
		for range 1 + strings.Count(runs, ",") {
			fmt.Fprintf(&csv, ",%.2f", v+0.2*j.NormFloat64())
		}
		csv.WriteString("\n")
	}
	j.files[name+".csv"] = csv.String()
}

// told writes what was done and felt, in the job or in a log.
func (j *anyJob) told() {
	standing := one(j, j.standings...)
	feet := j.feet[standing]
	if len(feet) == 0 {
		return
	}
	if j.often(0.3) {
		j.say("[[move]]\nstanding = %q\nfoot = %q\nraise = \"%.1f µm\"\ndate = \"2026-03-%02d\"", standing, one(j, feet...), 20*j.NormFloat64(), 1+j.IntN(28))
	}
	if j.often(0.3) {
		j.say("[[felt]]\nstanding = %q\nfoot = %q\n%s", standing, one(j, feet...), one(j, `state = "loose"`, `state = "tight"`, `gap = "20 µm"`, `load = "3 kN ± 0.5 kN"`))
	}
	if j.often(0.3) {
		j.say("[log]\nfile = \"log.csv\"")
		j.files["log.csv"] = j.diary(standing)
	}
}

// diary writes a log in which anything may have been done to a standing.
func (j *anyJob) diary(standing string) string {
	text := "when,what,where,value,note\n"
	for line := range 1 + j.IntN(12) {
		foot, way, at := one(j, j.feet[standing]...)+" of "+standing, one(j, j.ways...), j.m(j.length*j.Float64())
		at = strings.Trim(at, `"`)
		acts := []string{"turn," + foot + ",up 10 µm", "turn," + foot + ",down 3 µm", "turn," + foot + ",to touch", "shim," + foot + ",in 0.02 mm", "lock," + foot + ",",
			"came," + foot + ",up 6 µm ± 2 µm", "indicator," + foot + ",up 4 µm", "indicator," + way + " at " + at + ",down 2 µm", "feel," + foot + ",free", "feel," + foot + ",nips", "feel," + foot + ",solid",
			"gap," + foot + ",15 µm", "load," + foot + ",2 kN", "bolts,all,slack", "bolts," + foot + ",tight", "heat,,0.3 K ± 0.1 K",
			"scrape," + way + ",2 passes", "scrape," + way + ",pad 9 µm in 3 passes", "scrape," + way + ",\"1 pass, 2.5 µm\"", "note,,all well", "who,,day shift",
			fmt.Sprintf("void,2026-04-%02d 08:00 turn,", line)}
		if j.table {
			acts = append(acts, "table,,off", "table,,at "+at)
		}
		for _, name := range j.surveys { // read at one place, or at any
			read := "read," + name + " at " + one(j, strings.Trim(j.m(j.length/3), `"`), at) + fmt.Sprintf(",%.1f", 5*j.NormFloat64())
			acts = append(acts, read, read, read, read, "set up,"+name+",", "survey,"+name+","+name+".csv")
		}
		text += fmt.Sprintf("2026-04-%02d 08:00,%s,\n", line+1, one(j, acts...))
	}
	return text
}

func (j *anyJob) bounds() {
	if j.often(0.6) {
		j.say("[adjust]\nstanding = %q\nallow = %q\ntolerance = \"%.1f µm\"\nleast_load = \"%d %%\"", one(j, j.standings...), one(j, "either", "high only", "low only"), j.between(2, 30), j.IntN(40))
		if j.often(0.3) {
			j.say("shims = [\"0.02 mm\", \"0.05 mm\"]\nmost_move = \"0.3 mm\"")
		}
		if j.often(0.2) {
			j.say("aim = \"at rest\"\nindicator = \"1 µm\"\nby = \"angle\"")
		}
	}
	if j.often(0.2) {
		j.say("[floor]\nheight_sd = \"0.1 mm\"")
	}
	if j.often(0.3) {
		j.say("[place]\nfeet = [2, 3]\noffsets = [%s, %s]", j.m(-j.wide/2), j.m(j.wide/2))
	}
	if j.often(0.4) {
		j.say("[cut]\ndepth_per_pass = \"3 µm\"\ntime_per_pass = \"50 min\"")
		if j.often(0.3) {
			j.say("straight_in = %q\ndatum = %q", one(j, j.standings...), one(j, "ends", "middle"))
		}
		if j.often(0.3) {
			j.say("may_sink = \"0.1 mm\"\ntable_sinks = \"-20 µm\"\nmarks = { from = %q, every = %s }", one(j, "left", "right"), j.m(j.length/20))
		}
	}
}
