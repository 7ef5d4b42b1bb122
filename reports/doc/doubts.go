package doc

import (
	"cmp"
	"math"
	"strconv"

	"footwork/survey"
)

// doubt words a fact about a survey that makes it doubtful, in the unit of its
// readings and, for places and heights, in those of the reader.
func doubt(s survey.Survey, w survey.Warning) Text {
	d := doubted{s}
	than := cmp.Or(w.Than, "the others")
	switch w.Kind {
	case survey.Drifted:
		return say("the zero drifted steadily by {} between the first reading out and the last back; the mean of the two is free of it", d.size(w.Size))
	case survey.Parted:
		return say("{} comes to read {} than {}, steadily from the first row to the last: one of them drifted{}; measure out and back",
			w.Run, d.excess(w.Size), than, also(w.Bow > 0, ", and the mean may be bowed by {height}", w.Bow))
	case survey.Knocked:
		return say("{} reads {} than {} from {} on: a knock there, which the mean only shares out; read from there again, or take the wrong run out",
			w.Run, d.excess(w.Size), than, d.place(w.Row))
	case survey.Misread:
		return say("{} reads {} than {} at {} alone: misread or mistyped; read it again, or put the cell right", w.Run, d.excess(w.Size), than, d.place(w.Row))
	case survey.Shifted:
		return say("{} reads {} than {} throughout: it only tilts the profile{}{}", w.Run, d.excess(w.Size), than,
			also(w.Apart > 0, " (at the far end the two are {height} apart)", w.Apart),
			also(w.Bow > 0, "; but if the zero drifted by this much in each run, it is bowed by {height}: measure out and back", w.Bow))
	case survey.TurnedSign:
		return say("{} has the opposite sign of {}: turn its signs in the CSV (a level turned end for end, a mirror that faces the other way)", w.Run, than)
	case survey.OtherScale:
		return say("{} reads {} times as much as {}: use one unit for all runs, and in all of them either the mirror's tilt or the beam's", w.Run, threeFigures(w.Size), than)
	case survey.WalkedOrder:
		return say("{} agrees with {} when its rows are turned round, and not as they stand{}. Was it written down in the order walked? Then turn its rows "+
			"round in the CSV, so that each row is one station; until then only {} is used",
			w.Run, than, also(w.Size > 0, ": the way is {height} out of straight with the rows as they stand, {height} with them turned round", w.Size, w.Other), than)
	}
	return d.noise(w)
}

// doubted words what concerns one survey.
type doubted struct{ survey.Survey }

func (d doubted) noise(w survey.Warning) Text {
	switch w.Kind {
	case survey.Scattered:
		return say("the runs scatter by {}, more than the uncertainty given, {}, and the scatter is used: look for air, vibration or a loose mirror, or put uncertainty right",
			d.size(w.Size), d.size(w.Other))
	case survey.Overstated:
		return say("the runs scatter by {} only, and the uncertainty given is {}: look at its unit", d.size(w.Size), d.size(w.Other))
	case survey.AssumedNoise:
		return say("one run does not tell its own uncertainty; {} is taken for one reading: add a second run, better out and back, or give uncertainty", d.size(w.Size))
	case survey.CopiedRun:
		return say("the runs agree in every digit, as a copied column does, and do not tell their uncertainty; {} is taken for one reading: add a second run, better out and back, or give uncertainty",
			d.size(w.Size))
	case survey.ManyStations:
		return say("has {%.0f} stations, of which one in {%.0f} is used: heights between them are left out", w.Other, w.Size)
	case survey.StepUnlikeBase:
		return say("the stations are {along} apart but the carriage's feet {along}: step by the base, or put base right", w.Size, w.Other)
	}
	panic("doc: no words for a survey that is " + string(w.Kind))
}

// size is a tilt or height in the readings' unit.
func (d doubted) size(v float64) Quantity {
	q := reading(v/d.One(), d.Unit)
	q.Fine = true
	return q
}

// excess writes a difference of readings in words.
func (d doubted) excess(v float64) Text {
	return say("{}{}", d.size(math.Abs(v)), pick(v < 0, " less", " more"))
}

// place names a row of readings, by the file's own number if it has one.
func (d doubted) place(row int) Text {
	if len(d.Readings.X) > row {
		return say("station {%g}", d.Readings.X[row])
	}
	return say("reading {%d} (at {along})", row+1, d.Start+float64(row)*d.Base)
}

// threeFigures writes v to three figures, without an exponent.
func threeFigures(v float64) string {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return strconv.FormatFloat(math.Copysign(short, v), 'f', -1, 64)
}
