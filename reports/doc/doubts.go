package doc

import (
	"cmp"
	"math"
	"strconv"

	"footwork/survey"
)

// doubtWords say what makes a survey doubtful.
var doubtWords = map[survey.WarningKind]string{
	survey.Drifted:        "the zero drifted steadily by {Read} between the first reading out and the last back; the mean of the two is free of it",
	survey.Parted:         "{Run} comes to read {Excess} than {Than}, steadily from the first row to the last: one of them drifted‹, and the mean may be bowed by {Bow height}›; measure out and back",
	survey.Knocked:        "{Run} reads {Excess} than {Than} from {Place} on: a knock there, which the mean only shares out; read from there again, or take the wrong run out",
	survey.Misread:        "{Run} reads {Excess} than {Than} at {Place} alone: misread or mistyped; read it again, or put the cell right",
	survey.Shifted:        "{Run} reads {Excess} than {Than} throughout: it only tilts the profile‹ (at the far end the two are {Apart height} apart)›‹; but if the zero drifted by this much in each run, it is bowed by {Bow height}: measure out and back›",
	survey.TurnedSign:     "{Run} has the opposite sign of {Than}: turn its signs in the CSV (a level turned end for end, a mirror that faces the other way)",
	survey.OtherScale:     "{Run} reads {Times} times as much as {Than}: use one unit for all runs, and in all of them either the mirror's tilt or the beam's",
	survey.WalkedOrder:    "{Run} agrees with {Than} when its rows are turned round, and not as they stand‹: the way is {Size height} out of straight with the rows as they stand, {Other height} with them turned round›. Was it written down in the order walked? Then turn its rows round in the CSV, so that each row is one station; until then only {Than} is used",
	survey.Scattered:      "the runs scatter by {Read}, more than the uncertainty given, {Given}, and the scatter is used: look for air, vibration or a loose mirror, or put uncertainty right",
	survey.Overstated:     "the runs scatter by {Read} only, and the uncertainty given is {Given}: look at its unit",
	survey.AssumedNoise:   "one run does not tell its own uncertainty; {Read} is taken for one reading: add a second run, better out and back, or give uncertainty",
	survey.CopiedRun:      "the runs agree in every digit, as a copied column does, and do not tell their uncertainty; {Read} is taken for one reading: add a second run, better out and back, or give uncertainty",
	survey.ManyStations:   "has {Other %.0f} stations, of which one in {Size %.0f} is used: heights between them are left out",
	survey.StepUnlikeBase: "the stations are {Size along} apart but the carriage's feet {Other along}: step by the base, or put base right",
}

// doubt words a fact about a survey that makes it doubtful, in the unit of its
// readings and, for places and heights, in those of the reader.
func doubt(s survey.Survey, w survey.Warning) Text {
	w.Than = cmp.Or(w.Than, "the others")
	d := doubted{s}
	return tell(doubtWords[w.Kind], struct {
		survey.Warning
		Read, Given   Quantity
		Excess, Place Text
		Times         string
	}{w, d.size(w.Size), d.size(w.Other), d.excess(w.Size), d.place(w.Row), threeFigures(w.Size)})
}

// doubted words what concerns one survey.
type doubted struct{ survey.Survey }

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
