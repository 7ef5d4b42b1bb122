// Command footwork tells how a machine bed stands on its feet, what part of a
// measured error is feet and what is metal, and which foot to turn.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }
