package shop

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"footwork/internal/job"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/survey/log"
	"footwork/survey/match"
)

const sideways = `
[[survey]]
name = "guide, sideways"
standing = "shop floor"
way = "front"
plane = "sideways"
instrument = "heights"
reading = "µm"
date = "2026-03-08"
file = "back.csv"
[[survey]]
name = "table's underside"
standing = "shop floor"
way = "front"
of = "table"
instrument = "heights"
reading = "µm"
date = "2026-03-08"
file = "back.csv"
`

// believed reads the good job, changed, and returns what its shop floor is believed to be
// and was measured to be.
func believed(t *testing.T, change func(text string) string) (*Shop, match.Input, *measured) {
	return believedWith(t, "2026-03-05,read,front way at 225 mm,1", change)
}

// believedWith is believed with a line of the log.
func believedWith(t *testing.T, line string, change func(text string) string) (*Shop, match.Input, *measured) {
	const dir = "../../testdata/jobs/good"
	text, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read("job.toml", []byte(change(string(text))), func(file string) ([]byte, error) {
		if file == "log.csv" {
			return []byte("when,what,where,value\n" + line + "\n"), nil
		}
		return os.ReadFile(filepath.Join(dir, file))
	})
	if err != nil {
		t.Fatal(err)
	}
	s := Open(j)
	in, err := s.input("shop floor")
	if err != nil {
		t.Fatal(err)
	}
	m, err := s.surveys("shop floor")
	if err != nil {
		t.Fatal(err)
	}
	return s, in, m
}

// A survey sideways or of the table changes nothing of what the bed is believed to be
// nor of what a plan sets out from.
func TestSurveysSideways(t *testing.T) {
	var told, planned []any
	for _, more := range []string{"", sideways} {
		_, in, m := believed(t, func(text string) string { return text + more })
		if floor := in.Standings[in.Asked]; floor.HeightSD != 0.2e-3 || floor.Factor != 3 {
			t.Errorf("the floor is believed to be %g m high or low, feet %g times as stiff or soft", floor.HeightSD, floor.Factor)
		}
		told, planned = append(told, []any{in.Epochs, in.Heats, in.FinishedTo, in.Asked}), append(planned, m)
	}
	if !reflect.DeepEqual(told[0], told[1]) {
		t.Errorf("the match is told\n%+v\nand with surveys of other things\n%+v", told[0], told[1])
	}
	if !reflect.DeepEqual(planned[0], planned[1]) {
		t.Errorf("a plan sets out from\n%+v\nand with surveys of other things\n%+v", planned[0], planned[1])
	}
}

// By an instrument that stands on the bed no foot is turned, and what it read while it
// was left standing is not believed.
func TestInstrumentOnTheBed(t *testing.T) {
	for on, want := range map[string]int{"floor": 1, "bed": 0} {
		s, in, m := believed(t, func(text string) string {
			return strings.Replace(text, `instrument = "autocollimator"`, "instrument = \"autocollimator\"\nstands = \""+on+"\"", 1) + "\n[log]\nfile = \"log.csv\"\n"
		})
		work := &task{read: m}
		s.instruments(work)
		read, watched := 0, 0
		for _, e := range in.Epochs {
			read += len(e.Readings)
		}
		for _, u := range work.setups {
			if u.Name == "front way" {
				watched++
			}
		}
		if read != want || watched != want {
			t.Errorf("on the %s: %d readings are believed, %d instruments watched; want %d", on, read, watched, want)
		}
	}
}

