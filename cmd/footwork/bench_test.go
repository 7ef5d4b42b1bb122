package main

import (
	"path/filepath"
	"runtime"
	"testing"

	"footwork/reports/page"
)

// demoShop reads the demo's job anew, with nothing worked out yet.
func demoShop(b *testing.B) *opened {
	b.Helper()
	dir := b.TempDir()
	if err := writeDemo(dir); err != nil {
		b.Fatal(err)
	}
	return opens(b, filepath.Join(dir, demoName))
}

// All numbers of feet of the demo's job, from the readings on.
func BenchmarkAdjust(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		s := demoShop(b)
		b.StartTimer()
		if _, err := s.Adjust(nil); err != nil {
			b.Fatal(err)
		}
	}
}

// The demo's whole page, from the job file on.
func BenchmarkReport(b *testing.B) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	var size counter
	for b.Loop() {
		b.StopTimer()
		s := demoShop(b)
		b.StartTimer()
		p, err := s.Report(func(error) {})
		if err != nil {
			b.Fatal(err)
		}
		size = 0
		if err := page.Write(&size, p); err != nil {
			b.Fatal(err)
		}
	}
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/1e6/float64(b.N), "MB/op")
	b.ReportMetric(float64(after.HeapSys)/1e6, "MB-heap") // as much as was ever held at once
	b.ReportMetric(float64(size)/1e6, "MB-page")
}

// counter counts what is written.
type counter int

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}
