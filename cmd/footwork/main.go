// Command footwork tells how a machine bed stands on its feet, what part of a
// measured error is feet and what is metal, and which foot to turn.
package main

import (
	"os"
	"runtime/debug"
)

func main() {
	debug.SetGCPercent(400) // a command is over before much memory is worth collecting
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}
