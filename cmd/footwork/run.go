// Command footwork tells how a machine bed stands on its feet, what part of a
// measured error is feet and what is metal, and which foot to turn.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"footwork/internal/job"
	"footwork/internal/shop"
	"footwork/reports/doc"
)

// Exit codes.
const (
	exitDone  = 0
	exitWork  = 1 // the work could not be done
	exitUsage = 2 // wrong usage or job file
)

// usageError is a command line that cannot be carried out as written.
type usageError struct{ error }

func usagef(format string, a ...any) error { return usageError{fmt.Errorf(format, a...)} }

// run carries out one command line and returns the exit code.
func run(args []string, stdout, stderr io.Writer) int {
	t := &terminal{out: stdout, err: stderr}
	root := commands(t)
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	t.clear()
	if err == nil {
		return exitDone
	}
	fmt.Fprintln(stderr, plain(t.message(err)))
	var usage usageError
	var asked shop.AskError
	var faults job.Faults
	if errors.As(err, &usage) || errors.As(err, &asked) || errors.As(err, &faults) {
		return exitUsage
	}
	return exitWork
}

// message puts an error into words: a job's faults line by line, anything else
// after the program's name.
func (t *terminal) message(err error) string {
	var faults job.Faults
	if errors.As(err, &faults) {
		return fmt.Sprintf("%v\n%s; nothing was computed or written", faults, count(faults.Count(), "fault"))
	}
	if why := doc.Refused(err); why != nil {
		return "footwork: " + strings.ReplaceAll(why.In(t.shown), "\u00a0", " ")
	}
	return "footwork: " + err.Error()
}

// commands builds the command tree around one terminal.
func commands(t *terminal) *cobra.Command {
	root := &cobra.Command{
		Use:   "footwork",
		Short: "How a machine bed stands, what is feet and what is metal, and which foot to turn",
		Long: `footwork tells how a long machine bed stands on its feet, what its standing does
to its ways, which part of a measured error is feet and which is metal, which
foot to turn and how far, and what is then left to cut.

Begin with "footwork demo", or with "footwork new bed.toml"; "footwork help job",
"help survey", "help signs", "help log" and "help blue" tell how to write things.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          unknownCommand,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usagef("%w; see %s --help", err, c.CommandPath())
	})
	root.CompletionOptions.HiddenDefaultCmd = true
	root.SuggestionsMinimumDistance = 2
	root.PersistentFlags().StringVar(&t.units, "units", "", `"metric" or "inch" in place of the job's own`)
	root.AddCommand(append(answerCommands(t), demoCommand(t), newCommand(t), checkCommand(t), turnCommand(t), reportCommand(t), schemaCommand(t))...)
	for _, c := range root.Commands() {
		c.Args = usageArgs(c.Args)
	}
	root.SetHelpCommand(helpCommand(t))
	return root
}

// unknownCommand refuses a word that is no command, with the nearest that is.
func unknownCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if near := root.SuggestionsFor(args[0]); len(near) > 0 {
		return usagef("there is no command %q; did you mean %s?", args[0], near[0])
	}
	return usagef("there is no command %q; see footwork --help", args[0])
}

// usageArgs makes a wrong number of arguments an error of usage.
func usageArgs(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if err := check(c, args); err != nil {
			return usagef("%w; write it as: footwork %s", err, c.Use)
		}
		return nil
	}
}

// mostMemory is what a command may hold before it collects what is no longer used, in bytes.
const mostMemory = 128 << 20

func main() {
	debug.SetGCPercent(400) // a command is over before much memory is worth collecting
	debug.SetMemoryLimit(mostMemory)
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}