// What nobody said how well it is known is taken as the help says: as if it were written with that ±. A foot turned until it
// touches was off by as much as the floor's heights are.
func TestAssumedAsTheHelpSays(t *testing.T) {
	help, err := job.Help("job", "", unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	said := func(lines []string, pattern string) string {
		found := regexp.MustCompile(pattern).FindStringSubmatch(strings.Join(strings.Fields(strings.Join(lines, " ")), " "))
		if found == nil {
			t.Fatalf("the help says no %s", pattern)
		}
		return found[1]
	}
	guess, measured := said(help, "without ± a guess, to ([0-9.]+ K)"), said(log.Help(), "without ± or exchange to ([0-9.]+ K)")
	if also := said(help, "without ± measured, to ([0-9.]+ K)"); also != measured {
		t.Errorf("a survey's heat to %s, the log's to %s", also, measured)
	}
	told := func(line, from, to string) match.Input {
		_, in, _ := believedWith(t, line, func(text string) string {
			return strings.ReplaceAll(text, from, to) + "\n[log]\nfile = \"log.csv\"\n"
		})
		return in
	}
	const read, warm = "2026-03-05,read,front way at 225 mm,1", "2026-03-05 07:00,heat,,0.2 K"
	for _, c := range [][2]match.Input{
		{told(read, "", ""), told(read, `gradient = "0.9 °F"`, `gradient = "0.5 K ± `+guess+`"`)},
		{told(read, "", ""), told(read, `gradient = "0.3 K"`, `gradient = "0.3 K ± `+measured+`"`)},
		{told(warm+"\n"+read, "", ""), told(warm+" ± "+measured+"\n"+read, "", "")},
	} {
		if !cmp.Equal(c[0].Heats, c[1].Heats, cmpopts.EquateApprox(1e-9, 0)) {
			t.Errorf("unsaid %v, as the help says %v", c[0].Heats, c[1].Heats)
		}
	}
	shift := said(log.Help(), "shifts it by some ([0-9.]+) µm")
	for line, want := range map[string]string{"lock,F1,": shift, "turn,F1,to touch": "200"} {
		in, sd := told("2026-03-05,"+line, "", ""), 0.0
		for _, e := range in.Epochs {
			for _, m := range e.Moves {
				sd = m.SD
			}
		}
		if micrometres, _ := strconv.ParseFloat(want, 64); math.Abs(sd-micrometres*unit.UM) > 1e-12 {
			t.Errorf("after %s the foot is known to %g m, want %s µm", line, sd, want)
		}
	}
}

const bar = `
[bed]
length = "1 m"
modulus = "200 GPa"
shear_modulus = "80 GPa"
density = "8000 kg/m3"
expansion = "11e-6 /K"
[[bed.section]]
from = "0 mm"
to = "1 m"
plates = [ { width = "50 mm", height = "8 mm", offset = "0 mm", bottom = "0 mm" } ]
[[way]]
name = "top"
offset = "0 mm"
[[standing]]
name = "bench"
[[standing.foot]]
name = "L-"
at = "200 mm"
offset = "-20 mm"
stiffness = "0.1 N/µm"
[[standing.foot]]
name = "L+"
at = "200 mm"
offset = "20 mm"
stiffness = "0.1 N/µm"
[[standing.foot]]
name = "M"
at = "500 mm"
offset = "0 mm"
stiffness = "0.1 N/µm"
[[standing.foot]]
name = "R-"
at = "800 mm"
offset = "-20 mm"
stiffness = "0.1 N/µm"
[[standing.foot]]
name = "R+"
at = "800 mm"
offset = "20 mm"
stiffness = "0.1 N/µm"
[place]
feet = [2]
offsets = ["-20 mm", "20 mm"]
[adjust]
tolerance = "60 µm"
[floor]
height_sd = "1 µm"
stiffness_factor = `

// Feet that may be softer or stiffer than drawn keep a bed straight on fewer floors.
func TestFloorsOfTheJob(t *testing.T) {
	var met []float64
	for _, factor := range []string{"1.01", "4"} {
		j, err := job.Read("job.toml", []byte(bar+factor), nil)
		if err != nil {
			t.Fatal(err)
		}
		v, err := Open(j).Place(func(string) func(done, whole int) { return nil })
		if err != nil {
			t.Fatal(err)
		}
		met = append(met, v.Present.AsFound)
	}
	if met[1] > met[0]-0.1 {
		t.Errorf("the tolerance is kept on %g of floors where feet are as drawn, on %g where they are not", met[0], met[1])
	}
}

// A cross level alone says nothing of any way: the bed is as the job gives it.
func TestCrossLevelAlone(t *testing.T) {
	const dir = "../../testdata/jobs/good"
	text, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	if err != nil {
		t.Fatal(err)
	}
	blocks := slices.DeleteFunc(strings.Split(string(text), "\n\n"), func(b string) bool { return strings.HasPrefix(b, "[[survey]]") && strings.Contains(b, "\nway = ") })
	alone := strings.Replace(strings.Join(blocks, "\n\n"), "[adjust]", "[adjust]\nstanding = \"shop floor\"", 1)
	j, err := job.Read("job.toml", []byte(alone), func(file string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, file)) })
	if err != nil || len(j.Surveys) != 1 {
		t.Fatal(err)
	}
	s := Open(j)
	if _, err := s.match("shop floor"); err == nil || len(j.Surveyed()) != 0 {
		t.Errorf("%v, surveyed are %v", err, j.Surveyed())
	}
	if v, err := s.Sag([]string{"shop floor"}, "", nil); err != nil || v.Standings[0].State != "given" {
		t.Error(err)
	}
}

