package survey

import (
	"cmp"
	"fmt"
)

// Before tells whether a move was done before a survey of its standing. It is an
// error when neither dates nor passes tell.
func (v Move) Before(s Survey) (bool, error) {
	switch {
	case s.Date != "" && v.Date != "":
		return cmp.Compare(s.Date, v.Date) > 0, nil
	case v.Pass != nil:
		return s.Pass > *v.Pass, nil
	}
	return false, fmt.Errorf("it cannot be told what came first: give date (or pass) of the move of %s and of every survey", v.Foot)
}

// Later tells whether a survey was taken after another, or none can tell: dates go
// before passes.
func (a Survey) Later(b Survey) bool {
	if a.Date != "" && b.Date != "" && a.Date != b.Date {
		return a.Date > b.Date
	}
	return a.Pass >= b.Pass
}
