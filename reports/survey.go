package reports

import "footwork/survey"

// SurveyProfile is one survey reduced. Heights are about the line through the
// ends; for a cross level they are slopes across the bed.
type SurveyProfile struct {
	Name string
	survey.Subject
	X, Height, Sigma []float64
	Straightness     Straightness
	Gauge            float64     `json:",omitempty"` // length on which slopes across are also told as heights
	Instrument       string      `json:",omitempty"`
	Date             string      `json:",omitempty"`
	Pass             int         `json:",omitempty"`
	Runs             []RunSpread `json:",omitempty"`
	Remarks          []string    `json:",omitempty"` // beside the rows of readings
	Warnings         []Warning
}

// RunSpread is how one run differs from the mean of all at each reading.
type RunSpread struct {
	Name     string
	X, Value []float64
	Unit     string // of the readings
}

// Survey answers `survey`.
type Survey struct {
	Surveys []SurveyProfile
	History []WayHistory `json:",omitempty"` // of ways with two surveys or more
	Diary   []Deed       `json:",omitempty"` // the lines of the log that count
}

// Deed is a line of the log as it was written.
type Deed struct {
	When, What, Where, Value, Note string
}

// WayHistory is how one way fared from survey to survey in one standing.
type WayHistory struct {
	survey.Subject
	Marks []Landmark
}

// Moved is what was done to a foot between two surveys.
type Moved struct {
	Foot    string
	Raise   float64
	ToTouch bool `json:",omitempty"` // also turned until it touched, by an unknown amount
	Locked  bool `json:",omitempty"`
	Again   bool `json:",omitempty"` // the bed stood without it meanwhile
}

// Landmark is one survey of a history.
type Landmark struct {
	survey.Landmark
	Moved []Moved `json:",omitempty"` // feet, since the survey before
}

// Across reports whether the survey is of slopes across the bed.
func (v SurveyProfile) Across() bool { return v.Way == "" }
