// Command footwork tells how a machine bed stands on its feet, what part of a
// measured error is feet and what is metal, and which foot to turn.
package main

import (
	"os"
	"runtime/debug"
)

// mostMemory is what a command may hold before it collects what is no longer used, in bytes.
const mostMemory = 128 << 20

func main() {
	debug.SetGCPercent(400) // a command is over before much memory is worth collecting
	debug.SetMemoryLimit(mostMemory)
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}
