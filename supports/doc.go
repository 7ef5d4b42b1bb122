// Package supports answers what to do with the feet: what a move of each does,
// which to move and how far, where they would stand better, and what is left
// for the scraper when they are right.
//
// Everything is SI; a raise is positive upwards.
package supports
