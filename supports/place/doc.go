// Package place finds where the feet of a bed should stand, and how a set of feet
// fares on floors that nobody has seen.
//
// The bed without supports is worked out once (beam.Free): what unit forces and all
// loads do to it anywhere. Load cases are the bed alone and the table at every place of
// its stroke. Any set of feet is then a small problem of one-sided contact
// (internal/contact) a case, and its zone is the worst minimum zone of any way in any
// case.
//
// Search. Posts stand on a grid over the zones; a post is a pair, or a single foot at
// one end. Branch and bound from left to right tries every placement but those that a
// bound rules out. Between neighbouring feet the axis of the bed is the free bed's
// shape plus a handful of functions that do not depend on where the feet are, so no
// placement with these neighbours has a zone below twice the best approximation of the
// one by the others, of which five points give a bound from below (de la Vallée
// Poussin, 1911); beyond the outermost foot only a line is free. The least bound of all
// ways to go on is the cost-to-go. The incumbent begins as the placement of the least
// bound, bettered post by post. Linear programmes within a growing and shrinking reach then
// leave the grid (K. Madsen, IMA J. Applied Mathematics 16 (1975) 321–328), from several starts.
//
// Checks: closed forms for two and three supports, Airy's spacing, every placement of
// small grids tried, the bounds held against what they bound.
package place
