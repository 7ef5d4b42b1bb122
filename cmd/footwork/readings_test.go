package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// Readings printed elsewhere, from their CSV to the profile's JSON.

// surveyed is the part of survey's JSON that is looked at here.
type surveyed struct {
	X, Height    []float64
	Straightness struct {
		Ends         float64
		LeastSquares float64 `json:"least_squares"`
		MinimumZone  float64 `json:"minimum_zone"`
	}
}

// read surveys the top of a bar with the CSV given.
func read(t *testing.T, length float64, keys, csv string) surveyed {
	t.Helper()
	b := bar{length: length, width: 0.1, height: 0.2, feet: []float64{0, length}}
	job := b.job() + "[[survey]]\nname = \"s\"\nstanding = \"bench\"\nway = \"top\"\nfile = \"s.csv\"\n" + keys
	var v struct{ Surveys []surveyed }
	answer(t, &v, "survey", job, map[string]string{"s.csv": csv})
	return v.Surveys[0]
}

func table(header string, rows ...[]float64) string {
	var s strings.Builder
	s.WriteString(header + "\n")
	for _, row := range rows {
		s.WriteString(strings.Trim(strings.ReplaceAll(fmt.Sprint(row), " ", ","), "[]") + "\n")
	}
	return s.String()
}

// Seven rows of a lecturer's table, 100 mm base and 0.5 µm a second of arc, out
// and back, give heights 0 0 1.5 5 4 4 6 µm and a straightness of 3 µm about the
// ends, +2 and −1. Its first row is the datum. Least squares and minimum zone
// were worked out by hand from the heights.
func TestLecturersTable(t *testing.T) {
	s := read(t, 0.6, "instrument = \"level\"\nbase = \"100 mm\"\nstart = \"0 mm\"\ndivision = \"5 µm/m\"\nreading = \"div\"\nuncertainty = \"2 µm/m\"\n",
		table("out,back", []float64{128, 132}, []float64{131, 135}, []float64{135, 139}, []float64{128, 128}, []float64{129, 131}, []float64{134, 134}))
	for i, want := range []float64{0, -1, -0.5, 2, 0, -1, 0} {
		near(t, fmt.Sprintf("height %d", i), s.Height[i], want*1e-6, 1e-11)
	}
	near(t, "ends", s.Straightness.Ends, 3e-6, 1e-11)
	near(t, "least squares", s.Straightness.LeastSquares, 3.0357e-6, 5e-11)
	near(t, "minimum zone", s.Straightness.MinimumZone, 3e-6, 1e-11)
}

// A student report on the edge of a milling machine: nine differences in seconds
// of arc at 0.5 µm a second, printed errors from the line through the ends
// 11.4528, 17.2806, 23.0084, 24.2112, 23.339 (printed with the wrong sign) µm.
// An arithmetic check, no reference measurement.
func TestStudentReport(t *testing.T) {
	var rows [][]float64
	for _, v := range []float64{0, 11.25, 11.45, 20.5, 24.65, 24.45, 36.05, 35.65, 42.15} {
		rows = append(rows, []float64{v})
	}
	s := read(t, 0.9, "instrument = \"level\"\nbase = \"100 mm\"\nstart = \"0 mm\"\ndivision = \"5 µm/m\"\nreading = \"div\"\nuncertainty = \"1 µm/m\"\n",
		table("run 1", rows...))
	for i, want := range []float64{0, 11.4528, 17.2806, 23.0084, 24.2112, 23.339} {
		near(t, fmt.Sprintf("height %d", i), -s.Height[i], want*1e-6, 2e-10)
	}
	near(t, "ends", s.Straightness.Ends, 24.2112e-6, 2e-10)
	near(t, "least squares", s.Straightness.LeastSquares, 24.7309e-6, 2e-10)
	near(t, "minimum zone", s.Straightness.MinimumZone, 24.2111e-6, 2e-10)
}

// A steel wire of 0.016 in and 0.0007 lb/ft, drawn over 10 ft with 30 lb, sags
// wL²/8T = 0.0003 ft, printed as 0.0035 in in workshop notes on wire sag. Heights
// of such a wire are read in thou.
func TestTautWire(t *testing.T) {
	const foot, w, pull = 0.3048, 0.0007, 30.0
	var rows [][]float64
	for x := 0.0; x <= 10; x++ {
		thou := -w * x * (10 - x) / (2 * pull) * 12e3
		rows = append(rows, []float64{x * 12, math.Round(thou*1e4) / 1e4})
	}
	s := read(t, 10*foot, "instrument = \"heights\"\nx_unit = \"in\"\nreading = \"thou\"\nuncertainty = \"0.1 thou\"\n", table("x,run 1", rows...))
	near(t, "sag", slices.Min(s.Height), -0.0035*25.4e-3, 1e-8)
	near(t, "at three feet", s.Height[3], -w*3*7/(2*pull)*foot, 1e-8)
	near(t, "ends", s.Straightness.Ends, 0.0035*25.4e-3, 1e-8)
	near(t, "minimum zone", s.Straightness.MinimumZone, 0.0035*25.4e-3, 1e-8)
}
