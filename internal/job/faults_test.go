package job

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"footwork/internal/unit"
)

// noFiles is a folder with nothing in it.
func noFiles(string) ([]byte, error) { return nil, fs.ErrNotExist }

// One mistake in the good job gives one fault and nothing that follows from it.
func TestOneMistakeOneFault(t *testing.T) {
	good := string(jobFile(t, "good"))
	const rib = "[[bed.rib]]\nthickness = \"20 mm\"\nheight = \"360 mm\"\n"
	const edge = "[[master]]\nname = \"edge\"\nlength = \"2 m\"\n"
	for _, c := range []struct{ old, new, want string }{
		// notation
		{`length   = "3900 mm"`, `length   = 3900 mm`, `bed.length: column 17 cannot be read: expected newline but got 'm'; put the value in straight quotes: length = "3900 mm"`},
		{`length   = "3900 mm"`, `length   = “3900 mm”`, `bed.length: column 12 cannot be read: unexpected character “; put the value in straight quotes: length = "3900 mm"`},
		{`length   = "3900 mm"`, `length   =`, `bed.length: column 11 cannot be read: unexpected end of line at start of value; text and quantities stand in straight quotes, for example "250 mm"`},
		{`[[survey]]`, `[[survey]`, `column 9 cannot be read: expected ']]' to close array table name; a header is [name] or [[name]]`},
		{`[bed]`, "[bed]\n[bed]", `bed: is given twice; there is only one; keep one of them`},
		{`[table]`, `[[table]]`, `table: is written [[table]]; there is only one: write [table]`},
		{`[[move]]`, `[move]`, `move: is written [move]; there may be several: write [[move]]`},
		{`weighed  = "2.1 t"`, `weight = "2.1 t"`, `bed.weight: is a value above and a table here; write the weighed total of the bed as weighed = "2.1 t"`},
		{`title = "Surface`, "title = \"x\"\ntitle = \"Surface", `title: is given twice; keep one of them`},
		{`file = "front.csv"`, `file = "C:\Users\x.csv"`, `survey.file: column 13 cannot be read: invalid hexadecimal digit in unicode escape sequence; ` + pathHint},
		{`file = "front.csv"`, `file = "new\front.csv"`, `survey.file: "new\front.csv" cannot be read: there is no such file; ` + pathHint},
		{`foot = "F2"`, `foot = "F2`, `move.foot: column 11 cannot be read: basic strings cannot have new lines; close the quotes: foot = "F2"`},
		{`foot = "F2"`, `foot = "F2";`, `move.foot: column 12 cannot be read: expected newline but got ';'; leave out what stands behind the quotes`},
		{`foot = "F2"`, "// front\nfoot = \"F2\"", `column 1 cannot be read: invalid character at start of key: '/'; a line is key = value, a remark begins with #`},
		{`keep = true`, `keep = Yes`, `place.foot.keep: column 8 cannot be read: unexpected character 'Y' at start of value; write keep = true or keep = false`},
		{"]\n\n[[bed.section]]", "closed = false\n[[bed.section]]", `bed.section.closed: column 1 cannot be read: unexpected character 'c' at start of value; a list or table above is not closed: end it with ] or }`},
		{`[[felt]]`, "[[foot]]\n[[felt]]", `foot: unknown key; did you mean standing.foot?`},
		{`at = "3500 mm"`, `at = '137.8"'`, `-`},
		// a key misspelt is not missing too
		{`length   = "3900 mm"`, `lenght = "3900 mm"`, `bed.lenght: unknown key; did you mean length?`},
		{`[[standing.bearing]]`, `[[standing.beering]]`, `standing.beering: unknown key; did you mean bearing?`},
		{`depth_per_pass =`, `depth_a_pass =`, `cut.depth_a_pass: unknown key; did you mean depth_per_pass?`},
		{`instrument = "autocollimator"`, `instrment = "autocollimator"`, `survey.instrment: unknown key; did you mean instrument?`},
		{`raise = "-20 µm"`, `rise = "-20 µm"`, `move.rise: unknown key; did you mean raise?`},
		{`date = "2026-03-03"`, `dat = "2026-03-03"`, `move.dat: unknown key; did you mean date?`},
		{`state = "loose"`, `stat = "loose"`, `felt.stat: unknown key; did you mean state?`},
		// the bed
		{`length   = "3900 mm"`, ``, `bed.length: is missing; for example length = "3900 mm"`},
		{`length   = "3900 mm"`, `length = "3900 m"`, `bed.length: "3900 m" is too much; write 100 m or less; check the unit`},
		{`length   = "3900 mm"`, `length = 3900`, `bed.length: "3900" has no unit; write it with its unit, for example "3900 mm" or "3900 in"`},
		{`length   = "3900 mm"`, `length = "3900 furlong"`, `bed.length: unknown unit "furlong"; the units of a length are m, cm, mm, µm, ft, in, thou, tenths, µin`},
		{`"grey iron 30"`, `"gray iron 30"`, `-`},
		{`"grey iron 30"`, "\"grey iron 30\"\nmodulus = \"100 MPa\"", `bed.modulus: "100 MPa" is too small; write 1 GPa or more; check the unit`},
		{`to   = "3 m"`, `to = "2.9 m"`, `bed.section.from: leaves a gap from 2900 mm to 3000 mm; sections follow one another: start this one at 2900 mm`},
		{`to   = "3 m"`, `to = "3.1 m"`, `bed.section.from: lies over the section before it, which ends at 3100 mm; start this one at 3100 mm`},
		{`to   = "3 m"`, `to = "3000.0004 mm"`, `-`},
		{"from = \"3000 mm\"\nto   = \"3900 mm\"", "from = \"3000 mm\"\nto = \"3800 mm\"", `bed.section.to: leaves the bed bare from 3800 mm on; end the last section at 3900 mm`},
		{`area = "449 cm2"`, `area = "0 cm2"`, `bed.section.area: "0 cm2" is not above zero; write more than zero`},
		{`bottom = "420 mm"`, `bottom = "430 mm"`, `-`},
		{`height = "420 mm", offset = "-240 mm"`, `height = "42O mm", offset = "-240 mm"`, `bed.section.plates.height: unknown unit "O"; the units of a length are m, cm, mm, µm, ft, in, thou, tenths, µin`},
		{"]\n\n[[bed.section]]", "]\narea = \"1 m2\"\n\n[[bed.section]]", `bed.section.area: is given beside plates, which already say it; keep the plates or the constants`},
		{"]\n\n[[bed.section]]", "]\nclosed = false\ntorsion = \"9000 cm4\"\n\n[[bed.section]]", `-`},
		{"]\n\n[[bed.section]]", "]\ntorsion = \"9000 cm4\"\n\n[[bed.section]]", "-"},
		{"]\n\n[[bed.section]]", "]\nclosed = true\n\n[[bed.section]]", `bed.section.closed: is true, but the plates close no cell; close the cell by plates, or leave closed out: cells are seen`},
		{`at = "3500 mm"`, `at = "3.91 m"`, `bed.weight.at: 3910 mm lies off the bed; the bed runs from 0 to 3900 mm`},
		{`weight = "160 kg"`, `weight = "-160 kg"`, `bed.weight.weight: "-160 kg" is not above zero; write more than zero`},
		{`name = "back"`, `name = "front"`, `way.name: "front" is there already; give each its own name`},
		{`width = "110 mm"`, `width = "110 mm "`, `-`},
		// the table
		{`tool   = "1950 mm"`, `tool   = "-1 mm"`, `table.tool: -1 mm lies off the bed; the bed runs from 0 to 3900 mm`},
		{`inertia = "9000 cm4"`, ``, `table.inertia: is missing; for example inertia = "9000 cm4"`},
		{`contact = "4 kN/µm/m"`, ``, `table.contact: is missing; for example contact = "4 kN/µm/m"`},
		{`contact = "4 kN/µm/m"`, `contact = "rigid"`, `table.contact: cannot be rigid between two flexible bodies; write a stiffness, for example contact = "4 kN/µm/m"`},
		{`from = "-300 mm"`, `from = "-1300 mm"`, `table.stroke.from: the table would tip off the bed at -1300 mm; its left end can stand from -1200 mm to 2700 mm`},
		{`from = "-300 mm"`, `from = "1900 mm"`, `table.stroke.to: lies to the left of from; write the left end first`},
		{`inertia = "9000 cm4"`, `plates = [{ width = "1 m", height = "103 mm" }]`, `-`},
		{`inertia = "9000 cm4"`, "inertia = \"9000 cm4\"\nplates = [{ width = \"1 m\", height = \"103 mm\" }]", `table.inertia: is given beside plates, which already say it; keep the plates or the inertia`},
		{"[[bed.section]]\nfrom = \"3000 mm\"", "[[bed.section.plates]]\nwidth = \"1 m\"\n[[bed.section]]\nfrom = \"3000 mm\"", `bed.section.plates: is a value above and a table here; keep one of them`},
		{`{ width = "150 mm", height`, `{ width = "1 m", width = "150 mm", height`, `bed.section.width: is given twice; keep one of them`},
		{`weighed  = "2.1 t"`, "weighed = \"2.1 t\"\n[[bed.section.plates]]\nwidth = \"1 m\"", `bed.section: has no [[bed.section]] above this line; write [[bed.section]] with its keys first`},
		// standings
		{`after = "on the grinding table"`, `after = "on the grinder"`, `standing.after: there is no standing "on the grinder"; the job has "on the grinding table", "shop floor"`},
		{`after = "on the grinding table"`, `after = "shop floor"`, `standing.after: "shop floor" comes after itself; the bed was made straight in one standing first: leave after out there`},
		{`name = "B2"`, `name = "B1"`, `standing.foot.name: "B1" is there already; give each its own name`},
		{"offset = \"-240 mm\"\nstiffness = \"0.9 kN/µm\"\nadjust = \"screw M20\"", "offset = -240 mm\nstiffness = \"0.9 kN/µm\"\nadjust = \"screw M20\"", `standing.foot.offset: column 15 cannot be read: expected newline but got 'm'; put the value in straight quotes: offset = "-240 mm"`},
		{`{ width = "150 mm", height`, `{ width = 150 mm, height`, `column 17 cannot be read: expected ',' or '}' after inline table key-value; every value stands in straight quotes, with commas between: { width = "32 mm", height = "420 mm" }`},
		{`at = "3400 mm"`, `at = "3901 mm"`, `standing.foot.at: 3901 mm lies off the bed; the bed runs from 0 to 3900 mm`},
		{`length = "80 mm"`, `length = "1.2 m"`, `standing.foot.length: -100 mm lies off the bed; the bed runs from 0 to 3900 mm`},
		{`to = "3750 mm"`, `to = "4 m"`, `standing.bearing.to: 4000 mm lies off the bed; the bed runs from 0 to 3900 mm`},
		{"[[standing.foot]]\nname = \"B2\"", "[[standing.feet]]\nname = \"B2\"", `standing.feet: is a table; did you mean [[standing.foot]]?`},
		{`height = "20 µm"`, `height = "20 m"`, `standing.foot.height: "20 m" is too much; write 50 mm or less; check the unit`},
		{`stiffness = "900 kN/mm"`, `stiffness = "900 N/m"`, `standing.foot.stiffness: unknown unit "N/m"; the units of a stiffness are N/µm, kN/µm, N/mm, kN/mm, lbf/in, lbf/thou`},
		{"adjust = \"screw M20\"", "adjust = \"M20\"\nwrench = \"300 mm\"", `standing.foot.adjust: "M20" is no way to move a foot; ` + adjustHint},
		{`adjust = "shim"`, `adjust = "screw"`, `standing.foot.adjust: "screw" is no way to move a foot; ` + adjustHint},
		{`adjust = "shim"`, `adjust = "screw M20x150"`, `standing.foot.adjust: "M20x150" would rise 150 mm a turn; ` + adjustHint},
		{`name = "shop floor"`, `name = 3`, `standing.name: is a whole number, not text; write it in quotes: name = "…"`},
		{"plates = [\n", "plates = [ { width = \"10 mm\", height = \"10 mm\", bottom = \"700 mm\" },\n", `bed.section.plates: leave nothing between 480 mm and 700 mm above the underside: the section falls in two; check heights and bottoms`},
		{"[[bed.weight]]", rib + "[[bed.weight]]", `bed.rib.at: is missing; for example at = "450 mm"`},
		{"[[bed.weight]]", rib + "at = \"450 mm\"\nhole = \"360 mm\"\n[[bed.weight]]", `bed.rib.hole: leaves nothing of the rib; write its diameter, less than the rib's height`},
		{"[[bed.weight]]", rib + "from = \"0 mm\"\nto = \"300 mm\"\nevery = \"450 mm\"\n[[bed.weight]]", `bed.rib.every: is more than the row is long; write the pitch of the row, or at for one rib`},
		{"[[bed.weight]]", rib + "at = \"450 mm\"\nbetween = [\"240 mm\"]\n[[bed.weight]]", `bed.rib.between: has 1 values, not 2; write between = ["-240 mm", "240 mm"]`},
		{"[[bed.weight]]", rib + "at = \"450 mm\"\nbetween = [\"240 mm\", \"-240 mm\"]\n[[bed.weight]]", `-`},
		{"[table]", edge + "[table]", `master.depth: is missing; for example depth = "220 mm"`},
		{"[table]", edge + "weight = \"60 kg\"\ninertia = \"4000 cm4\"\n[table]", `-`},
		{"[table]", edge + "depth = \"220 mm\"\ncarried = { at = [\"440 mm\", \"900 mm\"], share = \"80 %\" }\n[table]", `master.carried.at: leaves the master to tip: both places lie on one side of its middle; hang it on either side of its middle`},
		{"[table]", edge + "depth = \"220 mm\"\ncarried = { at = [\"440 mm\", \"2.1 m\"], share = \"80 %\" }\n[table]", `master.carried.at: 2100 mm lies beyond its end; it is counted along the master from its left end`},
		// surveys
		{`file = "front.csv"`, `file = "after.csv"`, `after.csv:4: station 100 comes after 225; write the rows in the order of increasing x`},
		{`file = "front.csv"`, `file = "apart.csv"`, `apart.csv:4: the step from station 225 to 400 is not the first step, 150; slopes add up only when each reading begins where the last ended`},
		{"reading = \"µm\"\n", ``, `survey.reading: is missing; for example reading = "µm"`},
		{`reading = "µm"`, "reading = \"µm\"\nplane = \"sideways\"\nagainst = \"back\"", `survey.against: is the way itself; name the other way`},
		{"[cut]", "[cut]\ndatum = \"top\"", `cut.datum: "top" is no stretch of a way; write "ends", "middle", or from and to: "0 mm to 300 mm"`},
		{"[cut]", "[cut]\ndatum = \"300 mm to 0 mm\"", `cut.datum: "300 mm to 0 mm" is no stretch of a way; write "ends", "middle", or from and to: "0 mm to 300 mm"`},
		{`way = "front"`, `way = "frnt"`, `survey.way: there is no way "frnt"; did you mean "front"?`},
		{`way = "front"`, ``, `survey.way: is missing; for example way = "front"`},
		{`base = "150 mm"`, `base = "160 mm"`, `survey.base: 25 readings of 160 mm from 75 mm on end at 4075 mm, off the bed of 3900 mm; check base, start and the number of rows`},
		{`base = "150 mm"`, ``, `survey.base: is missing; for example base = "150 mm"`},
		{`table_at = "700 mm"`, `table_at = "3 m"`, `survey.table_at: the table would tip off the bed at 3000 mm; its left end can stand from -1200 mm to 2700 mm`},
		{`depth_per_pass = "3 µm"`, "depth_per_pass = \"3 µm\"\ntable_at = \"3 m\"", `cut.table_at: the table would tip off the bed at 3000 mm; its left end can stand from -1200 mm to 2700 mm`},
		{`reading = "µm"`, `reading = "m"`, `back.csv:8: run 1: 8.9 is read as 8.9 m; check it, and the survey's reading = "…"`},
		{`file = "cross.csv"`, `file = "crss.csv"`, `survey.file: "crss.csv" cannot be read: there is no such file; put the file beside the job file, or correct its name`},
		{`file = "cross.csv"`, "file = \"cross.csv\"\nx_unit = \"m\"", `cross.csv:11: x: 3750 is read as 3750000 mm along the bed of 3900 mm; check it, and the survey's x_unit = "…"`},
		{`date = 2026-03-02`, `date = "2 March"`, `survey.date: "2 March" is no day; write year, month and day: "2026-03-02", or "2026-03-02 14:30"`},
		{`file = "cross.csv"`, `file = "twice.csv"`, `twice.csv:3: station 100 is there twice*`},
		{`file = "cross.csv"`, `file = "front.csv"`, `front.csv: x: is missing; the first column must be x: where on the bed each reading stands`},
		{`file = "front.csv"`, `file = "steep.csv"`, `steep.csv:3: run 1 at reading 2 *`},
		{`pass = 2`, `pass = 2.5`, `survey.pass: 2.5 is no whole number here; write a whole number from 0 to 100000 without quotes`},
		{`division = "0.02 mm/m"`, ``, `survey.division: is missing; for example division = "0.02 mm/m"`},
		{"reading = \"div\"\n", ``, `-`},
		// moves and feelings
		{`date = "2026-03-03"`, ``, `move: needs a date or a pass, to stand between its surveys; for example date = "2026-03-03"`},
		{`raise = "-20 µm"`, ``, `move.raise: is missing; for example raise = "20 µm"`},
		{`foot = "F2"`, `foot = "F22"`, `move.foot: there is no foot "F22"; did you mean "F2"?`},
		{`state = "loose"`, "state = \"loose\"\ngap = \"20 µm\"", `felt: has 2 of state, gap and load; it needs one; write one of state = "loose", gap = "20 µm", load = "3.1 kN"`},
		{`state = "loose"`, ``, `felt: has 0 of state, gap and load; it needs one; write one of state = "loose", gap = "20 µm", load = "3.1 kN"`},
		{"[[move]]\ndate = \"2026-03-03\"\nstanding = \"shop floor\"", "[[move]]\ndate = \"2026-03-03\"\nstanding = \"on the grinding table\"", `move.foot: the standing "on the grinding table" has no feet; feet are moved, bearings are not`},
		{`reading = "µm"`, "reading = \"µm\"\ndivision = \"0.02 mm/m\"", `survey.division: counts only for autocollimator, level, cross level; leave it out`},
		{`way = "front"`, `way = ["front"]`, `survey.way: is a list, not text; write it in quotes: way = "…"`},
		// wishes
		{`apart = "300 mm"`, `apart = "-300 mm"`, `place.apart: "-300 mm" is below zero; write zero or more`},
		{`zones = [ {`, `zones = [ 3, {`, `place.zones: is a whole number, not a table; there may be several: write [[place.zones]]`},
		{`feet = [3, 4, 5]`, `feet = [3, [4], 5]`, `place.feet: a list is no whole number here; write a whole number from 2 to 20 without quotes`},
		{`"0.10 mm", "0.02 mm"`, `"0.10 mm", 0.02`, `adjust.shims: "0.02" has no unit; write it with its unit, for example "0.02 mm" or "0.02 in"`},
		{`least_load = "15 %"`, `least_load = "150 %"`, `adjust.least_load: "150 %" is too much; write 95 % or less; check the unit`},
		{`offsets = ["-240 mm", "240 mm"]`, `offsets = []`, `place.offsets: is no list with something in it; write it in square brackets: offsets = ["-240 mm", "240 mm"]`},
		{`keep = true`, ``, `place.foot.keep: is missing; for example keep = true`},
		{`stiffness_factor = 3`, `stiffness_factor = "3"`, `floor.stiffness_factor: "3" cannot be taken; write a plain number from 1 to 100 without quotes`},
		{`time_per_pass  = "50 min"`, `time_per_pass  = "50"`, `cut.time_per_pass: "50" has no unit; write it with its unit, for example "50 min" or "50 h"`},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		if text == good {
			t.Fatalf("the good job has no %q", c.old)
		}
		_, err := Read("job.toml", []byte(text), func(file string) ([]byte, error) {
			if csv := map[string]string{"twice.csv": "x,run 1\n100,1\n100,2\n300,1\n", "after.csv": "x,run 1\n75,1\n225,2\n100,3\n", "apart.csv": "x,run 1\n75,1\n225,2\n400,3\n", "steep.csv": "run 1\n1\n500000\n"}[file]; csv != "" {
				return []byte(csv), nil
			}
			return beside("good")(file)
		})
		got := "-"
		var faults Faults
		if errors.As(err, &faults) {
			got = strings.TrimPrefix(err.Error(), "job.toml:")
			if _, tail, ok := strings.Cut(got, ": "); ok && len(faults) == 1 && faults[0].File == "job.toml" {
				got = tail
			}
		}
		// The rest of what survey.Reduce says is its own affair.
		if start, ok := strings.CutSuffix(c.want, "*"); got != c.want && !(ok && strings.HasPrefix(got, start)) {
			t.Errorf("%s → %s:\n got %s\nwant %s", c.old, c.new, got, c.want)
		}
	}
}

