// Package supports has what a person can do with the feet of a bed and wants of them, and
// how a bed that was just set down is brought onto all of them. Which feet to move is
// asked of plan, where they would stand better of place, what is left for the scraper of
// cut, all beneath.
//
// Everything is SI; a raise is positive upwards.
package supports
