package plan

import (
	"testing"

	"footwork/supports"
)

func bench(b *testing.B, pairs, draws int, screws bool) {
	task := someBed(b, 1, pairs, true)
	if screws {
		for i := range task.Feet {
			task.Feet[i] = supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3}
			task.Slip = append(task.Slip, 4.8*um)
		}
	}
	if draws > 1 {
		task.Draws = about(task, draws, 3*um)
	}
	for b.Loop() {
		made(b, task)
	}
}

func BenchmarkCertain(b *testing.B) { bench(b, 4, 1, false) }
func BenchmarkDraws(b *testing.B)   { bench(b, 4, 400, false) }
func BenchmarkDegrees(b *testing.B) { bench(b, 4, 400, true) }
func Benchmark40Feet(b *testing.B)  { bench(b, 20, 400, false) }

// The next step of a session on eight feet, as the loop at the bed asks for it.
func BenchmarkNext(b *testing.B) {
	task := watchedBed(b, 1)
	task.Draws = about(task, 400, 3*um)
	for b.Loop() {
		if _, err := Next(task, []int{0, 2, 3, 5, 6}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
