package job

// act is what there is to know of one kind of line of the log.
type act struct {
	what, where string
	values      []string // examples
	help        string
}

// acts are the lines that a log may have.
var acts = []act{
	{"survey", "a survey's name", []string{"front-2.csv"}, "its set-up again, with new readings"},
	{"set up", "a survey's name", nil, "the instrument was moved or knocked: a new zero"},
	{"read", "a survey and a place: front way at 225 mm", []string{"-2.1"}, "one reading, in the survey's own unit; the reflector or level is left standing there"},
	{"turn", "a foot", []string{"up 25 µm", "down 9°", "up 1 flat", "to touch"}, "what the hand meant to do"},
	{"shim", "a foot", []string{"in 0.05 mm", "out 0.02 mm"}, "leaves laid in or taken out"},
	{"lock", "a foot", nil, "its lock nut was tightened"},
	{"indicator", "a foot, or a way and place", []string{"up 12.5 µm"}, "change of height seen since the last line of that place"},
	{"feel", "a foot", []string{"free", "nips", "solid"}, "how its screw turns, or a 0.03 mm foil"},
	{"gap", "a foot", []string{"20 µm"}, "a feeler that just passes"},
	{"load", "a foot", []string{"3.1 kN ± 0.3 kN"}, "on a jack with a gauge"},
	{"bolts", "a foot, or all", []string{"slack", "tight"}, "holding-down bolts"},
	{"table", "", []string{"at 700 mm", "off"}, "where the table is parked"},
	{"heat", "", []string{"0.30 K ± 0.05 K", "18.43/18.31, 18.40/18.33 °C"}, "top minus bottom; or top/bottom, then with the thermometers exchanged"},
	{"scrape", "a way, or a flank of it", []string{"3 passes", "900..1500 mm 2 passes, 6.4 µm", "pad 12 µm in 4 passes"}, "metal was cut; the level at the marks, or a small pad, shows how deep"},
	{"print", "a way", []string{"two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner"}, "what took colour: bright, black or grey; inner, outer or full width"},
	{"hinge", "a way", []string{"third, quarter"}, "where the master swings when nudged at its left and its right end: middle, third, quarter, end, or a length"},
	{"void", "the time and act of a line above: 2026-03-02 08:40 turn F2", nil, "that line was wrong and does not count"},
	{"who", "", []string{"day shift"}, "kept, and shown in the history"},
	{"note", "", []string{"coolant was drained"}, "kept, and shown in the history"},
}