// A bed on bearings that was surveyed twice, with something written between, has no feet
// of which a move could be doubted.
func TestNoFeetToDoubt(t *testing.T) {
	text := strings.NewReplacer("WAY", "", "FLANKS", `film = "thin"`, "FEET", `[[standing.bearing]]
from = "0 m"
to = "3 m"
offset = "-200 mm"
stiffness = "500 N/µm/m"
[[standing.bearing]]
from = "0 m"
to = "3 m"
offset = "200 mm"
stiffness = "500 N/µm/m"
[[standing]]
name = "feet"
`+threeFeet, "SIGMA", "0.5 µm").Replace(longBed + surveyedHump)
	text = strings.Replace(text, `date = "`, `#date = "`, 1)
	files := map[string]string{
		"hump.csv":  "x,run 1\n0,0\n1000,1\n1500,14\n2000,0\n3000,0\n",
		"again.csv": "x,run 1\n0,0\n1000,9\n1500,-14\n2000,5\n3000,0\n",
		"log.csv":   "when,what,where,value,note\n2026-03-05,turn,A of feet,up 10 µm,\n2026-03-06,bolts,all,slack,\n2026-03-07,survey,front,again.csv,\n",
	}
	j, err := job.Read("bed.toml", []byte(text), func(name string) ([]byte, error) { return []byte(files[name]), nil })
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Open(j).Sag([]string{"floor"}, reports.Found, nil); err != nil {
		t.Error(err)
	}
}

// Where the bed stood on three between two surveys of its feet, what was let down is set anew,
// and the surveys before and after do not contradict one another.
func TestStoodOnThreeMeanwhile(t *testing.T) {
	const way = `
[[survey]]
name = "NAME"
standing = "STANDING"
way = "back"
instrument = "heights"
reading = "µm"
pass = 2
date = "DATE"
file = "back.csv"
`
	stood := func(text string) string {
		three := "[[standing]]\nname = \"on three\"\nlike = \"shop floor\"\nfeet = [\"F1\", \"B1\"]\n[[standing.foot]]\nname = \"block\"\nat = \"3 m\"\noffset = \"0 mm\"\nstiffness = \"2 kN/µm\"\n"
		return strings.Replace(text, "[adjust]", "[adjust]\nstanding = \"shop floor\"", 1) + three + strings.NewReplacer("NAME", "three", "STANDING", "on three", "DATE", "2026-03-06").Replace(way) +
			strings.NewReplacer("NAME", "again", "STANDING", "shop floor", "DATE", "2026-03-07").Replace(way)
	}
	s, in, m := believed(t, stood)
	want := []match.Move{{Foot: 1, Anew: true}, {Foot: 3, Anew: true}} // F2 and B2
	if last := in.Epochs[len(in.Epochs)-1]; !slices.Equal(last.Moves, want) || len(last.Surveys) != 1 {
		t.Errorf("%+v", last)
	}
	front := reports.MovedSince{Feet: []string{"F2", "B2"}, Unmatched: true} // surveyed before only
	if err := s.bringUp(m); err != nil || !slices.ContainsFunc(m.notes, func(w reports.Warning) bool { return reflect.DeepEqual(w, front) }) {
		t.Errorf("noted %+v, %v", m.notes, err)
	}
	s, _, _ = believed(t, func(text string) string {
		before, _, _ := strings.Cut(stood(text), "[[survey]]\nname = \"again\"")
		return before
	})
	if _, err := s.NextStep(); err == nil || !strings.Contains(err.Error(), "stood without F2, B2") {
		t.Errorf("turned though it stands on three: %v", err)
	}
}

// What the job says of the metal holds until it is cut, a pad aside; metal that is surely less straight
// is named.
func TestFinishedTo(t *testing.T) {
	for line, want := range map[string]float64{"scrape,front,2 passes": 0, "scrape,front,pad 12 µm in 4 passes": 6e-6, "scrape,back,2 passes": 6e-6} {
		s, in, _ := believedWith(t, "2026-03-05,"+line, func(text string) string {
			return strings.Replace(text, "name = \"front\"\n", "name = \"front\"\nfinished_to = \"6 µm\"\n", 1) + "\n[log]\nfile = \"log.csv\"\n"
		})
		ways := []reports.WayParts{{Name: "front", FinishedTo: s.finishedTo(0), Zones: [5]reports.Share{3: {Part: "metal", Low: 7e-6, High: 9e-6}}}}
		if got := notAsFinished(ways); in.FinishedTo[0] != want || (len(got) == 1) != (want > 0) {
			t.Errorf("%s: %g, %v", line, in.FinishedTo[0], got)
		}
		if ways[0].Zones[3].Low = 5e-6; notAsFinished(ways) != nil {
			t.Errorf("%s: metal that may be as the job says is named", line)
		}
	}
}

// Where the metal's share is told nothing is asked for before the first pass, though feet, heat and
// metal each make a part.
func TestLeavesOpen(t *testing.T) {
	for _, c := range []struct {
		m    match.Result
		want bool
	}{{match.Result{Cause: match.Unclear, Advice: []match.Advice{{Do: match.JackLoad}}}, true}, {match.Result{Cause: match.Unclear}, true},
		{match.Result{Cause: match.Unclear, Advice: []match.Advice{{Do: match.KnownMove, OfFeet: true}}}, false}, {match.Result{Cause: match.OfMetal}, false}} {
		if got := leavesOpen(c.m); got != c.want {
			t.Errorf("%+v: %v", c.m, got)
		}
	}
}
