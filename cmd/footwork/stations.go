package main

import (
	"math"
	"slices"
)

// merged returns n equal steps over a length with the given places among them.
func merged(length float64, n int, places []float64) []float64 {
	x := slices.Clone(places)
	for i := range n + 1 {
		x = append(x, length*float64(i)/float64(n))
	}
	slices.Sort(x)
	return slices.CompactFunc(x, func(a, b float64) bool { return math.Abs(a-b) < 1e-7*length })
}
