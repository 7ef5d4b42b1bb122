package job

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"footwork/internal/unit"
	"footwork/survey"
)

// readCSV reads a survey's text, x in millimetres.
func readCSV(text string) (survey.Readings, []unit.Fault) {
	t := readGrid([]byte(text), 1e-3)
	if len(t.faults) > 0 {
		return survey.Readings{}, t.faults
	}
	return t.readings(), nil
}

func TestReadCSV(t *testing.T) {
	plain := survey.Readings{Runs: []survey.Run{{Name: "run 1", Values: []float64{1.5, -2}}, {Name: "run 2", Values: []float64{0.25, 3}}}}
	placed := survey.Readings{X: []float64{75, 225}, Runs: []survey.Run{{Name: "out", Values: []float64{1, 2}}, {Name: "back", Values: []float64{1.5, 2.5}}}}
	for _, c := range []struct {
		name, text string
		want       survey.Readings
	}{
		{"commas", "run 1,run 2\n1.5,0.25\n-2,3\n", plain},
		{"semicolons, decimal commas", "run 1;run 2\n1,5;0,25\n-2;3\n", plain},
		{"tabs", "run 1\trun 2\n1,5\t0.25\n-2\t3\n", plain},
		{"quoted decimal commas", "run 1,run 2\n\"1,5\", \"0,25\"\n-2,3\n", plain},
		{"byte-order mark, CRLF, no last newline", "\ufeffrun 1,run 2\r\n1.5,0.25\r\n-2,3", plain},
		{"notes and blank lines", "# bay 2; cold\n\nrun 1,run 2\n1.5,0.25\n  # a pause\n,,\n-2,3\n\n", plain},
		{"a spreadsheet's empty columns", "Run 1 , RUN2,,\n1.5,0.25,,\n−2,+3,\n", plain},
		{"a word processor's dash", "run 1,run 2\n1.5,0.25\n–2,3\n", plain},
		{"exponents", "run 1,run 2\n15e-1,.25\n-2.,3\n", plain},
		{"stations", "Station;out;back\n75;1;1.5\n225;2;2.5\n", placed},
		{"x", "x\tout\tback\n75\t1\t1,5\n225\t2\t2,5\n", placed},
		{"old line ends", "\ufeffrun 1,run 2\r1.5,0.25\r-2,3\r", plain},
		{"a spreadsheet's own separator", "sep=;\r\nrun 1;run 2\r\n1,5;0,25\r\n-2;3\r\n", plain},
		{"the same in quotes", "\ufeff\"SEP=,\"\nrun 1,run 2\n1.5,0.25\n-2,3\n", plain},
		{"a separator of one column", "sep=,\nrun 1\n\"1,5\"\n-2\n", survey.Readings{Runs: plain.Runs[:1]}},
		{"places with their own units", "x (in),out,back\n75 mm,1,1.5\n8.858267716535433,2,2.5\n", placed},
		{"places in inches", "x [in],out,back\n2.952755905511811,1,1.5\n8.858267716535433,2,2.5\n", placed},
		{"remarks", "x,out,back,Remarks\n75,1,1.5,\"warm; late\"\n225,2,2.5\n", survey.Readings{X: placed.X, Runs: placed.Runs, Remarks: []string{"warm; late", ""}}},
		{"one column of decimal commas", "run 1\n1,5\n-2\n", survey.Readings{Runs: plain.Runs[:1]}},
	} {
		got, faults := readCSV(c.text)
		if len(faults) > 0 {
			t.Errorf("%s: %v", c.name, faults)
		}
		if len(got.Lines) != len(got.Runs[0].Values) {
			t.Errorf("%s: lines %v", c.name, got.Lines)
		}
		got.Lines = nil
		if d := cmp.Diff(c.want, got, cmpopts.EquateApprox(1e-12, 0)); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}

func TestReadCSVFaults(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string // line column: message; hint
	}{
		{"every bad cell", "x,run 1\n75,a\n# note\n225,12 µm\n\n375,NaN\n525,Inf\n675,1e12\n825,1e999\n",
			[]string{`2 run 1: "a" *not a number`, `4 run 1: "12 µm" *without unit`, `6 run 1: "NaN" *not a number`,
				`7 run 1: "Inf" *not a number`, `8 run 1: "1e12" *too large`, `9 run 1: "1e999" *too large`}},
		{"ragged", "run 1,run 2\n1\n1,2,3\n,4\n", []string{`2 run 2: is empty`, `3 : "3" *beyond the last`, `4 run 1: is empty`}},
		{"thousands", "run 1;run 2\n1.234,5;2\n", []string{`2 run 1: "1.234,5" *two kinds of mark`}},
		{"half a number", "run 1\n1e\n-\n1.2.3\n", []string{`2 run 1: "1e" *not a number`, `3 run 1: "-" *not a number`, `4 run 1: "1.2.3" *not a number`}},
		{"unknown and double headers", "x,run 1,Run  1,reading\n1,2,3,4\n",
			[]string{`1 : "Run  1" is there twice`, `1 : "reading" *x or station, then run 1, run 2, …, or out, back`}},
		{"x late", "run 1,x\n1,2\n", []string{`1 : "x" must be the first column`}},
		{"mixed", "run 1,back\n1,2\n", []string{`1 : *use one or the other`}},
		{"no runs", "x\n1\n", []string{`1 : *no column of readings`}},
		{"no header", "1.5\n2\n", []string{`1 : "1.5" is no column`}},
		{"header only", "run 1\n", []string{`0 : *no readings`}},
		{"empty", "# nothing\n", []string{`0 : *no header row`}},
		{"stray quote", "run 1,run 2\n1\"2,3\n4,x\n", []string{`2 : *stray quotation mark`, `3 run 2: "x" *not a number`}},
		{"a line lower for the separator", "sep=;\nrun 1\na\n", []string{`3 run 1: "a" *not a number`}},
		{"old line ends", "run 1\r1\ra\r", []string{`3 run 1: "a" *not a number`}},
		{"Windows-1252", "# caf\xe9\nrun 1;run 2\n\x961;2\n\x962;3\n", []string{`0 : is not UTF-8 text; save it as UTF-8`}},
		{"UTF-16", "r\x00u\x00n\x00", []string{`0 : *UTF-8`}},
	} {
		got, faults := readCSV(c.text)
		if len(faults) != len(c.want) || got.Runs != nil || got.X != nil {
			t.Errorf("%s: %v, faults %+v, want %q", c.name, got, faults, c.want)
			continue
		}
		for i, f := range faults {
			if got := fmt.Sprintf("%d %s: %s; %s", f.Line, f.Key, f.Message, f.Hint); !matches(got, c.want[i]+"*") {
				t.Errorf("%s: %s, want %s", c.name, got, c.want[i])
			}
		}
	}
}

