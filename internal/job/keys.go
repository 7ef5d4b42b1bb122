package job

import (
	"footwork/internal/unit"
	"footwork/survey"
)

// Sane limits of quantities that stand in several tables: beyond them a number
// or a unit is a slip of the keys.
var (
	along     = within(unit.Length, "200 m") // the bed: onBed says the rest
	across    = within(unit.Length, "10 m")
	extent    = between(unit.Length, "0.1 mm", "10 m")
	load      = between(unit.Force, "0.01 kg", "1000 t")
	modulus   = between(unit.Modulus, "1 GPa", "1000 GPa")
	area      = between(unit.Area, "1 mm2", "100 m2")
	moment    = between(unit.SecondMoment, "1 mm4", "1000 m4")
	stiffness = between(unit.Stiffness, "1 N/mm", "1000 kN/µm")
	line      = between(unit.LineStiffness, "1 N/mm/m", "1000 kN/µm/m")
	straight  = between(unit.Length, "0.01 µm", "5 mm")
	slope     = between(unit.Angle, "5°", "85°")
	warmer    = within(unit.TempDiff, "12 K").orElse(`write by how much the top is warmer than the bottom, not a temperature: a top of 68.5 °F over a bottom of 68.0 °F is "0.5 °F"`)
	shift     = within(unit.Length, "50 mm") // of a foot, up or down
)

// Tables that stand in several places.
var (
	leftEnd  = measure("from", "left end, along the bed", "0 mm", along).must()
	rightEnd = measure("to", "right end, along the bed", "3900 mm", along).must()

	plates = tables("plates", "upright rectangles seen from the end; cells, cracks and overlaps are seen from them",
		measure("width", "across the bed", "32 mm", extent).must(),
		measure("height", "upright", "420 mm", extent).must(),
		measure("offset", "of its middle, across the bed", "-240 mm", across).or("0 mm"),
		measure("bottom", "height of its lower edge above the underside", "0 mm", upTo(unit.Length, "10 m")).or("0 mm")).inOneLine()
	closed = truth("closed", "whether the plates make a closed cell; it is seen from the plates and only held against them").ofOld()

	weightKeys = []key{
		text("name", "what reports call it", "drive gearbox"),
		measure("at", "along the bed", "3500 mm", along).must(),
		measure("offset", "across the bed", "0 mm", across).or("0 mm"),
		measure("weight", "of it", "160 kg", load).must(),
	}
	flanks = measures("flanks", "slopes to the level of the two flanks, towards negative and positive offset", `["45°", "45°"]`, slope).exactly(2).version(2)
)

// gradient is a difference of temperature over the casting's depth, and how well it is known without ±.
func gradient(known string) key {
	return measure("gradient", "top minus bottom of the casting; without ± "+known, "0.30 K ± 0.05 K", warmer).plusMinus().usually("-4 K", "4 K")
}

// jobTable is the whole job file.
var jobTable = table("", "one bed: what it is made of, how it stood and stands, how it is measured, how far its feet may be moved",
	text("title", "what reports call the job", "Surface grinder bed, bay 2"),
	oneOf("units", "what reports print first", unit.Metric.String(), unit.Inches.String()),
	bedTable.must(), wayTables.must(), masterTables, tableTable, standingTables.must(),
	surveyTables, logTable, moveTables, feltTables,
	adjustTable, floorTable, placeTable, cutTable)

