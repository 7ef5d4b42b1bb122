package reports

import (
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/match"
)

// Warning is a doubt about an answer: a fact with the numbers that would cure it, one of those
// below, or agree.Finding (surveys that do not agree), ride.TravelTip (a stretch of the stroke that
// was left out) or ride.FootIdle (a foot that carries nothing on a part of the stroke). In JSON
// it is its words. Lengths and places are in m, forces in N.
type Warning any

// How it stands.
type (
	// FootLifts is a foot that most likely carries nothing.
	FootLifts struct {
		Foot string
		Gap  float64
	}
	// FootPulls is a foot that stays only because it is held.
	FootPulls struct {
		Foot string
		Pull float64 // of the foot, downwards on the bed
	}
	// FootLight is a foot that carries less than it should.
	FootLight struct {
		Foot        string
		Load, Least float64
	}
	// LoadsShared is rigid feet in a row, or at one place, whose loads are told only together.
	LoadsShared struct{ Feet []string }
	// NeverUnderTool is a table that never passes under the tool.
	NeverUnderTool struct{ Tool float64 }
	// FewBeds is how many beds a range is of that would be of more if these took less work.
	FewBeds struct{ Beds int }
	// PairsLeftOut is a number of pairs that is fewer than two or than those kept.
	PairsLeftOut struct{ Pairs int }
	// GoesLight is a placement of so many feet of which one goes light on the way.
	GoesLight struct {
		Feet            int
		At, Least, Most float64
	}
)

// What was measured, and what it tells.
type (
	// NotMatched is why an answer takes the feet as the job gives them.
	NotMatched struct{ Because string }
	// SurveyDoubt is what makes a survey doubtful.
	SurveyDoubt struct {
		Of    survey.Survey
		Doubt survey.Warning
	}
	// NothingSurveyed is why there is no plan for a standing.
	NothingSurveyed struct{ Standing string }
	// MovedSince is the feet that were moved since a way was last surveyed.
	MovedSince struct {
		Feet      []string
		Unmatched bool // what that did cannot be told
	}
	// WayUnseen is a way that a plan moves and nobody surveyed.
	WayUnseen struct{ Way string }
	// RestIsMetal is that no move of the feet makes it better by more than is known of them, and what is left is told to be metal.
	RestIsMetal struct{}
	// PlanDoubt is what a reader must know of a plan, by the planner's own kinds.
	PlanDoubt struct {
		What      plan.Kind
		Feet      []string
		Value, Of float64
	}
	// MatchDoubt is what was moved, felt or read and all the rest contradicts, by the match's own
	// kinds: of a foot or a survey, which another one may fit instead.
	MatchDoubt struct {
		What      match.DoubtKind
		Of, Other string
		Raise     float64     // as a move was written
		Size      float64     // of the move that fits; or what is left of a survey as a multiple of its noise
		Felt      *match.Felt // nil of moves and surveys
	}
	// NotSettled is a match whose draws are worth as few independent ones as this.
	NotSettled struct{ Draws int }
	// NotAsFinished is a way whose metal is out of straight by more than the job says.
	NotAsFinished struct {
		Way                   string
		FinishedTo, Low, High float64
	}
	// OldSurveys is how many surveys are so old that the match does without them.
	OldSurveys struct{ Surveys int }
	// IndicatorLeftOut is how many indicator lines of the log are no part of the answer.
	IndicatorLeftOut struct{ Lines int }
)

// What is to be cut, and what masters print.
type (
	// NoPass is a job without the depth and time of a pass.
	NoPass struct{}
	// NoWidth is a way of unknown width.
	NoWidth struct{ Way string }
	// NotCut is a way that nobody surveyed: nothing is known of what is to come off it.
	NotCut struct{ Way string }
	// NoSideways is a vee of which only the heights were surveyed.
	NoSideways struct{ Way string }
	// NoDistance is two vees surveyed sideways that nothing holds parallel.
	NoDistance struct{ Ways [2]string }
	// ScrapedSince is a way that was scraped since it was last surveyed: what came off is reckoned by the pass.
	ScrapedSince struct {
		Way    string
		Passes int
	}
	// NoMasterFits is a way that no master of the job can be laid on.
	NoMasterFits struct {
		Way    string
		Flanks *[2]float64 // rad, of a vee
	}
	// PrintDoubted is where a print and what was foretold of it differ.
	PrintDoubted struct {
		Line        int // of the log
		Way, Master string
		From, To    float64 // along the bed
		Across      string  // "full", "inner" or "outer"
		Air         float64 // foretold where it printed; 0: nothing printed where it should
	}
	// PrintUnlike is a print that hardly any bed makes that the surveys leave possible, of a
	// master over a stretch along the bed.
	PrintUnlike struct {
		Line        int // of the log
		Way, Master string
		From, To    float64
	}
	// OtherHands are prints that different people took, with the first line of the log of each.
	OtherHands struct {
		By    []string // "": nobody was named
		Lines []int
	}
	// HingeUnlike is a master that swings elsewhere than foretold: the shares of its length from
	// the other end when nudged at its left and at its right end.
	HingeUnlike struct {
		Line           int // of the log
		Way, Master    string
		Seen, Foretold [2]float64
	}
)

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
