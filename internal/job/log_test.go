package job

import (
	"math"
	"slices"
	"strings"
	"testing"

	"footwork/internal/unit"
)

// withLog reads the good job with a log beside it.
func withLog(lines string) (*Job, error) {
	text := string(jobFile(nil, "good")) + "\n[[master]]\nname = \"two-metre edge\"\nlength = \"2 m\"\ndepth = \"220 mm\"\n[log]\nfile = \"log.csv\"\n"
	return Read("job.toml", []byte(text), func(file string) ([]byte, error) {
		switch file {
		case "log.csv":
			return []byte("when,what,where,value,note\n" + lines), nil
		case "front-2.csv":
			return []byte("run 1\n1\n2\n-1\n"), nil
		case "edge.csv":
			return []byte("x,run 1\n0,0\n1000,1\n2000,0\n"), nil
		}
		return beside("good")(file)
	})
}

// Readings that the log names are surveys of their set-up, with where the table
// stood, how warm the bed was and how often it had been scraped.
func TestLogAddsSurveys(t *testing.T) {
	j, err := withLog(`2026-03-05 07:00,heat,,0.4 K ± 0.1 K,
2026-03-05 07:30,table,,at 300 mm,
2026-03-05 08:00,scrape,front,3 passes,
2026-03-05 08:10,survey,front way,front-2.csv,
2026-03-05 08:20,table,,off,
2026-03-05 09:00,survey,front way,front-2.csv,
`)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.Surveys) != 5 || len(j.SetUps) != 3 || len(j.Log) != 6 {
		t.Fatalf("%d surveys of %d set-ups, %d acts", len(j.Surveys), len(j.SetUps), len(j.Log))
	}
	s := j.Surveys[3]
	if s.Date != "2026-03-05 08:10" || s.Pass != 3 || *s.TableAt != 0.3 || *s.Gradient != 0.4 || s.GradientSD != 0.1 || !slices.Equal(s.Readings.Runs[0].Values, []float64{1, 2, -1}) {
		t.Errorf("got %+v", s)
	}
	if j.Surveys[4].TableAt != nil || math.Abs(*j.Surveys[0].TableAt-0.7) > 1e-12 {
		t.Error("the table stands where it did not")
	}
}

// Readings of the log are asked about as those of the job file are.
func TestLogSlips(t *testing.T) {
	j, err := withLog("2026-03-05,survey,front way,front-2.csv,\n")
	if want := `"front way, 2026-03-05" covers only 75 mm to 525 mm of the bed of 3900 mm`; err != nil || len(j.Notes) != 1 || j.Notes[0].Message != want {
		t.Errorf("%v: %v", err, j.Notes)
	}
}

// What a slip of units makes of a value of the log is asked about, and what is usual is not.
func TestLogValues(t *testing.T) {
	for _, c := range [][3]string{
		{"turn", "F2", "up 25 µm"}, {"turn", "F2", "down 25 mm"}, {"shim", "F2", "in 0.5 mm"}, {"shim", "F2", "in 12 mm"},
		{"came", "F2", "up 12 µm ± 2 µm"}, {"came", "F2", "up 12 mm"}, {"indicator", "F2", "up 12 µm"}, {"indicator", "F2", "up 12 mm"}, {"gap", "F2", "50 µm"}, {"gap", "F2", "5 mm"}, {"load", "F2", "9 kN"}, {"load", "F2", "90 kN"},
		{"heat", "", "0.4 K"}, {"heat", "", "9 K"}, {"scrape", "front", "\"3 passes, 9 µm\""}, {"scrape", "front", "\"3 passes, 0.9 mm\""},
	} {
		j, err := withLog("2026-03-09," + c[0] + "," + c[1] + "," + c[2] + ",\n")
		if err != nil {
			t.Fatal(err)
		}
		asked := slices.ContainsFunc(j.Notes, func(f unit.Fault) bool {
			return f.Line == 2 && f.Key == "value" && strings.Contains(f.Message, "is unusually much: ")
		})
		if much := strings.Contains(c[2], " mm") && c[2] != "in 0.5 mm" || c[2] == "9 K" || c[2] == "90 kN"; asked != much {
			t.Errorf("%s: %v", c, j.Notes)
		}
	}
}

// A reading far from others with its zero is asked about; one that a turned foot explains,
// and the first after the instrument was moved, are not.
func TestReadingsFarOff(t *testing.T) {
	for lines, asked := range map[string]bool{
		"read,front way at 225 mm,1.5":                                                                         false,
		"read,front way at 225 mm,1.5\n2026-03-09,read,front way at 225 mm,1500":                               true,
		"read,front way at 225 mm,1.5\n2026-03-09,read,front way at 225 mm,-9":                                 false,
		"set up,front way,\n2026-03-09,read,front way at 225 mm,1500":                                          false,
		"set up,front way,\n2026-03-09,read,front way at 225 mm,1500\n2026-03-09,read,front way at 375 mm,1.5": true,
	} {
		j, err := withLog("2026-03-09," + lines + "\n")
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(told(j.Notes), "times as far from the others"); got != asked {
			t.Errorf("%s: %v", lines, told(j.Notes))
		}
	}
}