// Each station keeps its line, whatever stands between them.
func TestReadCSVLines(t *testing.T) {
	got, faults := readCSV("# bay 2\n\nrun 1\n1\n# a pause\n2\n\n3\n")
	if d := cmp.Diff([]int{4, 6, 8}, got.Lines); d != "" || faults != nil {
		t.Error(d, faults)
	}
}

// What is written in any of the accepted manners is read as it was.
func TestReadCSVReadsWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sep := rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "separator")
		comma := sep != "," && rapid.Bool().Draw(t, "decimal comma")
		end := rapid.SampledFrom([]string{"\n", "\r\n", "\r", "\n\n", "\n# note\n"}).Draw(t, "line end")
		columns, rows := rapid.IntRange(2, 5).Draw(t, "columns"), rapid.IntRange(1, 9).Draw(t, "rows")
		want := survey.Readings{Runs: make([]survey.Run, columns)}
		heads, lines := make([]string, columns), make([]string, rows+1)
		for j := range columns {
			heads[j] = fmt.Sprintf("run %d", j+1)
			want.Runs[j].Name = heads[j]
		}
		lines[0] = strings.Join(heads, sep)
		for i := range rows {
			cells := make([]string, columns)
			for j := range columns {
				v := rapid.Float64Range(-1e5, 1e5).Draw(t, "v")
				want.Runs[j].Values = append(want.Runs[j].Values, v)
				if cells[j] = fmt.Sprint(v); comma {
					cells[j] = strings.Replace(cells[j], ".", ",", 1)
				}
			}
			lines[i+1] = strings.Join(cells, sep)
		}
		got, faults := readCSV(strings.Join(lines, end))
		got.Lines = nil
		if d := cmp.Diff(want, got); d != "" || faults != nil {
			t.Fatal(d, faults)
		}
	})
}

func FuzzReadCSV(f *testing.F) {
	for _, s := range []string{"run 1,run 2\n1.5,0.25\n", "\ufeffx;out;back\r\n1;2,5;\"3\"\r\n", "# a\n\n\"run 1\"\t\n1\n", "run 1\n\"", "x,run 1\n1\n,,\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, faults := readCSV(text)
		if len(faults) > 0 {
			if r.X != nil || r.Runs != nil {
				t.Fatal("readings beside faults")
			}
			for _, f := range faults {
				if f.Message == "" || f.Line > strings.Count(text, "\n")+strings.Count(text, "\r")+1 {
					t.Fatalf("%+v", f)
				}
			}
			return
		}
		n := len(r.Runs[0].Values)
		for _, run := range append(r.Runs, survey.Run{Values: r.X}) {
			if len(run.Values) != n && (run.Name != "" || r.X != nil) || n == 0 {
				t.Fatalf("columns of unequal length: %v", r)
			}
			for _, v := range run.Values {
				if !(math.Abs(v) <= 1e9) {
					t.Fatalf("%v let through", v)
				}
			}
		}
	})
}

// A unit in a column's head must be that of the survey's readings.
func TestUnitsInHeads(t *testing.T) {
	for head, want := range map[string]string{
		"run 1 (arcsec)": "", "run 1 [arcsec]": "", "run 1(arcsec)": "", "x (mm),run 1 (arcsec)": "",
		"run 1 (mm/m)":   `"mm/m" is the unit of this column, and the survey's reading is "arcsec"`,
		"run 1 (arcmin)": `"arcmin" is the unit`,
		"run 1 (volts)":  `"volts" is the unit`,
		"x (kg),run 1":   `"kg" is no unit of length`,
	} {
		s := survey.Survey{Instrument: survey.Autocollimator, Unit: "arcsec", Scale: unit.ArcSec, XScale: 1e-3}
		b := &builder{source: &source{asked: map[string]bool{}}, job: &Job{}}
		_, ok := b.taken(&s, "a.csv", readGrid([]byte(head+"\n"+strings.Repeat("1,", strings.Count(head, ","))+"2\n"), 1e-3))
		if got := told(b.faults); ok != (want == "") || want != "" && !strings.Contains(got, want) {
			t.Errorf("%s: %q", head, got)
		}
	}
	level := survey.Survey{Instrument: survey.Level, Unit: "div", Scale: 2e-5, XScale: 1e-3}
	b := &builder{source: &source{asked: map[string]bool{}}, job: &Job{}}
	if _, ok := b.taken(&level, "a.csv", readGrid([]byte("run 1 (div)\n1\n2\n"), 1e-3)); !ok {
		t.Error(told(b.faults))
	}
}