// What is missing from an inch job is shown in inch units.
func TestInchExamples(t *testing.T) {
	text := "units = \"inch\"\n[bed]\n[[bed.section]]\n[[bed.weight]]\n[table]\n[[standing]]\nname = \"s\"\n[[standing.foot]]\nname = \"A\"\n" +
		"[[way]]\nname = \"w\"\n[[move]]\n[[felt]]\n[[survey]]\n[place]\n[cut]\n"
	_, err := Read("job.toml", []byte(text), noFiles)
	for _, want := range []string{`length = "150 in"`, `area = "59 in2"`, `inertia = "3600 in4"`, `weight = "350 lb"`, `stiffness = "5100 lbf/thou"`,
		`offset = "-9.8 in"`, `raise = "0.79 thou"`, `offsets = ["-9.4 in", "9.4 in"]`, `depth_per_pass = "0.12 thou"`, `load = "700 lb"`} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("no %s", want)
		}
	}
	for _, metric := range []string{"mm", "µm", "kg", "kN"} {
		if strings.Contains(err.Error(), metric) {
			t.Errorf("%s in an inch job:\n%v", metric, err)
		}
	}
}

func TestLineOfFault(t *testing.T) {
	for text, want := range map[string]int{
		"units = \"x\"\n":                          1,
		"\n\nunits = \"x\"\n":                      3,
		"\r\n\r\nunits = \"x\"":                    3,
		"\ufeffunits = \"x\"\n":                    1,
		"[bed]\nsection = [\n{},\n{ area = 3 }]\n": 4,
	} {
		_, err := Read("job.toml", []byte(text), noFiles)
		found := false
		for _, f := range err.(Faults) {
			found = found || f.Line == want
		}
		if !found {
			t.Errorf("%q: nothing on line %d:\n%v", text, want, err)
		}
	}
}

