package job

import (
	"errors"
	"fmt"
	"math"

	"footwork/survey"
)

// What no height on a bed reaches.
const highest = 1.0 // m

// checkReadings checks a survey's readings against the bed, and that they make
// a profile.
func (b *builder) checkReadings(r *reader, s *survey.Survey, file string) {
	before := len(b.faults)
	b.checkValues(s, file)
	if s.Slopes() {
		b.checkWalk(r, s)
	} else {
		b.checkStations(s, file)
	}
	known := s.One() > 0 && s.XScale > 0 && (s.Base > 0 || !s.Slopes()) && s.Uncertainty >= 0
	if len(b.faults) > before || !known { // what is missing was said
		return
	}
	if _, err := survey.Reduce(*s); err != nil {
		var e *survey.Error
		if !errors.As(err, &e) {
			panic(err)
		}
		message, hint := b.unreduced(s, e)
		b.inFile(file, s.Readings.Lines[e.Row])("", hint, "%s", message)
	}
}

// checkValues wants as many readings as make a profile, and no height that no bed has.
func (b *builder) checkValues(s *survey.Survey, file string) {
	n, least := len(s.Readings.Runs[0].Values), 2
	if s.Instrument == survey.Heights {
		least = 3
	}
	if n < least || n > mostRows {
		b.inFile(file, 0)("", fmt.Sprintf("a survey needs %d to %d of them", least, mostRows), "the number of stations is %d", n)
	}
	for _, run := range s.Readings.Runs {
		if i, far := furthest(run.Values); s.Instrument == survey.Heights && far*s.Scale > highest {
			b.inFile(file, s.Readings.Lines[i])(run.Name, "check it, and the survey's reading = \"…\"", "%v is read as %.3g m", run.Values[i], far*s.Scale)
		}
	}
}

// checkWalk wants a carriage that stays on the bed.
func (b *builder) checkWalk(r *reader, s *survey.Survey) {
	n := len(s.Readings.Runs[0].Values)
	end := s.Start + float64(n)*s.Base
	if !(end > b.job.Bed.Length+slack) {
		return
	}
	hint := "check base, start and the number of rows"
	if s.Start-float64(n)*s.Base >= -slack-s.Base {
		hint += "; a survey taken from the right end is written from the left, its last reading first, every sign as the far foot towards the right has it"
	}
	r.fault("base", hint, "%d readings of %s from %s on end at %s, off the bed of %s",
		n, b.length(s.Base), b.length(s.Start), b.length(end), b.length(b.job.Bed.Length))
}

// checkStations wants an x column that stays on the bed.
func (b *builder) checkStations(s *survey.Survey, file string) {
	x := s.Readings.X
	if x == nil {
		b.inFile(file, 0)("x", "the first column must be x: where on the bed each reading stands", "is missing")
		return
	}
	reach := make([]float64, len(x)) // m, from the middle of the bed
	for i, v := range x {
		reach[i] = v*s.XScale - b.job.Bed.Length/2
	}
	if i, far := furthest(reach); far > b.job.Bed.Length/2+slack {
		b.inFile(file, s.Readings.Lines[i])("x", "check it, and the survey's x_unit = \"…\"", "%v is read as %s along the bed of %s", x[i], b.length(x[i]*s.XScale), b.length(b.job.Bed.Length))
	}
}

// furthest returns the index and the size of the value furthest from zero.
func furthest(values []float64) (at int, size float64) {
	for i, v := range values {
		if math.Abs(v) > size {
			at, size = i, math.Abs(v)
		}
	}
	return at, size
}

// unreduced words why a survey's readings make no profile, and how to put it right.
func (b *builder) unreduced(s *survey.Survey, e *survey.Error) (message, hint string) {
	switch e.Kind {
	case survey.TooSteep:
		return fmt.Sprintf("%s at %s reads %.3g %s, a slope of %.3g degrees", e.Run, b.rowName(s, e.Row), e.Value/s.One(), s.Unit, e.Value*180/math.Pi),
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
func (b *builder) rowName(s *survey.Survey, row int) string {
	if len(s.Readings.X) > row {
		return fmt.Sprintf("station %g", s.Readings.X[row])
	}
	return fmt.Sprintf("reading %d (at %s)", row+1, b.length(s.Start+float64(row)*s.Base))
}
