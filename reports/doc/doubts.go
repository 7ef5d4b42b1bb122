package doc

import (
	"cmp"
	"fmt"
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
		return say("the zero drifted steadily by ", d.size(w.Size), " between the first reading out and the last back; the mean of the two is free of it")
	case survey.Parted:
		out := say(w.Run, " comes to read ", d.excess(w.Size), " than ", than, ", steadily from the first row to the last: one of them drifted")
		out = append(out, also(w.Bow > 0, ", and the mean may be bowed by ", q(Height, w.Bow)))
		return append(out, "; measure out and back")
	case survey.Knocked:
		return say(w.Run, " reads ", d.excess(w.Size), " than ", than, " from ", d.place(w.Row), " on: a knock there, which the mean only shares out; read from there again, or take the wrong run out")
	case survey.Misread:
		return say(w.Run, " reads ", d.excess(w.Size), " than ", than, " at ", d.place(w.Row), " alone: misread or mistyped; read it again, or put the cell right")
	case survey.Shifted:
		return d.shifted(w, than)
	case survey.TurnedSign:
		return say(w.Run, " has the opposite sign of ", than, ": turn its signs in the CSV (a level turned end for end, a mirror that faces the other way)")
	case survey.OtherScale:
		return say(w.Run, " reads ", threeFigures(w.Size), " times as much as ", than, ": use one unit for all runs, and in all of them either the mirror's tilt or the beam's")
	case survey.WalkedOrder:
		return d.walked(w, than)
	}
	return d.noise(w)
}

// doubted words what concerns one survey.
type doubted struct{ survey.Survey }

func (d doubted) shifted(w survey.Warning, than string) Text {
	out := say(w.Run, " reads ", d.excess(w.Size), " than ", than, " throughout: it only tilts the profile")
	out = append(out, also(w.Apart > 0, " (at the far end the two are ", q(Height, w.Apart), " apart)"))
	out = append(out, also(w.Bow > 0, "; but if the zero drifted by this much in each run, it is bowed by ", q(Height, w.Bow), ": measure out and back"))
	return out
}

func (d doubted) walked(w survey.Warning, than string) Text {
	out := say(w.Run, " agrees with ", than, " when its rows are turned round, and not as they stand")
	out = append(out, also(w.Size > 0, ": the way is ", q(Height, w.Size), " out of straight with the rows as they stand, ", q(Height, w.Other), " with them turned round"))
	return append(out, ". Was it written down in the order walked? Then turn its rows round in the CSV, so that each row is one station; until then only ", than, " is used")
}

func (d doubted) noise(w survey.Warning) Text {
	switch w.Kind {
	case survey.Scattered:
		return say("the runs scatter by ", d.size(w.Size), ", more than the uncertainty given, ", d.size(w.Other), ", and the scatter is used: look for air, vibration or a loose mirror, or put uncertainty right")
	case survey.Overstated:
		return say("the runs scatter by ", d.size(w.Size), " only, and the uncertainty given is ", d.size(w.Other), ": look at its unit")
	case survey.AssumedNoise:
		return say("one run does not tell its own uncertainty; ", d.size(w.Size), " is taken for one reading: add a second run, better out and back, or give uncertainty")
	case survey.CopiedRun:
		return say("the runs agree in every digit, as a copied column does, and do not tell their uncertainty; ", d.size(w.Size),
			" is taken for one reading: add a second run, better out and back, or give uncertainty")
	case survey.ManyStations:
		return say(fmt.Sprintf("has %.0f stations, of which one in %.0f is used: heights between them are left out", w.Other, w.Size))
	case survey.StepUnlikeBase:
		return say("the stations are ", q(Along, w.Size), " apart but the carriage's feet ", q(Along, w.Other), ": step by the base, or put base right")
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
	return say(d.size(math.Abs(v)), pick(v < 0, " less", " more"))
}

// place names a row of readings, by the file's own number if it has one.
func (d doubted) place(row int) Text {
	if len(d.Readings.X) > row {
		return say(fmt.Sprintf("station %g", d.Readings.X[row]))
	}
	return say(fmt.Sprintf("reading %d (at ", row+1), q(Along, d.Start+float64(row)*d.Base), ")")
}

// threeFigures writes v to three figures, without an exponent.
func threeFigures(v float64) string {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return strconv.FormatFloat(math.Copysign(short, v), 'f', -1, 64)
}
