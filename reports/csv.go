package reports

import (
	"encoding/csv"
	"io"
	"strconv"

	"footwork/internal/sheet"
)

// WriteCSV writes the curves of an answer as one table, a row for each point,
// in SI with the units in the head. Errors are those of WriteJSON.
func WriteCSV(w io.Writer, v View) error {
	if err := Finite(v); err != nil {
		return err
	}
	t := v.curves()
	out := csv.NewWriter(w)
	if err := out.Write(t.head); err != nil {
		return err
	}
	return out.WriteAll(t.rows)
}

// csvTable is a head and rows of the same length.
type csvTable struct {
	head []string
	rows [][]string
}

func headed(names ...string) csvTable { return csvTable{head: names} }

// add adds a row of names followed by numbers.
func (t *csvTable) add(names []string, numbers ...float64) {
	var r []string
	for _, name := range names {
		r = append(r, sheet.Plain(name))
	}
	for _, v := range numbers {
		r = append(r, csvNumber(v))
	}
	t.rows = append(t.rows, r)
}

// along adds a row for each place x, with what each column has there.
func (t *csvTable) along(names []string, x []float64, columns ...[]float64) {
	for i := range x {
		numbers := []float64{x[i]}
		for _, c := range columns {
			numbers = append(numbers, c[i])
		}
		t.add(names, numbers...)
	}
}

// csvNumber returns v to nine figures, more than any measurement has.
func csvNumber(v float64) string { return strconv.FormatFloat(v+0, 'g', 9, 64) }

func (v Sag) curves() csvTable {
	t := headed("standing", "state", "way", "x (m)", "height (m)", "twist (rad)")
	for _, s := range v.Standings {
		for _, w := range s.Ways {
			t.along([]string{s.Name, string(s.State), w.Name}, s.X, w.Height, s.Twist)
		}
	}
	return t
}

func (v Travel) curves() csvTable {
	t := headed("standing", "state", "table_at (m)", "height (m)", "pitch (rad)", "roll (rad)", "at_tool (m)")
	for _, foot := range v.Feet {
		t.head = append(t.head, "load of "+foot+" (N)")
	}
	for i, p := range v.Path {
		t.add([]string{v.Standing, string(v.State)}, append([]float64{v.TableAt[i], p.Height, p.Pitch, p.Roll, p.AtTool}, v.FootLoads[i]...)...)
	}
	return t
}

func (v Change) curves() csvTable {
	t := headed("from", "to", "state", "way", "x (m)", "height (m)")
	for _, w := range v.Ways {
		t.along([]string{v.From, v.To, string(v.State), w.Name}, v.X, w.Height)
	}
	return t
}

// A cross level's slopes have columns of their own.
func (v Survey) curves() csvTable {
	t := headed("survey", "standing", "way", "x (m)", "height (m)", "sigma (m)", "slope (rad)", "sigma (rad)")
	for _, s := range v.Surveys {
		for i, x := range s.X {
			cells := []string{csvNumber(s.Height[i]), csvNumber(s.Sigma[i]), "", ""}
			if s.Across() {
				cells = []string{"", "", cells[0], cells[1]}
			}
			t.rows = append(t.rows, append([]string{s.Name, s.Standing, s.Way, csvNumber(x)}, cells...))
		}
	}
	return t
}

func (v Match) curves() csvTable {
	t := headed("standing", "state", "way", "x (m)", "measured (m)", "sag (m)", "feet (m)", "heat (m)", "form (m)", "form_sigma (m)", "rest (m)")
	for _, w := range v.Ways {
		t.along([]string{v.Standing, string(v.State), w.Name}, w.X, w.Measured, w.Sag, w.Feet, w.Heat, w.Form, w.FormSigma, w.Rest)
	}
	return t
}

// The state of a plan's ways is that which it begins from, with its moves made.
func (v Adjust) curves() csvTable {
	t := headed("standing", "state", "plan", "feet_moved", "way", "x (m)", "height (m)", "sigma (m)")
	for k, p := range v.Plans {
		for _, w := range p.Ways {
			t.along([]string{v.Standing, string(v.State), strconv.Itoa(k), strconv.Itoa(p.FeetMoved), w.Name}, w.X, w.Height, w.Sigma)
		}
	}
	return t
}

func (v Place) curves() csvTable {
	t := headed("pairs", "at (m)", "zone (m)", "sensitivity (m)")
	for _, p := range v.Placements {
		for _, x := range p.At {
			t.add([]string{strconv.Itoa(p.Pairs)}, x, p.Zone, p.Sensitivity)
		}
	}
	return t
}

func (v Cut) curves() csvTable {
	t := headed("state", "way", "flank", "x (m)", "depth (m)")
	add := func(state State, ways []CutWay) {
		for _, w := range ways {
			t.along([]string{string(state), w.Name, strconv.Itoa(w.Flank)}, w.X, w.Depth)
		}
	}
	add(v.State, v.Ways)
	if v.AfterMoves != nil {
		add(Planned, v.AfterMoves.Ways)
	}
	return t
}

func (v Blue) curves() csvTable {
	t := headed("standing", "state", "master", "way", "flank", "at (m)", "x (m)", "gap (m)", "pressure (N/m)")
	for _, w := range v.Ways {
		for _, s := range w.Steps {
			for i, x := range s.X {
				t.add([]string{v.Standing, string(v.State), w.Master, w.Name, strconv.Itoa(w.Flank)}, s.At, x, s.Gap[i], s.Pressure[i])
			}
		}
	}
	return t
}