func TestLogFaults(t *testing.T) {
	for lines, want := range map[string]string{
		"2026-03-05,survey,front way,nothere.csv,\n": `log.csv:2: value: "nothere.csv" cannot be read: there is no such file; put the file beside the job file, or correct its name`,
		"2026-03-05,turn,F9,up 20 µm,\n":             `log.csv:2: where: there is no foot "F9"; did you mean "F1"?`,
		"2026-03-05,survey,twist,edge.csv,\n":        "-",
	} {
		got := "-"
		if _, err := withLog(lines); err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("got %v\nwant %s", got, want)
		}
	}
}

// A standing that is like another shares what it does not say, and the feet that
// it names.
func TestLikeAStanding(t *testing.T) {
	more := "\n[[standing]]\nname = \"on three\"\nlike = \"shop floor\"\nfeet = [\"F1\", \"B1\"]\n[[standing.foot]]\nname = \"block\"\nat = \"3100 mm\"\noffset = \"0 mm\"\nstiffness = \"2 kN/µm\"\nadjust = \"fixed\"\nrated = \"15 kN\"\nleft = { up = \"6 mm\" }\n"
	text := strings.Replace(string(jobFile(t, "good")), "\n[[survey]]", more+"\n[[survey]]", 1)
	j, err := Read("job.toml", []byte(text), beside("good"))
	if err != nil {
		t.Fatal(err)
	}
	s := j.Standings[2]
	if got := footNames(s); !slices.Equal(got, []string{"F1", "B1", "block"}) || len(s.Adjusters) != 3 || len(s.StiffnessSD) != 3 {
		t.Errorf("got %v", got)
	}
	if s.Gradient != 0.5 || s.After != "on the grinding table" || len(s.Weights) != 1 || math.Abs(s.Feet[0].Height-20*unit.UM) > 1e-15 {
		t.Errorf("got %+v", s.Standing)
	}
	if a := s.Adjusters[2]; a.Rated != 15e3 || a.Left.Up != 0.006 || !math.IsInf(a.Left.Down, 1) {
		t.Errorf("got %+v", a)
	}
	for _, c := range [][3]string{
		{`like = "shop floor"`, `like = "old"`, `standing.like: there is no standing "old" above this one`},
		{`["F1", "B1"]`, `["F7", "B1"]`, `standing.feet: "shop floor" has no foot "F7"; did you mean "F1"?`},
		{`like = "shop floor"`, ``, `standing.feet: needs the standing that this one is like`},
	} {
		if _, err := Read("job.toml", []byte(strings.Replace(text, c[0], c[1], 1)), beside("good")); err == nil || !strings.Contains(err.Error(), c[2]) {
			t.Errorf("%s: got %v", c[2], err)
		}
	}
}

// A master's own face is read from its CSV, in the units that its head gives.
func TestMasterFace(t *testing.T) {
	text := string(jobFile(t, "good")) + "\n[[master]]\nname = \"edge\"\nlength = \"2 m\"\ndepth = \"220 mm\"\nform = \"edge.csv\"\n"
	for csv, want := range map[string]string{
		"x,run 1\n0,0\n1000,4\n2000,0\n":                              "-",
		"x,run 1 (µm)\n0,0\n1000,4\n2000,0\n":                         "-",
		"x (m),run 1 (mm)\n0,0\n1,0.004\n2,0\n":                       "-",
		"x (in),run 1 (thou)\n0,0\n39.37007874,0.157480315\n78.7,0\n": "-",
		"x,run 1 (kg)\n0,0\n1000,4\n2000,0\n":                         `"kg" is the unit of this column`,
		"x,out (µm),back (mm)\n0,0,0\n1000,4,0.004\n":                 `"mm" is the unit of this column`,
		"x,run 1\n0,0\n1000,4\n2100,0\n":                              `master.form: "edge.csv" reaches from 0 mm to 2100 mm, beyond the master; its places are counted from its left end`,
		"x,run 1\n0,a\n":                                              "edge.csv:2: run 1:",
	} {
		j, err := Read("job.toml", []byte(text), func(file string) ([]byte, error) {
			if file == "edge.csv" {
				return []byte(csv), nil
			}
			return beside("good")(file)
		})
		switch {
		case want == "-" && (err != nil || math.Abs(j.Masters[0].Face.At(1)-j.Masters[0].Face.At(0)-4*unit.UM) > 1e-12):
			t.Errorf("%q: %v", csv, err)
		case want != "-" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%q: %v", csv, err)
		}
	}
}
