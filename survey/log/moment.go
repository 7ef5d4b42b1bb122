package log

import (
	"regexp"
	"strings"
	"time"
)

// Moment is a day with or without a time of day.
type Moment struct {
	Day   string // 2006-01-02; "" when nobody knows
	Clock string // 15:04:05; "" when not said
}

var moments = regexp.MustCompile(`^(\d{4}-\d\d-\d\d)(?:[ T](\d?\d:\d\d(?::\d\d)?))?$`)

// ParseMoment reads a day, "2026-03-02", or a day with a time of day,
// "2026-03-02 14:05".
func ParseMoment(text string) (m Moment, ok bool) {
	parts := moments.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
	if parts == nil {
		return Moment{}, false
	}
	if _, err := time.Parse(time.DateOnly, parts[1]); err != nil {
		return Moment{}, false
	}
	clock := parts[2]
	switch {
	case clock == "":
		return Moment{Day: parts[1]}, true
	case strings.Count(clock, ":") == 1:
		clock += ":00"
	}
	t, err := time.Parse(time.TimeOnly, clock)
	return Moment{parts[1], t.Format(time.TimeOnly)}, err == nil
}

// momentOf returns the moment of a clock, to the second.
func momentOf(t time.Time) Moment {
	return Moment{t.Format(time.DateOnly), t.Format(time.TimeOnly)}
}

// before tells whether m is surely earlier than n: of one day, only two times of
// day can tell.
func (m Moment) before(n Moment) bool {
	if m.Day == n.Day {
		return m.Clock != "" && n.Clock != "" && m.Clock < n.Clock
	}
	return m.Day != "" && n.Day != "" && m.Day < n.Day
}

// String writes a moment as ParseMoment reads it.
func (m Moment) String() string {
	return strings.TrimSuffix(strings.TrimSpace(m.Day+" "+m.Clock), ":00")
}

// After returns the moment for a line that is written now: the clock's, or the
// last line's when the clock is behind it.
func After(acts []Act, now time.Time) Moment {
	m := momentOf(now)
	for _, a := range acts {
		if m.before(a.When) {
			m = a.When
		}
	}
	return m
}
