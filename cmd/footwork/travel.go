package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/reports"
)

func travelCommand(t *terminal) *cobra.Command {
	var standing string
	c := t.onJob("travel", "the table's journey: the bed, the feet and the work under the tool", func(s *shop) (reports.View, []string, error) {
		v, err := s.travel(s.working(standing))
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	c.Flags().StringVar(&standing, "standing", "", "in this standing (default: the one worked in)")
	return c
}

// travel moves the job's table over its stroke in one standing.
func (s *shop) travel(standing string) (*reports.Travel, error) {
	if s.Table == nil {
		return nil, usagef("the job has no [table] to move")
	}
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	tr, err := v.Travel(*s.Table, beam.Journey{})
	if err != nil {
		return nil, fmt.Errorf("standing %q: %w", standing, err)
	}
	out := &reports.Travel{Standing: standing, AtToolStraightness: tr.Zone, X: tr.X, PressureX: tr.Along, Warnings: tr.Warnings}
	for _, w := range tr.Ways {
		out.Ways = append(out.Ways, reports.TravelWay{Name: w.Name})
	}
	for _, f := range tr.Places[0].Feet {
		out.Feet = append(out.Feet, f.Name)
	}
	for _, p := range tr.Places {
		out.TableAt = append(out.TableAt, p.At)
		out.Path = append(out.Path, reports.PathPoint{Height: p.Height, Pitch: p.Pitch, Roll: p.Roll, AtTool: p.AtTool, Under: p.Under})
		loads := make([]float64, len(p.Feet))
		for i, f := range p.Feet {
			loads[i] = f.Load
		}
		out.FootLoads = append(out.FootLoads, loads)
		for w := range out.Ways {
			out.Ways[w].Height = append(out.Ways[w].Height, p.Shapes[w])
		}
		out.Pressure = append(out.Pressure, summed(p.Pressure))
	}
	return out, nil
}

// summed adds the rows up, column by column.
func summed(rows [][]float64) []float64 {
	sum := make([]float64, len(rows[0]))
	for _, row := range rows {
		for i, v := range row {
			sum[i] += v
		}
	}
	return sum
}
