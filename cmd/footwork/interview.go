package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/job"
)

// interview asks one thing after another. What is typed wrong is asked again;
// after the end of the input everything stays as it was.
type interview struct {
	in    *bufio.Scanner
	out   io.Writer
	ended bool
}

// line shows a question with what an empty answer means, and returns the answer.
func (v *interview) line(question, otherwise string) string {
	if v.ended {
		return ""
	}
	fmt.Fprintf(v.out, "%s [%s] ", question, otherwise)
	if !v.in.Scan() {
		v.ended = true
		return ""
	}
	return strings.TrimSpace(v.in.Text())
}

// again asks until an answer is taken; an empty one leaves things as they are.
func (v *interview) again(question, otherwise string, take func(string) error) {
	for {
		text := v.line(question, otherwise)
		if text == "" {
			return
		}
		err := take(text)
		if err == nil {
			return
		}
		fmt.Fprintf(v.out, "  %s\n", plain(err.Error()))
	}
}

// quantity asks for what the job file has at a path.
func (v *interview) quantity(question, path string, show func(float64) string, to *float64) {
	v.maybe(question, path, "", show, to)
}

// maybe asks for what may be absent, which is 0 and is said as none; "" where it may not.
func (v *interview) maybe(question, path, none string, show func(float64) string, to *float64) {
	otherwise := none
	if *to > 0 || none == "" {
		otherwise = show(*to)
	}
	v.again(question, otherwise, func(text string) error {
		got, err := job.Quantity(path, text)
		switch {
		case none != "" && (strings.EqualFold(text, none) || strings.EqualFold(text, "no")):
			got = 0
		case err != nil && none != "":
			return fmt.Errorf("%w; or %s", err, none)
		case err != nil:
			return err
		}
		*to = got
		return nil
	})
}

func (v *interview) count(question string, to *int, lo, hi int) {
	v.again(question, strconv.Itoa(*to), func(text string) error {
		n, err := strconv.Atoi(text)
		if err != nil || n < lo || n > hi {
			return fmt.Errorf("write a whole number from %d to %d", lo, hi)
		}
		*to = n
		return nil
	})
}

// choice asks for one of some words, of which the first letters are enough.
func (v *interview) choice(question string, to *string, options ...string) {
	v.again(question+" ("+strings.Join(options, ", ")+")", *to, func(text string) error {
		i := slices.IndexFunc(options, func(o string) bool { return strings.HasPrefix(o, strings.ToLower(text)) })
		if i < 0 {
			return fmt.Errorf("write one of %s", strings.Join(options, ", "))
		}
		*to = options[i]
		return nil
	})
}

// choose asks for one of some words, each of which stands for a value.
func choose[T comparable](v *interview, question string, to *T, words []string, values ...T) {
	word := words[slices.Index(values, *to)]
	v.choice(question, &word, words...)
	*to = values[slices.Index(words, word)]
}