var bedTable = table("bed", "the casting",
	measure("length", "end to end", "3900 mm", between(unit.Length, "10 cm", "100 m")).usually("25 cm", "40 m").must(),
	text("material", "of the table of materials; or give modulus, shear_modulus, density, expansion", "grey iron 30").mustWhen("without modulus"),
	measure("modulus", "of elasticity, E", "100 GPa", modulus).usually("25 GPa", "250 GPa").or("the material's"),
	measure("shear_modulus", "G", "40 GPa", between(unit.Modulus, "0.4 GPa", "500 GPa")).or("in the material's proportion to modulus").mustWhen("without material"),
	measure("density", "of the metal", "7150 kg/m3", between(unit.Density, "100 kg/m3", "25000 kg/m3")).usually("1500 kg/m3", "9000 kg/m3").or("the material's").mustWhen("without material"),
	measure("expansion", "by heat", "11e-6 /K", upTo(unit.Expansion, "1e-4 /K")).usually("3e-6 /K", "3e-5 /K").or("the material's").mustWhen("without material"),
	measure("weighed", "weight of the casting alone, ribs included, if it was weighed; held against plates and ribs", "2.1 t ± 0.1 t", load).plusMinus().or("density times volume"),
	tables("section", "stretches of one shape; they follow one another and cover the bed end to end",
		leftEnd, rightEnd, plates, closed,
		measure("area", "in place of plates, the constants themselves: A", "380 cm2", area).mustWhen("without plates"),
		measure("inertia", "I about the level axis", "150000 cm4", moment).mustWhen("without plates"),
		measure("shear_area", "κA", "200 cm2", area).mustWhen("without plates"),
		measure("torsion", "J; beside plates, in place of what plates and ribs give", "3000 cm4", moment).mustWhen("without plates"),
		measure("warping", "I_ω; beside plates, in place of what they give", "0.009 m6", upTo(unit.Warping, "1000 m6")).or("the plates', or 0 m6").version(2),
		measure("depth", "over which top and bottom differ in temperature", "480 mm", extent).mustWhen("without plates"),
		measure("offset", "of the middle of the area, across the bed", "0 mm", across).or("0 mm")).must(),
	tables("rib", "plates standing up between the walls; one, or a row",
		measure("at", "of a single rib, along the bed", "450 mm", along).mustWhen("without from, to and every"),
		measure("from", "left end of a row", "0 mm", along).mustWhen("without at"),
		measure("to", "right end of a row", "3900 mm", along).mustWhen("without at"),
		measure("every", "pitch of a row", "450 mm", between(unit.Length, "1 cm", "100 m")).mustWhen("without at"),
		oneOf("kind", "square to the bed, or slanting from wall to wall over one pitch, zigzag", "cross", "diagonal"),
		measure("thickness", "of the plate", "20 mm", extent).must(),
		measure("height", "upright; a bar that lies flat is less high than it is thick", "360 mm", extent).must(),
		measure("bottom", "height of its lower edge above the underside", "0 mm", upTo(unit.Length, "10 m")).or("0 mm"),
		measures("between", "offsets of the two walls that it joins", `["-240 mm", "240 mm"]`, across).exactly(2).or("the outermost walls"),
		measure("hole", "diameter of an opening in it", "180 mm", extent).or("no hole")).version(2),
	tables("weight", "what is always bolted to the bed", weightKeys...))

var wayTables = tables("way", "a guiding surface along the whole bed",
	text("name", "what surveys and reports call it", "front").must(),
	measure("offset", "of its middle, across the bed", "-250 mm", across).must(),
	measure("width", "of the bearing surface, for scraping", "110 mm", extent).usually("5 mm", "60 cm").or("not known"),
	measure("finished_to", "straightness, peak to valley, to which it was last ground or scraped in the standing that after names", "3 µm", straight).usually("0.3 µm", "0.1 mm").or("not known").version(2),
	oneOf("shape", "of its cross-section", "flat", "vee").version(2),
	flanks.or("45° both").only("vee"),
	truth("inverted", "whether it is a ridge and not a groove").version(2).only("vee"),
	tables("leave_out", "stretches that are neither cut nor bear: joints, oil grooves, overhanging ends",
		text("name", "what reports call it", "joint").must(), leftEnd, rightEnd).inOneLine().version(2))

var masterTables = tables("master", "what is blued and laid on the ways; the table is one without being named here",
	text("name", "what log and reports call it", "two-metre edge").must(),
	measure("length", "of its face", "2 m", between(unit.Length, "1 cm", "20 m")).usually("5 cm", "8 m").must(),
	measure("depth", "of an iron edge, whose radius of gyration is taken as 0.35 of it", "220 mm", extent).mustWhen("without weight and inertia"),
	measure("weight", "of it", "60 kg", load).or("of iron of this depth"),
	measure("modulus", "E", "100 GPa", modulus).or("100 GPa, iron"),
	measure("inertia", "I about the level axis", "4000 cm4", moment).or("of iron of this depth"),
	flanks.or("a flat edge, for flats"),
	text("form", "CSV of its own face: heights at x from its left end, in µm, or thou of an inch job, where the head of the column gives no unit", "edge.csv").or("straight"),
	table("carried", "part of its weight that hangs on a balance",
		measures("at", "where it hangs, along the master", `["440 mm", "1560 mm"]`, between(unit.Length, "0 mm", "20 m")).exactly(2).must(),
		measure("share", "of its weight", "80 %", between(unit.Share, "1 %", "99 %")).must()).or("laid down with all of it").inOneLine(),
	measure("film", "thickness of the blue", "middling", between(unit.Length, "0.1 µm", "100 µm")).or("2.5 µm").
		meaning(mark{"thin", "1 µm"}, mark{"middling", "2.5 µm"}, mark{"heavy", "6 µm"}),
	measure("stroke", "how far it is moved while printing", "20 mm", upTo(unit.Length, "2 m")).or("20 mm")).version(2)

