// Package survey turns readings into profiles that can be trusted, and parts a
// measured profile into what is standing and what is metal.
//
// Everything is SI: slopes in radians, heights in metres.
package survey