func TestTooMany(t *testing.T) {
	text := string(jobFile(t, "good")) + strings.Repeat("[[felt]]\n", mostTables)
	_, err := Read("job.toml", []byte(text), beside("good"))
	if want := fmt.Sprintf("felt: there are %d of them; %d at most can be taken", mostTables+2, mostTables); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("got %v", err)
	}
}

func TestFilesThatAreNoJob(t *testing.T) {
	for text, want := range map[string]string{
		"": `job.toml:1: bed: is missing; write a table [bed]
job.toml:1: standing: is missing; write a table [[standing]]
job.toml:1: way: is missing; write a table [[way]]`,
		"[bed]":         "job.toml:1: bed.section: is missing; write a table [[bed.section]]",
		"\xff\xfe[\x00": "job.toml:1: the file is saved as UTF-16; save it as UTF-8",
		"units = \"metric\"\ntitle = \"Fr\xe4se\"\ncolour = \"gr\xfcn\"": "job.toml:2: the file is not UTF-8 text; save it as UTF-8",
		"PK\x03\x04stuff":                         "job.toml:1: column 3 cannot be read: ",
		strings.Repeat("# long\n", MostBytes/7+1): "job.toml:1: the file is far larger than a job; readings belong into CSV files beside it",
	} {
		if _, err := Read("job.toml", []byte(text), noFiles); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.20q: got %v\nwant %s", text, err, want)
		}
	}
}

