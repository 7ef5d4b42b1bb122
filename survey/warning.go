package survey

// WarningKind is what a survey's runs, or its file, say of its worth.
type WarningKind string

const (
	Drifted        WarningKind = "drifted"          // the zero, steadily by Size from the first reading out to the last back; the mean is free of it
	Parted         WarningKind = "parted"           // Run comes to read Size more than Than, steadily; the mean may be bowed by Bow
	Knocked        WarningKind = "knocked"          // Run reads Size more than Than from Row on
	Misread        WarningKind = "misread"          // Run reads Size more than Than at Row alone
	Shifted        WarningKind = "shifted"          // Run reads Size more than Than throughout: Apart at the far end; bowed by Bow if it was drift
	TurnedSign     WarningKind = "turned sign"      // Run has the opposite sign of Than
	OtherScale     WarningKind = "other scale"      // Run reads Size times as much as Than
	WalkedOrder    WarningKind = "walked order"     // Run fits Than in the opposite order of rows: a zone of Size as written, of Other if so
	Scattered      WarningKind = "scattered"        // the runs scatter by Size, more than the Other given, and that is used
	Overstated     WarningKind = "overstated"       // the runs scatter by Size, far less than the Other given
	AssumedNoise   WarningKind = "assumed noise"    // one run does not tell it: Size is assumed
	CopiedRun      WarningKind = "copied run"       // the runs agree in every digit: Size is assumed
	ManyStations   WarningKind = "many stations"    // of Other stations one in Size is reckoned with
	StepUnlikeBase WarningKind = "step unlike base" // stations are Size apart, the carriage's feet Other
)

// Warning is a fact about a survey that makes it doubtful, with its numbers. Sizes
// are SI: rad of tilt or m of height for readings.
type Warning struct {
	Kind  WarningKind
	Run   string // that departs
	Than  string // the run it departs from; "" for the mean of the others
	Row   int    // of readings, from 0
	Size  float64
	Other float64
	Bow   float64 // m, what the mean may be bowed by
	Apart float64 // m, between the profiles of the two at the far end
}

// ErrorKind is why a survey cannot be reduced.
type ErrorKind string

const (
	TooFewRows   ErrorKind = "too few rows"  // Value of them
	NoStations   ErrorKind = "no stations"   // heights or cross slopes without a column x
	TooSteep     ErrorKind = "too steep"     // Run at Row reads Value, rad
	StationTwice ErrorKind = "station twice" // Value, as written
	StationBack  ErrorKind = "station back"  // Value comes after Other, as written
	StationApart ErrorKind = "station apart" // Value comes after Other, not a step First on
)

// Error is what keeps a survey from making a profile.
type Error struct {
	Kind                ErrorKind
	Survey              string
	Row                 int // of readings, from 0; −1: the survey as a whole
	Run                 string
	Value, Other, First float64
}

func (e *Error) Error() string { return "survey " + e.Survey + ": " + string(e.Kind) }
