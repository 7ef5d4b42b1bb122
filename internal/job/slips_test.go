package job

import (
	"errors"
	"strings"
	"testing"
	"time"
)

var inchRun = "run 1\n" + strings.Repeat("1\n-2\n", 13)

// later is a survey of the front way in March.
func later(name, standing, day string) string {
	return "[[survey]]\nname = \"" + name + "\"\nstanding = \"" + standing + "\"\nway = \"front\"\ninstrument = \"autocollimator\"\nbase = \"150 mm\"\nstart = \"75 mm\"\nreading = \"arcsec\"\nfile = \"" + name + ".csv\"\ndate = 2026-03-" + day + "\n"
}

// A slip that may be meant is a note that says what was taken, one that cannot
// be is a fault; each is one line, and the job as it stands has none.
func TestSlips(t *testing.T) {
	small := string(jobFile(t, "small"))
	again := "[[survey]]\nname = \"front again\"\nstanding = \"shop floor\"\nway = \"front\"\ninstrument = \"autocollimator\"\nbase = \"150 mm\"\nstart = \"100 mm\"\nreading = \"arcsec\"\nfile = \"front.csv\"\n"
	good, inch := string(jobFile(t, "good")), string(jobFile(t, "inch"))
	for _, c := range []struct{ text, old, new, want string }{
		{good, "", "", "-"},
		{inch, "", "", "-"},
		// surveys
		{inch, `base = "6 in"`, `base = "6 mm"`, `survey: covers only 6 in to 12.14 in of the bed of 168 in; check base, start, and the stations and their unit
survey.base: "6 mm" is short for a bed of 168 in; it is taken as written; write "6 in" if that is meant`},
		{good, `base = "150 mm"`, `base = "50 mm"`, `survey: covers only 75 mm to 1325 mm of the bed of 3900 mm; check base, start, and the stations and their unit`},
		{good, `file = "cross.csv"`, "x_unit = \"cm\"\nfile = \"near.csv\"", `survey: covers only 100 mm to 1500 mm of the bed of 3900 mm; check base, start, and the stations and their unit`},
		{inch, inchRun, strings.TrimSuffix(inchRun, "-2\n"), `survey.file: begins 6 in from one end of the bed and ends 12 in from the other, one base more; check whether a station was left out, or start`},
		{inch, `uncertainty = "0.1 div"`, `uncertainty = "100 div"`, `survey.uncertainty: "100 div" is more than all readings differ from one another; it is taken as written; check its unit`},
		{good, `uncertainty = "0.2 arcsec"`, `uncertainty = "0.2 mm/m"`, `survey.uncertainty: "0.2 mm/m" is more than all readings differ from one another; it is taken as written; check its unit`},
		{good, `start = "75 mm"`, `start = "3800 mm"`, `! survey.base: 25 readings of 150 mm from 3800 mm on end at 7550 mm, off the bed of 3900 mm; check base, start and the number of rows; a survey taken from the right end is written from the left, its last reading first, every sign as the far foot towards the right has it`},
		{good, `uncertainty = "0.2 arcsec"`, `uncertainty = "0.2 divisions"`, `! survey.uncertainty: "0.2 divisions" cannot be taken; with a division, write for example "0.1 div"; else a slope such as "0.2 arcsec"`},
		{good, `reading = "arcsec"`, `reading = "mm/m"`, `survey.reading: its way would be * µm out of straight, which is unusual; they are taken as written; check the unit of the readings`},
		{good, "[[survey]]\nname = \"twist\"", again + "[[survey]]\nname = \"twist\"", `survey: says nothing of when: whether feet were moved before or after it is not known, and the order of the file is taken; give its date
survey.start: begins at 100 mm, and "front way", taken with the same base at as many stations, at 75 mm; check start
survey.file: has the readings of "front way", to the last digit; name the file of its own readings`},
		{inch, inchRun, "run 1\n" + strings.Repeat("12\n13\n14\n15\n15\n14\n13\n", 3) + "-12.5\n12\n13\n14\n15\n", `survey.reading: station 22 is -12.5, and would lie among the others as +12.5; it is taken as written; check its sign`},
		{inch, inchRun, "run 1\n" + strings.Repeat("7\n8\n", 10) + "7\n-8\n7\n8\n7\n8\n", `survey.reading: station 22 is -8, and would lie among the others as +8; it is taken as written; check its sign`},
		{inch, inchRun, "run 1\n" + strings.Repeat("5\n6\n", 10) + "5\n-6\n5\n6\n5\n6\n", `-`},
		{inch, inchRun, "run 1\n" + strings.Repeat("101\n99\n", 13), `survey.instrument: its readings of a level say that the bed stands * in/ft out of level, which is unusual; they are taken as written; check whether they are an autocollimator's`},
		{good, "[[survey]]\nname = \"twist\"", strings.NewReplacer(`"150 mm"`, `"6 in"`, `"100 mm"`, "\"75 mm\"\ndate = 2026-03-02", "front.csv", "other.csv").Replace(again) + "[[survey]]\nname = \"twist\"", `survey.base: was taken on a base of 152.4 mm, and "front way" on 150 mm; check whether it is the same carriage`},
		{good, "pass = 2", "pass = 20", `survey.pass: is 19 passes after the survey before it, with nothing read between; it is taken as written; check the number`},
		{good, `date = "2026-03-04 07:00"`, `date = "2027-03-05 07:00"`, `survey.date: 2027-03-05 is far from every other day of job and log; it is taken as written; check its year and month`},
		{strings.Replace(good, "[adjust]", "[adjust]\nstanding = \"shop floor\"", 1), "[[move]]", later("ground", "on the grinding table", "06") + later("again", "shop floor", "07") + "[[move]]",
			`survey.pass: comes after the bed stood on "on the grinding table", where its ways were made straight: no metal is taken as cut there; give a higher pass if some was`},
		{good, "date = \"2026-03-03\"\nstanding", "date = \"2025-03-03\"\nstanding", `move.date: 2025-03-03 is far from every other day of job and log; it is taken as written; check its year and month`},
		// masters and tables
		{strings.Replace(good, `"-300 mm"`, `"-100 mm"`, 1), `length = "2400 mm"`, `length = "240 mm"`, `table.length: "240 mm" is less than the ways lie apart, 500 mm; it is taken as written; check its number and unit`},
		{good, "[table]", "[[master]]\nname = \"edge\"\nlength = \"2 m\"\ndepth = \"22 mm\"\n[table]", `master.depth: "22 mm" is unusual for a master of 2000 mm; it is taken as written; check its number and unit`},
		// weights
		{good, `weighed  = "2.1 t"`, `weighed = "21 t"`, `! bed.weighed: is * times what the sections weigh, which is *; check the number and its unit, and the plates`},
		{good, `weighed  = "2.1 t"`, `weighed = "0.21 t"`, `! bed.weighed: is * times less than what the sections weigh, which is *; check the number and its unit, and the plates`},
		{good, `weighed  = "2.1 t"`, `weighed = "2100 lb"`, `bed.weighed: is * what the sections weigh, which is *; the weighed one is taken; check it, and the plates and ribs; leave it out to take theirs`},
		{inch, `material = "grey iron 30"`, "weighed = \"2.1 t\"\nmaterial = \"grey iron 30\"", `bed.weighed: "2.1 t" is taken as tonnes of 1,000 kg (2,205 lb); write short ton for 2,000 lb`},
		{good, `weight = "900 kg"`, `weight = "900 t"`, `standing.weight.weight: "900 t" is 429 times what the bed weighs; it is taken as written; check its number and unit`},
		// feet
		{good, `stiffness = "900 kN/mm"`, `stiffness = "900 N/mm"`, `standing.foot.stiffness: "900 N/mm" is unusually little: 20 N/µm or more is usual; it is taken as written; check the unit`},
		{inch, `stiffness = "5000 lbf/thou"`, `stiffness = "5000 lbf/in"`, `standing.foot.stiffness: "5000 lbf/in" is unusually little: 110 lbf/thou or more is usual; it is taken as written; check the unit`},
		{good, `stiffness = "900 kN/mm"`, `stiffness = "15 kN/mm"`, `standing.foot.stiffness: "15 kN/mm" is unusually little: 20 N/µm or more is usual; it is taken as written; check the unit`},
		{inch, `stiffness = "5000 lbf/thou"`, `stiffness = "70000 lbf/thou"`, `-`},
		{strings.ReplaceAll(inch, `"5000 lbf/thou"`, `"50 lbf/thou"`), "", "", `standing.foot.stiffness: "50 lbf/thou" is unusually little: 110 lbf/thou or more is usual; it is taken as written; check the unit; the same at *, *, *, *, *`},
		{strings.ReplaceAll(inch, `"5000 lbf/thou"`, `"120 lbf/thou"`), `stiffness = "120 lbf/thou"`, `stiffness = "12000 lbf/thou"`, `standing.foot.stiffness: "12000 lbf/thou" is 100 times the others'; it is taken as written; check its unit`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"500 mm\"\noffset = \"-240 mm\"", `! standing.foot.at: "F2" stands where "F1" stands, at 500 mm; write where each stands, or keep one of them`},
		{inch, `at = "84 in"`, `at = "84 mm"`, `standing.foot.at: "84 mm" stands among lengths in inches; it is taken as written; write "84 in" if that is meant`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"3400 mm\"\noffset = \"-240 cm\"", `standing.foot.offset: "-240 cm" is far beside the casting, whose plates reach from -325 mm to 325 mm; it is taken as written; check its number and unit`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"501.5 mm\"\noffset = \"-240 mm\"", `! standing.foot.at: "F2" stands where "F1" stands, at 501.5 mm; write where each stands, or keep one of them`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"504 mm\"\noffset = \"-240 mm\"", `standing.foot.at: "F2" stands 4 mm from "F1"; both are taken; check where each stands`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"515 mm\"\noffset = \"-240 mm\"", `standing.foot.at: "F2" stands 15 mm from "F1"; both are taken; check where each stands`},
		{good, "at = \"3400 mm\"\noffset = \"-240 mm\"", "at = \"521 mm\"\noffset = \"-240 mm\"", `-`},
		{inch, "offset = \"10 in\"\nstiff", "offset = \"100 mm\"\nstiff", `standing.foot.offset: no other foot is at "100 mm", and all others stand in line with one another; it is taken as written; check its number and unit`},
		{good, `adjust = "screw M20x1.5"`, `adjust = "screw 0.5 in"`, `standing.foot.adjust: "screw 0.5 in" rises 12.7 mm a turn, which is much; it is taken as written; check its unit, or whether a wedge is turned`},
		{good, `adjust = "screw M20x1.5"`, `adjust = "screw M20x15"`, `standing.foot.adjust: "screw M20x15" rises 15 mm a turn, which is much; it is taken as written; check its unit, or whether a wedge is turned`},
		{good, `adjust = "screw M20x1.5"`, `adjust = "screw 5 mm"`, `standing.foot.adjust: "screw 5 mm" rises 5 mm a turn, which is much; it is taken as written; check its unit, or whether a wedge is turned`},
		{good, "to = \"3750 mm\"", "to = \"375 mm\"", `standing.bearing.to: bears only 225 mm of the bed of 3900 mm; check from and to`},
		{good, "weight = \"160 kg\"", "weight = \"16 t\"", `bed.weight.weight: "16 t" is 7.62 times what the bed weighs; it is taken as written; check its number and unit`},
		{good, `height = "20 µm"`, `height = "20 mm"`, `standing.foot.height: "20 mm" is unusually much: 2 mm or less is usual; it is taken as written; check the unit`},
		{inch, `at = "84 in"`, `at = "44 in"`, `standing.foot.at: no other foot is at "44 in", and all others stand in line with one another; it is taken as written; check its number and unit
standing.foot.at: no other foot is at "84 in", and all others stand in line with one another; it is taken as written; check its number and unit`},
		{inch, `offset = "10 in"
stiff`, `offset = "1 in"
stiff`, `standing.foot.offset: no other foot is at "1 in", and all others stand in line with one another; it is taken as written; check its number and unit`},
		// the bed and its ways
		{good, `torsion = "2600 cm4"`, `torsion = "2600 mm4"`, `bed.section.torsion: "2600 mm4" is not from * cm4 to * cm4 as would be usual here; it is taken as written; check its unit`},
		{good, `torsion = "2600 cm4"`, `torsion = "0.26 m4"`, `bed.section.torsion: "0.26 m4" is not from * cm4 to * cm4 as would be usual here; it is taken as written; check its unit`},
		{good, "]\n\n[[bed.section]]", "]\ntorsion = \"12 mm4\"\n[[bed.section]]", `bed.section.torsion: "12 mm4" is not from * cm4 to * cm4 as would be usual here; it is taken as written; check its unit`},
		{small, `inertia = "60000 cm4"`, `inertia = "60000 mm4"`, `bed.section.inertia: "60000 mm4" is little for this area and depth, of which a plain bar has 67500 cm4; it is taken as written; check its unit, and area and depth`},
		{small, `inertia = "60000 cm4"`, `inertia = "0.06 m4"`, `! bed.section.inertia: is more than any section of this area and depth has, 202500 cm4; check its unit, and area and depth`},
		{inch, "[[bed.section]]\n", "[[bed.section]]\ntorsion = \"1 in4\"\n", `bed.section.torsion: "1 in4" is not from * in4 to * in4 as would be usual here; it is taken as written; check its unit`},
		{inch, `offset = "10 in", bottom = "18.5 in"`, `offset = "10 in", bottom = "18.55 in"`, `bed.section.plates: miss each other by 0.05 in, plate 2 and plate 4; they are taken as joined; check their places`},
		{inch, `width = "6.75 in", height = "2.5 in", offset = "10 in"`, `width = "6.75 in", height = "2.5 in", offset = "100 in"`, `bed.section.plates: include plate 4, which no other touches; it is taken to bend beside them; check height, offset and bottom`},
		{good, `offset = "250 mm"
width`, `offset = "-250 mm"
width`, `! way.offset: "back" lies where "front" lies, at -250 mm; write where each lies, or keep one of them`},
		{good, `length   = "3900 mm"`, `length   = "3900 in"`, `! *`},
		{good, `gradient = "0.9 °F"`, `gradient = "50 °F"`, `! standing.gradient: "50 °F" is too much; write by how much the top is warmer than the bottom, not a temperature: a top of 68.5 °F over a bottom of 68.0 °F is "0.5 °F"`},
		{good, `gradient = "0.9 °F"`, `gradient = "9 °F"`, `standing.gradient: "9 °F" is unusually much: 4 K or less is usual; it is taken as written; check the unit`},
		{small, `[adjust]`, "[floor]\nstiffness_factor = 20\n[adjust]", `floor.stiffness_factor: 20 is unusually much: 5 or less is usual; it is taken as written; check the number`},
		{small, `[adjust]`, "[adjust]\nshims = [\"0.02 mm\", \"0.005 in\"]", `adjust.shims: holds inches among millimetres; they are taken as written; write all of them in one unit`},
		{good, `least_load = "15 %"`, `least_load = "0.15 %"`, `adjust.least_load: "0.15 %" is unusually little: 2 % or more is usual; it is taken as written; check the unit`},
		{good, `tolerance = "8 µm"`, `tolerance = "0.8 mm"`, `adjust.tolerance: "0.8 mm" is unusually much: 0.5 mm or less is usual; it is taken as written; check the unit`},
		{good, `depth = "480 mm"`, `depth = "2.2 m"`, `bed.section: is 2200 mm deep on a bed of 3900 mm; it is taken as written; check the units of its plates
bed.section.inertia: "108000 cm4" is little for this area and depth, of which a plain bar has * cm4; it is taken as written; check its unit, and area and depth`},
		{good, "[[move]]", later("again", "shop floor", "03") + later("once", "shop floor", "03") + "[[move]]",
			`survey: was taken on a day on which feet were moved and the way was surveyed again: the order of the file is taken; give the time too: date = "2026-03-03 14:05"; the same at *`},
		{good, "[[move]]", later("less", "shop floor", "02") + "[[move]]", `survey.file: has one station less than "front way", taken with the same base from the same start; check whether a station was left out`},
	} {
		text, run := strings.Replace(c.text, c.old, c.new, 1), inchRun
		if c.old == inchRun {
			run = c.new
		} else if text == c.text && c.old != "" {
			t.Fatalf("there is no %q", c.old)
		}
		j, err := Read("job.toml", []byte(text), func(file string) ([]byte, error) {
			switch {
			case file == "other.csv":
				return []byte("run 1\n" + strings.Repeat("40\n42\n41\n", 8)), nil
			case file == "ground.csv":
				return []byte("run 1\n" + strings.Repeat("40\n42\n41\n43\n40\n", 5)), nil
			case file == "again.csv":
				return []byte("run 1\n" + strings.Repeat("40\n41\n42\n41\n43\n", 5)), nil
			case file == "less.csv":
				return []byte("run 1\n" + strings.Repeat("40\n42\n41\n43\n40\n44\n", 4)), nil
			case file == "once.csv":
				return []byte("run 1\n" + strings.Repeat("41\n42\n41\n43\n40\n", 5)), nil
			case file == "near.csv":
				return []byte("x,run 1\n10,1\n50,2\n100,2\n150,4\n"), nil
			case c.text == small:
				return beside("small")(file)
			case strings.Contains(c.text, `units = "inch"`):
				return []byte(run), nil
			}
			return beside("good")(file)
		})
		got := "-"
		var faults Faults
		if errors.As(err, &faults) {
			got = "! " + told(faults)
		} else if len(j.Notes) > 0 {
			got = told(j.Notes)
		}
		if !matches(got, c.want) {
			t.Errorf("%s → %s:\n got %s\nwant %s", c.old, c.new, got, c.want)
		}
	}
}