// The weighed total may stand under weight when no weights are bolted on.
func TestWeighedTotal(t *testing.T) {
	text := strings.NewReplacer("weighed", "weight", "[[bed.weight]]", "[[standing]]\nname = \"spare\"\n[[standing.foot]]\nname=\"F1\"\nat = \"1 m\"\noffset = \"0 mm\"\nstiffness = \"rigid\"\n[[standing.weight]]").
		Replace(string(jobFile(t, "good")))
	j, err := Read("job.toml", []byte(text), beside("good"))
	if err != nil || j.Bed.Weight != 2100*unit.KG || len(j.Bed.Weights) != 0 {
		t.Errorf("got %v", err)
	}
	_, err = Read("job.toml", []byte(strings.Replace(text, "[[bed.section]]", "weighed = \"2 t\"\n[[bed.section]]", 1)), beside("good"))
	if want := "bed.weighed: is given beside weight, which says the same; keep one of them"; err == nil || !strings.HasSuffix(err.Error(), want) {
		t.Errorf("got %v", err)
	}
}

func TestStandingByName(t *testing.T) {
	j, err := Read("job.toml", jobFile(t, "good"), beside("good"))
	if err != nil {
		t.Fatal(err)
	}
	if s, err := j.Standing("shop floor"); err != nil || len(s.Feet) != 4 {
		t.Errorf("got %v, %v", s, err)
	}
	if _, err := j.Standing("shop flor"); err == nil || err.Error() != `there is no standing "shop flor"; did you mean "shop floor"?` {
		t.Errorf("got %v", err)
	}
}
