package reports

import (
	"fmt"
	"math"
	"strconv"

	"footwork/internal/unit"
	"footwork/survey"
)

// surveyDoubt words a fact about a survey that makes it doubtful, in the unit of
// its readings and, for places and heights, in those of sys.
func surveyDoubt(s survey.Survey, w survey.Warning, sys unit.System) string {
	say := surveyWords{s, sys}
	than := w.Than
	if than == "" {
		than = "the others"
	}
	switch w.Kind {
	case survey.Drifted:
		return fmt.Sprintf("the zero drifted steadily by %s between the first reading out and the last back; the mean of the two is free of it", say.size(w.Size))
	case survey.Parted:
		bow := ""
		if w.Bow > 0 {
			bow = ", and the mean may be bowed by " + say.height(w.Bow)
		}
		return fmt.Sprintf("%s comes to read %s than %s, steadily from the first row to the last: one of them drifted%s; measure out and back", w.Run, say.excess(w.Size), than, bow)
	case survey.Knocked:
		return fmt.Sprintf("%s reads %s than %s from %s on: a knock there, which the mean only shares out; read from there again, or take the wrong run out",
			w.Run, say.excess(w.Size), than, say.place(w.Row))
	case survey.Misread:
		return fmt.Sprintf("%s reads %s than %s at %s alone: misread or mistyped; read it again, or put the cell right", w.Run, say.excess(w.Size), than, say.place(w.Row))
	case survey.Shifted:
		return say.shifted(w, than)
	case survey.TurnedSign:
		return fmt.Sprintf("%s has the opposite sign of %s: turn its signs in the CSV (a level turned end for end, a mirror that faces the other way)", w.Run, than)
	case survey.OtherScale:
		return fmt.Sprintf("%s reads %s times as much as %s: use one unit for all runs, and in all of them either the mirror's tilt or the beam's", w.Run, threeFigures(w.Size), than)
	case survey.WalkedOrder:
		return say.walked(w, than)
	}
	return say.noise(w)
}

// surveyWords words what concerns one survey.
type surveyWords struct {
	survey.Survey
	sys unit.System
}

func (s surveyWords) shifted(w survey.Warning, than string) string {
	text := fmt.Sprintf("%s reads %s than %s throughout: it only tilts the profile", w.Run, s.excess(w.Size), than)
	if w.Apart > 0 {
		text += fmt.Sprintf(" (at the far end the two are %s apart)", s.height(w.Apart))
	}
	if w.Bow > 0 {
		text += fmt.Sprintf("; but if the zero drifted by this much in each run, it is bowed by %s: measure out and back", s.height(w.Bow))
	}
	return text
}

func (s surveyWords) walked(w survey.Warning, than string) string {
	zones := ""
	if w.Size > 0 {
		zones = fmt.Sprintf(": the way is %s out of straight with the rows as they stand, %s with them turned round", s.height(w.Size), s.height(w.Other))
	}
	return fmt.Sprintf("%s agrees with %s when its rows are turned round, and not as they stand%s. Was it written down in the order walked? Then turn its rows round in the CSV, so that each row is one station; until then only %s is used",
		w.Run, than, zones, than)
}

func (s surveyWords) noise(w survey.Warning) string {
	switch w.Kind {
	case survey.Scattered:
		return fmt.Sprintf("the runs scatter by %s, more than the uncertainty given, %s, and the scatter is used: look for air, vibration or a loose mirror, or put uncertainty right",
			s.size(w.Size), s.size(w.Other))
	case survey.Overstated:
		return fmt.Sprintf("the runs scatter by %s only, and the uncertainty given is %s: look at its unit", s.size(w.Size), s.size(w.Other))
	case survey.AssumedNoise:
		return fmt.Sprintf("one run does not tell its own uncertainty; %s is assumed for one reading: add a second run, better out and back, or give uncertainty", s.size(w.Size))
	case survey.CopiedRun:
		return fmt.Sprintf("the runs agree in every digit, as a copied column does, and do not tell their uncertainty; %s is assumed for one reading: add a second run, better out and back, or give uncertainty", s.size(w.Size))
	case survey.StepUnlikeBase:
		l := s.sys.Length()
		return fmt.Sprintf("the stations are %s apart but the carriage's feet %s: step by the base, or put base right", l.Text(w.Size), l.Text(w.Other))
	}
	panic("reports: no words for a survey that is " + string(w.Kind))
}

// size writes a tilt or height in the readings' unit.
func (s surveyWords) size(v float64) string { return threeFigures(v/s.One()) + " " + s.Unit }

// excess writes a difference of readings in words.
func (s surveyWords) excess(v float64) string {
	if v < 0 {
		return s.size(-v) + " less"
	}
	return s.size(v) + " more"
}

func (s surveyWords) height(v float64) string { return s.sys.Height().Text(v) }

// place names a row of readings, by the file's own number if it has one.
func (s surveyWords) place(row int) string {
	if len(s.Readings.X) > row {
		return fmt.Sprintf("station %g", s.Readings.X[row])
	}
	return fmt.Sprintf("reading %d (at %s)", row+1, s.sys.Length().Text(s.Start+float64(row)*s.Base))
}

// threeFigures writes v to three figures, without an exponent.
func threeFigures(v float64) string {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return strconv.FormatFloat(math.Copysign(short, v), 'f', -1, 64)
}
