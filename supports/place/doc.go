// Package place finds where the feet of a bed should stand, and how a set of feet
// fares on floors that nobody has seen.
//
// The bed without supports is worked out once (beam/free): what unit forces and all
// loads do to it anywhere. Load cases are the bed alone and the table at every place of
// its stroke. Any set of feet is then a small problem of one-sided contact
// (internal/contact) a case, and its zone is the worst minimum zone of any way in any
// case.
//
// Search. Posts stand on a grid over the zones; a post is a pair, or a single foot at
// one end. Every placement on the grid is tried; the zone of a case is bounded from below by
// the three stations where it was seen to touch last, and a case that failed last is tried first.
// Linear programmes within a growing and shrinking reach then leave the grid (K. Madsen, IMA J.
// Applied Mathematics 16 (1975) 321–328), from several starts, and with posts moved from zone to
// zone where feet may stand in several.
//
// Checks: closed forms for two and three supports, Airy's spacing, every placement of
// small grids by another path, the same end from different grids.
package place
