// Package reports turns results into what people and programs read: JSON, CSV,
// plain text and one page. The views are the JSON contract: SI units, radians, fixed
// keys, which are the fields' names in small letters where no tag says otherwise: a field
// that is named anew breaks programs that read it.
package reports

import (
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/match"
)

// View is an answer that people and programs read.
type View interface {
	curves() csvTable
	Beside() []Warning // what is told beside it
}

// State is which bed an answer means: as drawn, as found, or after turning.
type State string

const (
	Given   State = "given"   // as the job says
	Found   State = "found"   // as surveys, log and hand tell it
	Planned State = "planned" // as the recommended plan leaves it
)

// Straightness is peak-to-valley about three reference lines (ISO 12780-1
// names the last two LSLI and MZLI), m.
type Straightness struct {
	Ends, LeastSquares, MinimumZone float64
	Low                             float64 // with High: the minimum zone in 95 % of the beds that it may be
	High                            float64
	Sigma                           *float64 `json:",omitempty"` // standard uncertainty of the minimum zone
}

// WayShape is the shape of one way at the x of its parent, with its 95 % band about
// the line through the ends. The
// straightness is the median of those of the beds that it may be, not of the curve.
type WayShape struct {
	Name              string
	Offset            float64
	Height, Low, High []float64
	Straightness      Straightness
}

// Warning is a doubt about an answer: a fact with the numbers that would cure it, one of those
// below, or agree.Finding (surveys that do not agree), ride.TravelTip (a stretch of the stroke that
// was left out) or ride.FootIdle (a foot that carries nothing on a part of the stroke). In JSON
// it is its words.
type Warning any

// FootLifts is a foot that most likely carries nothing.
type FootLifts struct {
	Foot string
	Gap  float64 // m
}

// FootPulls is a foot that stays only because it is held.
type FootPulls struct {
	Foot string
	Load float64 // N, upwards on the bed negative
}

// FootLight is a foot that carries less than it should.
type FootLight struct {
	Foot        string
	Load, Least float64 // N
}

// NotMatched is why an answer takes the feet as the job gives them.
type NotMatched struct{ Because string }

// SurveyDoubt is what makes a survey doubtful.
type SurveyDoubt struct {
	Of    survey.Survey
	Doubt survey.Warning
}

// NothingSurveyed is why there is no plan for a standing.
type NothingSurveyed struct{ Standing string }

// MovedSince is the feet that were moved since a way was last surveyed.
type MovedSince struct {
	Feet      []string
	Unmatched bool // what that did cannot be told
}

// RestIsMetal is that no move of the feet makes it better by more than is known of them, and what is left is told to be metal.
type RestIsMetal struct{}

// PlanDoubt is what a reader must know of a plan, by the planner's own kinds.
type PlanDoubt struct {
	What      plan.Kind
	Feet      []string
	Value, Of float64
}

// MatchDoubt is what was moved, felt or read and all the rest contradicts, by the match's own
// kinds: of a foot or a survey, which another one may fit instead.
type MatchDoubt struct {
	What      match.DoubtKind
	Of, Other string
	Raise     float64     // m, as a move was written
	Size      float64     // m, of the move that fits; or what is left of a survey as a multiple of its noise
	Felt      *match.Felt // nil of moves and surveys
}

// NotSettled is a match whose draws are worth as few independent ones as this.
type NotSettled struct{ Draws float64 }

// NotAsFinished is a way whose metal is out of straight by more than the job says, m.
type NotAsFinished struct {
	Way                   string
	FinishedTo, Low, High float64
}

// OldSurveys is how many surveys are so old that the match does without them.
type OldSurveys struct{ Surveys int }

// IndicatorLeftOut is how many indicator lines of the log are no part of the answer.
type IndicatorLeftOut struct{ Lines int }

// PairsLeftOut is a number of pairs that is fewer than two or than those kept.
type PairsLeftOut struct{ Pairs int }

// GoesLight is a placement of so many feet of which one goes light on the way.
type GoesLight struct {
	Feet        int
	At          float64 // m
	Least, Most float64 // N
}

// NeverUnderTool is a table that never passes under the tool.
type NeverUnderTool struct{ Tool float64 }

// FewBeds is how many beds a range is of that would be of more if these took less work.
type FewBeds struct{ Beds int }

// LoadsShared is rigid feet in a row, or at one place, whose loads are told only together.
type LoadsShared struct{ Feet []string }

// NoWidth is a way of unknown width, NoSideways a vee of which only the heights were
// surveyed, NoDistance two vees surveyed sideways that nothing holds parallel, NoPass a job
// without the depth and time of a pass.
type (
	NoWidth    struct{ Way string }
	NoSideways struct{ Way string }
	NoDistance struct{ Ways [2]string }
	NoPass     struct{}
)

// ScrapedSince is a way that was scraped since it was last surveyed: what came off is
// reckoned by the pass.
type ScrapedSince struct {
	Way    string
	Passes int
}

// Named is a warning about one of several standings or surveys.
type Named struct {
	Of      string
	Warning Warning
}

// about puts a name to warnings.
func about(name string, list []Warning) (out []Warning) {
	for _, w := range list {
		out = append(out, Named{name, w})
	}
	return out
}

func (v Travel) Beside() []Warning { return v.Warnings }
func (v Change) Beside() []Warning { return v.Warnings }
func (v Match) Beside() []Warning  { return v.Warnings }
func (v Adjust) Beside() []Warning { return v.Warnings }
func (v Place) Beside() []Warning  { return v.Warnings }
func (v Blue) Beside() []Warning   { return v.Warnings }
func (v Cut) Beside() []Warning    { return v.Warnings }

func (v Sag) Beside() (list []Warning) {
	for _, st := range v.Standings {
		list = append(list, about(st.Name, st.Warnings)...)
	}
	return list
}

func (v Survey) Beside() (list []Warning) {
	for _, p := range v.Surveys {
		list = append(list, about(p.Name, p.Warnings)...)
	}
	return list
}
