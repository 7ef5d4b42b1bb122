// Package log is the diary of a bed: what was done to it and read on it, one act
// a line, in time order. It reads the file (Bed.Read), adds lines to it (File) and
// tells how the bed stood at every act (Bed.History).
//
// Values are SI: heights and places in metres, slopes in radians, forces in
// newtons, gradients in kelvin.
package log

// What is the kind of an act, as the column what names it.
type What string

const (
	Survey    What = "survey"    // a set-up again, its readings in File
	SetUp     What = "set up"    // the instrument was moved or knocked: a new zero
	Read      What = "read"      // one reading, Value, at At
	Turn      What = "turn"      // a foot raised by Value, or until it just touches
	Shim      What = "shim"      // a foot raised by Value with leaves
	Lock      What = "lock"      // a foot's lock nut was tightened
	Came      What = "came"      // a foot is raised by Value since its standing was surveyed, or it touched, or its last such line: what was read since tells it
	Indicator What = "indicator" // the change of height, Value, of a foot or a place on a way
	Feel      What = "feel"      // how a foot's screw turns
	Gap       What = "gap"       // a feeler of Value just passes under a foot
	Load      What = "load"      // a foot carries Value by a jack with a gauge
	Bolts     What = "bolts"     // holding-down bolts of a foot, or of all
	Table     What = "table"     // where the table is parked, its left end At
	Heat      What = "heat"      // top minus bottom of the casting, Value
	Scrape    What = "scrape"    // metal was cut
	Print     What = "print"     // what took colour
	Hinge     What = "hinge"     // where a master swings when nudged
	Void      What = "void"      // an earlier line was wrong and does not count
	Who       What = "who"
	Note      What = "note"

	StoodAgain What = "stood again" // no line says it: a foot was let down and raised again, nobody knows how far
)

// Touching tells whether an act may change how the bed stands on its feet.
func (w What) Touching() bool {
	return w == Turn || w == Shim || w == Lock || w == Bolts || w == StoodAgain
}

// Touch is how a foot's screw turns, or a thin foil under it.
type Touch string

const (
	Free  Touch = "free"  // it carries nothing
	Nips  Touch = "nips"  // it just touches
	Solid Touch = "solid" // it carries
)

// Act is one line of the log. Which fields say something depends on What.
type Act struct {
	Line int // of the file, from 1; 0: not from the log
	Row  int // line of the job file, of what that says was done or read
	When Moment
	What What
	Pass *int // of a row of a job file that knows no day: scraping passes done before it

	Standing string // of the survey, or where the foot is at home
	Survey   string
	Foot     string // "" with Bolts: all of them
	Way      string
	Flank    int     // of a vee, towards negative or positive offset: −1, 1; 0: all of the way
	At       float64 // m along the bed: of a reading (trailing foot), an indicator on a way, the table

	Value   float64 // SI: rise (up positive), reading (rad of tilt, or m), gap, load, gradient
	Sigma   float64 // its standard uncertainty as written; 0: not given
	ToTouch bool    // the turn ended where the foot just touches; Value is not known
	Feel    Touch
	Off     bool // the table is off the bed

	Passes   int     // of scraping
	From, To float64 // m, where; both 0: all of the way
	Depth    float64 // m that the passes took off together; 0: not measured
	Pad      bool    // they cut a small pad, and not the way

	Master  string                             // of a print or hinge; "" when not named
	Film    float64                            // m, of the blue; 0: as the job has it
	Stroke  float64                            // m, the same
	By      string                             // of a print: who was named last before it
	Marks   []Mark                             // of a print
	Swings  [2]struct{ Share, Length float64 } // of a hinge, nudged at the left and at the right end: where it swings, from the end that stays
	File    string                             // of a survey, as written
	Text    string                             // of who and note
	Voids   int                                // the line that does not count
	Written Line                               // as it stands in the file
}

// Mark is a length of a way that took colour.
type Mark struct {
	From, To float64 // m along the bed
	Across   string  // "inner", "outer" or "full"
}
