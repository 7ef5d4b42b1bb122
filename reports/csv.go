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

// csvNumber returns v to nine figures, more than any measurement has.
func csvNumber(v float64) string { return strconv.FormatFloat(v+0, 'g', 9, 64) }

func (v Sag) curves() csvTable {
	t := csvTable{head: []string{"standing", "way", "x (m)", "height (m)", "twist (rad)"}}
	for _, s := range v.Standings {
		for _, w := range s.Ways {
			for i, x := range s.X {
				t.add([]string{s.Name, w.Name}, x, w.Height[i], s.Twist[i])
			}
		}
	}
	return t
}

func (v Travel) curves() csvTable {
	t := csvTable{head: []string{"table_at (m)", "height (m)", "pitch (rad)", "roll (rad)", "at_tool (m)"}}
	for i := range v.FootCount() {
		t.head = append(t.head, "load of "+v.FootName(i)+" (N)")
	}
	for i, p := range v.Path {
		numbers := []float64{v.TableAt[i], p.Height, p.Pitch, p.Roll, p.AtTool}
		if len(v.FootLoads) > 0 {
			numbers = append(numbers, v.FootLoads[i]...)
		}
		t.add(nil, numbers...)
	}
	return t
}

func (v Change) curves() csvTable {
	t := csvTable{head: []string{"from", "to", "way", "x (m)", "height (m)"}}
	for _, w := range v.Ways {
		for i, x := range v.X {
			t.add([]string{v.From, v.To, w.Name}, x, w.Height[i])
		}
	}
	return t
}

// A cross level's slopes have columns of their own.
func (v Survey) curves() csvTable {
	t := csvTable{head: []string{"survey", "standing", "way", "x (m)", "height (m)", "sigma (m)", "slope (rad)", "sigma (rad)"}}
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
	t := csvTable{head: []string{"way", "x (m)", "measured (m)", "sag (m)", "feet (m)", "heat (m)", "form (m)", "form_sigma (m)", "rest (m)"}}
	for _, w := range v.Ways {
		for i, x := range w.X {
			t.add([]string{w.Name}, x, w.Measured[i], w.Sag[i], w.Feet[i], w.Heat[i], w.Form[i], w.FormSigma[i], w.Rest[i])
		}
	}
	return t
}

func (v Adjust) curves() csvTable {
	t := csvTable{head: []string{"plan", "feet_moved", "way", "x (m)", "height (m)", "sigma (m)"}}
	for k, p := range v.Plans {
		for _, w := range p.Ways {
			for i, x := range w.X {
				t.add([]string{strconv.Itoa(k), strconv.Itoa(p.FeetMoved), w.Name}, x, w.Height[i], w.Sigma[i])
			}
		}
	}
	return t
}

func (v Place) curves() csvTable {
	t := csvTable{head: []string{"pairs", "at (m)", "zone (m)", "sensitivity (m)"}}
	for _, p := range v.Placements {
		for _, x := range p.At {
			t.add([]string{strconv.Itoa(p.Pairs)}, x, p.Zone, p.Sensitivity)
		}
	}
	return t
}

func (v Cut) curves() csvTable {
	t := csvTable{head: []string{"when", "way", "x (m)", "depth (m)"}}
	add := func(when string, ways []CutWay) {
		for _, w := range ways {
			for i, x := range w.X {
				t.add([]string{when, w.Name}, x, w.Depth[i])
			}
		}
	}
	add("now", v.Ways)
	if v.AfterMoves != nil {
		add("after the moves", v.AfterMoves.Ways)
	}
	return t
}

// curves of a step are what it must read.
func (v NextStep) curves() csvTable { return csvTable{} }
