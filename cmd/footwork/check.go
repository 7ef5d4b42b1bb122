package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"footwork/reports"
)

func checkCommand(t *terminal) *cobra.Command {
	return t.about("check", "read a job and its surveys, list every fault at once and say what the bed is", func(s *opened) error {
		v, err := s.Sag(s.StandingNames(), reports.Given, nil)
		if err != nil {
			return err
		}
		t.warn(v.Beside(), s.Units)
		if _, err = fmt.Fprintf(t.out, "%s: no fault. A bed of %s with %s, %s and %s.\n\n", shown(s.file()), s.Units.Length().Text(s.Bed.Length),
			count(len(s.Bed.Ways), "way"), count(len(s.Standings), "standing"), count(len(s.Surveys), "survey")); err != nil {
			return err
		}
		bed, err := s.Check()
		if err != nil {
			return err
		}
		return t.text(t.out, bed, s)
	})
}

// count says how many there are of a thing.
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
