package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"tankodds/rainfall/read"
	"tankodds/report/site"
)

// How the tool speaks. The rules:
//
//   - An error is one line, "tankodds: …", on standard error. It names the
//     file and line, or the flag, and what was found there.
//   - Where something would mend it, a second line "hint: …" says what to
//     type, with the flag's name.
//   - No capital to begin with, no full stop to end with.
//   - Plain words of the trade; a sentence is about the tank, the roof or the
//     rain, never about the program's insides.
//   - Say what to write instead, with an example that works as it stands.
//   - Warnings are part of the answer and go with it; standard error is for
//     what stopped the work, and for the progress line.
const (
	exitDone        = 0
	exitFailed      = 1   // could not run
	exitUsage       = 2   // the command was typed wrongly
	exitDisagrees   = 3   // recheck found another number
	exitInterrupted = 130 // Ctrl-C
)

// problem is an error with the exit code it leads to and, where there is one,
// the remedy.
type problem struct {
	code int
	text string
	list []string // lines to be read or typed as they are, below the text
	hint string
	err  error // the cause, may be nil
}

func (p *problem) Error() string { return p.text }
func (p *problem) Unwrap() error { return p.err }

// misuse is a mistake in what was typed: exit 2.
func misuse(hint, format string, args ...any) error {
	return &site.Misuse{Text: fmt.Sprintf(format, args...), Hint: hint}
}

// cannot is work that could not be done: exit 1.
func cannot(hint, format string, args ...any) error {
	return &problem{code: exitFailed, hint: hint, text: fmt.Sprintf(format, args...)}
}

// sayError prints an error by the rules above and returns the exit code.
func sayError(w io.Writer, err error) int {
	code, text, hint := exitFailed, err.Error(), ""
	var list []string
	var p *problem
	var typed *site.Misuse
	var read *read.Error
	switch {
	case errors.Is(err, context.Canceled):
		code, text = exitInterrupted, "interrupted; no file was written"
	case errors.As(err, &p):
		code, hint, list = p.code, p.hint, p.list
	case errors.As(err, &typed):
		code, hint = exitUsage, typed.Hint
	case errors.As(err, &read):
		hint = read.Hint
	}
	fmt.Fprintf(w, "tankodds: %s\n", shortened(site.OneLine(text), mostMessage))
	for _, line := range list {
		fmt.Fprintf(w, "  %s\n", site.OneLine(line))
	}
	if hint != "" {
		fmt.Fprintf(w, "hint: %s\n", shortened(site.OneLine(hint), mostMessage))
	}
	return code
}

// mostMessage is how many characters of a message are shown: it may quote a
// word of a file that is a megabyte long.
const mostMessage = 1000

// shortened cuts a text that is longer than n characters.
func shortened(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
