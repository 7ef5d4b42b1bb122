// Package match parts a measured profile into what is standing and what is metal, and
// says how far that can be told.
package match