// told returns faults without file and line.
func told(faults Faults) string {
	var lines []string
	for _, f := range faults {
		f.File = ""
		lines = append(lines, f.Error())
	}
	return strings.Join(lines, "\n")
}

// matches tells whether a text is as wanted, with anything in place of *.
func matches(text, want string) bool {
	parts := strings.Split(want, "*")
	rest, ok := strings.CutPrefix(text, parts[0])
	for _, part := range parts[1:] {
		i := strings.LastIndex(rest, part)
		if !ok || i < 0 {
			return false
		}
		if part != parts[len(parts)-1] {
			i = strings.Index(rest, part)
		}
		rest = rest[i+len(part):]
	}
	return ok && rest == ""
}

// A day is asked about that is nine months from all others, which are nearer to one another; where
// there is but one other, from five years on.
func TestLoneDay(t *testing.T) {
	for days, want := range map[[3]int]string{{0, 5*365 - 1, -1}: "", {0, 5*365 + 1, -1}: "2024-12-31", {0, 10, 281}: "2020-10-08", {0, 10, 279}: "", {0, 271, 280}: "2020-01-01", {0, 300, 600}: ""} {
		var list []time.Time
		for _, d := range days {
			if d >= 0 {
				list = append(list, time.Date(2020, 1, 1+d, 0, 0, 0, 0, time.UTC))
			}
		}
		if got := loneDay(list); got != want {
			t.Errorf("%v: %q, want %q", days, got, want)
		}
	}
}
