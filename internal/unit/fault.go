package unit

import (
	"fmt"
	"strings"
)

// Fault is one thing wrong in what a person wrote: in a file, or in a value alone.
type Fault struct {
	File    string // "" of a value alone
	Line    int    // counted from 1; 0: the file as a whole
	Key     string // dotted key of the job file, or the column of a CSV
	Message string
	Hint    string // how to write it right
	Also    int    // further faults that this one stands for
}

// Wrong returns the fault of a value · hint: how to write it right.
func Wrong(hint, message string, args ...any) *Fault {
	return &Fault{Message: fmt.Sprintf(message, args...), Hint: hint}
}

func (f Fault) Error() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File + ":")
		if f.Line > 0 {
			fmt.Fprintf(&b, "%d:", f.Line)
		}
		b.WriteString(" ")
	}
	if f.Key != "" {
		b.WriteString(strings.Trim(Quote(f.Key), `"`) + ": ")
	}
	b.WriteString(f.Message)
	if f.Hint != "" {
		b.WriteString("; " + f.Hint)
	}
	return b.String()
}
