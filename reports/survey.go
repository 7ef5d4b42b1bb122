package reports

import "footwork/survey"

// SurveyProfile is one survey reduced. Heights are about the line through the
// ends; for a cross level they are slopes across the bed.
type SurveyProfile struct {
	Name string `json:"name"`
	survey.Subject
	X            []float64    `json:"x"`
	Height       []float64    `json:"height"`
	Sigma        []float64    `json:"sigma"`
	Straightness Straightness `json:"straightness"`
	Gauge        float64      `json:"gauge,omitempty"` // length on which slopes across are also told as heights
	Instrument   string       `json:"instrument,omitempty"`
	Date         string       `json:"date,omitempty"`
	Pass         int          `json:"pass,omitempty"`
	Runs         []RunSpread  `json:"runs,omitempty"`
	Remarks      []string     `json:"remarks,omitempty"` // beside the rows of readings
	Warnings     []Warning    `json:"warnings"`
}

// RunSpread is how one run differs from the mean of all at each reading.
type RunSpread struct {
	Name  string    `json:"name"`
	X     []float64 `json:"x"`
	Value []float64 `json:"value"`
	Unit  string    `json:"unit"` // of the readings
}

// Survey answers `survey`.
type Survey struct {
	Surveys []SurveyProfile `json:"surveys"`
	History []WayHistory    `json:"history,omitempty"` // of ways with two surveys or more
	Diary   []Deed          `json:"diary,omitempty"`   // the lines of the log that count
}

// Deed is a line of the log as it was written.
type Deed struct {
	When  string `json:"when"`
	What  string `json:"what"`
	Where string `json:"where"`
	Value string `json:"value"`
	Note  string `json:"note"`
}

// WayHistory is how one way fared from survey to survey in one standing.
type WayHistory struct {
	survey.Subject
	Marks []Landmark
}

// Moved is what was done to a foot between two surveys.
type Moved struct {
	Foot    string  `json:"foot"`
	Raise   float64 `json:"raise"`
	ToTouch bool    `json:"to_touch,omitempty"` // also turned until it touched, by an unknown amount
	Locked  bool    `json:"locked,omitempty"`
}

// Landmark is one survey of a history.
type Landmark struct {
	survey.Landmark
	Moved []Moved `json:"moved,omitempty"` // feet, since the survey before
}

// Across reports whether the survey is of slopes across the bed.
func (v SurveyProfile) Across() bool { return v.Way == "" }
