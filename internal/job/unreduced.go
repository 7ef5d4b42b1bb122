package job

import (
	"fmt"
	"math"

	"footwork/internal/unit"
	"footwork/survey"
)

// unreduced words why a survey's readings make no profile, and how to put it right ·
// l how places are printed.
func unreduced(s *survey.Survey, e *survey.Error, l unit.Display) (message, hint string) {
	switch e.Kind {
	case survey.TooSteep:
		return fmt.Sprintf("%s at %s reads %.3g %s, a slope of %.3g degrees", e.Run, rowName(s, e.Row, l), e.Value/s.One(), s.Unit, e.Value*180/math.Pi),
			"is the unit of the readings right?"
	case survey.StationTwice:
		return fmt.Sprintf("station %g is there twice", e.Value), "put repeats into columns run 1, run 2, …"
	case survey.StationBack:
		return fmt.Sprintf("station %g comes after %g", e.Value, e.Other), "write the rows in the order of increasing x"
	case survey.StationApart:
		return fmt.Sprintf("the step from station %g to %g is not the first step, %g", e.Other, e.Value, e.First),
			"slopes add up only when each reading begins where the last ended"
	}
	panic("job: a survey that was checked is no profile: " + string(e.Kind)) // rows, unit, base and stations were asked for
}

// rowName names a row of readings, by the file's own number if it has one.
func rowName(s *survey.Survey, row int, l unit.Display) string {
	if len(s.Readings.X) > row {
		return fmt.Sprintf("station %g", s.Readings.X[row])
	}
	return fmt.Sprintf("reading %d (at %s)", row+1, l.Text(s.Start+float64(row)*s.Base))
}