var tableTable = table("table", "what rides on the ways",
	measure("length", "along the bed", "2400 mm", between(unit.Length, "1 cm", "100 m")).must(),
	measure("weight", "with what it carries", "1.3 t", load).must(),
	measure("tool", "where along the bed the cutter or wheel stands", "1950 mm", along).or("the middle of the bed"),
	measure("offset", "of its centre of weight, across the bed", "0 mm", across).or("0 mm"),
	table("stroke", "how far its left end travels, along the bed",
		measure("from", "its left end furthest left", "-300 mm", along).must(),
		measure("to", "its left end furthest right", "1800 mm", along).must()).or("as far as it cannot tip; every answer says so").inOneLine(),
	measure("modulus", "of a flexible table, E", "100 GPa", modulus).or("the table is stiff").mustWhen("with inertia or plates"),
	measure("inertia", "of a flexible table, I about the level axis", "9000 cm4", moment).or("the plates', or the table is stiff"),
	plates, closed,
	measure("contact", "stiffness of the scraped, oiled contact, per length of one way", "4 kN/µm/m", line).mustWhen("with modulus"))

var standingTables = tables("standing", "one way in which the bed was or is supported, loaded and warmed",
	text("name", "what the rest of the file calls it", "shop floor").must(),
	text("after", "the standing in which the ways were last made straight", "on the grinding table").or("none"),
	gradient("a guess, to 0.5 K").or("0 K"),
	truth("over", "the bed will not stand so again: nothing is advised that needs it").version(2),
	text("like", "a standing above that this one is like; shares what is not said here", "shop floor").or("none").version(2),
	texts("feet", "feet of that standing on which it still stands, [] for none of them; all others are let down clear", `["F1", "B1"]`).orEmpty().or("all of them").version(2),
	tables("foot", "a place where the bed is held up",
		text("name", "what log and reports call it", "F1").must(),
		measure("at", "along the bed", "250 mm", along).must(),
		measure("offset", "across the bed", "-240 mm", across).must(),
		measure("height", "where its top stands, relative to the other feet", "20 µm", shift).usually("-2 mm", "2 mm").or("0 mm"),
		measure("stiffness", "of screw, foot and floor; the casting's own give is added", "0.9 kN/µm", stiffness).plusMinus().usually("20 N/µm", "20 kN/µm").must(),
		text("adjust", `how it is moved: "screw M20x1.5", "screw 3/4-10", "screw 2 mm" (rise per turn), "shim", "fixed"`, "screw M20x1.5").or("by any amount"),
		measure("wrench", "spanner length: moves are also given as the swing of its end", "300 mm", between(unit.Length, "2 cm", "5 m")).usually("8 cm", "2 m").or("not given"),
		measure("length", "of its pad along the bed", "80 mm", upTo(unit.Length, "10 m")).or("0 mm, as long as the wall's flange is wide"),
		truth("held", "bolted down: it pulls as well as pushes"),
		measure("rated", "no plan, step or experiment loads it beyond", "15 kN", between(unit.Force, "1 N", "10000 kN")).or(noLimit).version(2),
		table("left", "thread that is left, counted down by the log",
			measure("up", "it can still be raised by", "6 mm", upTo(unit.Length, "500 mm")).or(noLimit),
			measure("down", "it can still be lowered by", "4 mm", upTo(unit.Length, "500 mm")).or(noLimit)).or(noLimit).inOneLine().version(2)),
	tables("bearing", "continuous support under the bed: a grinding machine's table, a grouted edge",
		leftEnd, rightEnd,
		measure("offset", "across the bed", "-240 mm", across).must(),
		measure("stiffness", "per length of bed", "rigid", line).must(),
		truth("held", "a magnet or clamps: it pulls as well as pushes")),
	tables("weight", "what this standing carries besides the bed", weightKeys...))

