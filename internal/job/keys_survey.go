package job

import (
	"footwork/internal/unit"
	"footwork/survey"
)

const autocollimator, level, heights, crossLevel = string(survey.Autocollimator), string(survey.Level), string(survey.Heights), string(survey.CrossLevel)

// What a survey is read from and by.
var surveyTables = tables("survey", "a set-up: how one way is measured; its readings are the file here and the log's survey lines",
	text("name", "what log and reports call it", "front way").must(),
	text("standing", "in which it was measured", "shop floor").must(),
	text("way", "that was measured", "front").only(autocollimator, level, heights).mustWhen(then),
	oneOf("plane", "height of the way, or yaw of the same carriage", "up and down", "sideways").version(2),
	text("against", "of heights sideways: the vee from which the distance to this way was read, any constant added", "front").or("a line of its own").version(2),
	oneOf("pulled", "on two vees: to which side its gauge was pulled, so that it touched one flank of each", "to neither", "to negative", "to positive").or("to neither: it sat on both flanks").version(2).only(crossLevel),
	oneOf("of", "whose ways: the bed's, or the table's own", "bed", "table").version(2),
	oneOf("instrument", "what takes the readings", autocollimator, level, heights, crossLevel).must(),
	oneOf("stands", "what it stands on; on the bed it tilts along, so that no foot is turned by it", "floor", "bed").version(2).only(autocollimator),
	measure("base", "distance between the carriage's feet, which is the step", "150 mm", between(unit.Length, "5 mm", "10 m")).only(autocollimator, level).mustWhen(then),
	measure("start", "x of the carriage's trailing foot at the first reading", "75 mm", along).or("0 mm").only(autocollimator, level),
	text("reading", `unit of the CSV's readings: "arcsec", "mm/m", …; "div" of a level; a length for heights`, "arcsec").mustWhen("without division"),
	measure("division", "what one division of a level is worth", "0.02 mm/m", between(unit.Slope, "0.1 µm/m", "10 mm/m")).usually("0.5 µm/m", "2 mm/m").only(autocollimator, level, crossLevel).mustWhen(`with reading = "div"`),
	text("x_unit", "unit of the x column", "mm").or("mm, or in of an inch job"),
	truth("doubled", "readings are the beam's angle, twice the mirror's tilt").only(autocollimator),
	gradient.or("the standing's"),
	measure("table_at", "where the table's left end stood", "700 mm", along).or("no table on the bed"),
	measure("uncertainty", `standard uncertainty of one reading: a slope, "0.1 div" of a level, a length for heights`, "0.2 arcsec", between(unit.Slope, "0.0001 arcsec", "10 arcmin")).or("estimated from repeats"),
	text("file", "CSV of its first readings, beside the job file", "front-first.csv").mustWhen("where the log has none"),
	date("date", "of the readings in the file", "2026-03-02"),
	passes("passes of scraping done before"))

// lengthUncertainty is what uncertainty may be where readings are heights.
var lengthUncertainty = between(unit.Length, "0.0001 µm", "10 mm")

func passes(help string) key { return whole("pass", help, 0, 100000, "1") }

var logTable = table("log", "what was done and read, in time order",
	text("file", "CSV beside the job file, one line an act", "bay-2-log.csv").must()).version(2)

// The log of version 1: what it says now stands in a file of its own.
var (
	moveTables = tables("move", "a foot that was moved between surveys",
		text("standing", "in which", "shop floor").must(),
		text("foot", "that was moved", "F2").must(),
		measure("raise", "upwards positive", "20 µm", shift).usually("-2 mm", "2 mm").must(),
		date("date", "of the move", "2026-03-03").mustWhen("without pass"),
		passes("passes of scraping done before")).ofOld()
	feltTables = tables("felt", "what hand, feeler or jack say of a foot",
		text("standing", "in which", "shop floor").must(),
		text("foot", "that was felt", "F2").must(),
		oneOf("state", "how its screw turns", "loose", "tight").mustWhen("without gap and load"),
		measure("gap", "a feeler that just passes", "20 µm", upTo(unit.Length, "10 mm")).usually("0 mm", "1 mm").plusMinus(),
		measure("load", "on a jack with a gauge", "3.1 kN", between(unit.Force, "0 N", "1000 t")).plusMinus(),
		measure("uncertainty", "standard uncertainty of the load", "0.3 kN", load).or("not given"),
		date("date", "of the feeling", "2026-03-03"),
		passes("passes of scraping done before")).ofOld()
)