var adjustTable = table("adjust", "how far the feet may be moved and what is wanted",
	text("standing", "where the feet are to be moved", "shop floor").mustWhen("when several standings have surveys"),
	oneOf("aim", "least zone, or every foot carries what it does on level feet and the rest is left to the scraper", "straight", "at rest").version(2),
	oneOf("allow", "side of a straight line on which a way may lie", "either", "high only", "low only"),
	measure("crown", "wanted form over the way's length, middle high positive", "2 µm", within(unit.Length, "5 mm")).usually("-0.2 mm", "0.2 mm").or("0 µm"),
	measure("tolerance", "straightness wanted of each way", "8 µm", straight).usually("0.3 µm", "0.5 mm").or("until the next gain is below its own uncertainty"),
	measure("least_load", "no foot may carry less than this share of the mean foot load", "15 %", between(unit.Share, "0 %", "95 %")).usually("2 %", "60 %").or("0 %"),
	measure("most_move", "the furthest any foot may be moved", "0.25 mm", between(unit.Length, "1 µm", "50 mm")).usually("5 µm", "5 mm").or(noLimit),
	measure("twist", "slope across the ways that may change so much from end to end", "0.02 mm/m", between(unit.Slope, "0.1 µm/m", "10 mm/m")).usually("1 µm/m", "1 mm/m").or("not asked for").version(2),
	measure("gauge", "length of the level or bridge across the ways, on which the twist is also told as a height", "600 mm", between(unit.Length, "1 cm", "10 m")).or("the distance between the outer ways").version(2),
	measures("shims", "leaves at hand", `["0.02 mm", "0.05 mm"]`, between(unit.Length, "1 µm", "50 mm")).usually("5 µm", "5 mm").or("any thickness"),
	measure("indicator", "resolution of an indicator that can stand beside a foot", "1 µm", between(unit.Length, "0.01 µm", "0.1 mm")).or("none").version(2),
	oneOf("by", "a move ends when the instrument shows it, or by the angle alone", "reading", "angle").or("reading, where there is an instrument").version(2))

var floorTable = table("floor", "how wrong feet are where nobody has adjusted them yet",
	measure("height_sd", "standard deviation of their heights", "0.1 mm", between(unit.Length, "0.1 µm", "50 mm")).usually("1 µm", "5 mm").or("0.1 mm"),
	factor("stiffness_factor", "one standard deviation of their stiffness: times or divided by this", 1, 100, "2").usually("1.05", "5"))

var placeTable = table("place", "where feet may go",
	numbers("feet", "how many pairs to consider", 2, 20, "[3, 4, 5]").must(),
	measures("offsets", "a pair stands at these offsets", `["-240 mm", "240 mm"]`, across).must(),
	tables("zones", "stretches where a foot may go", leftEnd, rightEnd).or("anywhere").inOneLine(),
	measure("apart", "the least distance between neighbours", "300 mm", upTo(unit.Length, "100 m")).or("0 mm"),
	tables("foot", "a foot that stays where it is",
		text("name", "what reports call it", "F1"),
		measure("at", "along the bed", "250 mm", along).must(),
		measure("offset", "across the bed", "-240 mm", across).must(),
		measure("stiffness", "of foot and floor", "0.9 kN/µm", stiffness).or("rigid"),
		truth("keep", "that it stays").must()))

var cutTable = table("cut", "how metal comes off",
	text("straight_in", "the standing in which the ways must be straight", "shop floor").or("the survey's own"),
	text("datum", `where metal is unworn: "ends", "middle", or from and to: "0 mm to 300 mm"`, "ends").or("the lowest line that removal reaches").version(2),
	measure("depth_per_pass", "that a pass takes off, until a cut pad has shown it", "3 µm", straight).usually("0.3 µm", "0.1 mm").must(),
	measure("time_per_pass", "of one way", "50 min", between(unit.Time, "0.1 min", "1000 h")).usually("1 min", "24 h").must(),
	measure("table_at", "where the table's left end then stands", "700 mm", along).or("no table on the bed"),
	measure("may_sink", "how far the table may come down until rack, nut or keeps no longer reach, the least of them", "0.5 mm", between(unit.Length, "1 µm", "50 mm")).or("not known").version(2),
	measure("table_sinks", "by what is cut from the table's own ways, less what its liners add", "0.1 mm", within(unit.Length, "50 mm")).or("0 mm").version(2),
	table("marks", "how stations are chalked on the casting",
		oneOf("from", "end from which they are counted", "left", "right"),
		measure("every", "pitch of numbered marks, the first at that end", "150 mm", between(unit.Length, "1 cm", "10 m")).or("lengths, not numbers")).or("lengths from the left end").inOneLine().version(2))

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
	gradient("measured, to 0.1 K").or("the standing's"),
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
