package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Exit statuses.
const (
	exitOK          = 0
	exitFindings    = 1
	exitJob         = 2
	exitFault       = 3
	exitInterrupted = 130
)

const exitHelp = `Exit status: 0 made, or clean; 1 the review found errors; 2 job file, flags, limits or
geometry that can not be built; 3 a file can not be read or written, or a fault of this
program; 130 interrupted.`

// usageError is a command line that is not understood.
type usageError struct {
	err     error
	near    string   // the word that was meant, "" where that would be a guess
	allowed []string // words that could stand there
}

// unknown is a word that is none of those allowed.
func unknown(what, word string, allowed ...string) error {
	return &usageError{fmt.Errorf("%s %q", what, word), job.Nearest(word, allowed), allowed}
}

// Error returns what is not understood, what was meant and what is allowed.
func (e *usageError) Error() string {
	text := e.err.Error()
	if e.near != "" {
		text += fmt.Sprintf(" (did you mean %s?)", e.near)
	}
	if len(e.allowed) > 0 {
		text += "; allowed: " + strings.Join(e.allowed, ", ")
	}
	return text
}

func (e *usageError) Unwrap() error { return e.err }

// errFindings says that the review found errors; they are printed already.
var errFindings = errors.New("the review found errors")

// exitCode prints an error and returns the status it stands for.
func exitCode(ctx context.Context, err error, s streams) int {
	code := status(ctx, err)
	switch code {
	case exitOK, exitFindings:
	case exitInterrupted:
		fmt.Fprintln(s.err, "platen: interrupted, nothing written")
	case exitJob:
		if usage := (*usageError)(nil); errors.As(err, &usage) {
			fmt.Fprintf(s.err, "platen: %v\nrun 'platen --help' for what is allowed\n", err)
			break
		}
		fmt.Fprintln(s.err, err)
	default:
		fmt.Fprintf(s.err, "platen: %v\n", err)
	}
	return code
}

// failure is what --json prints instead of a result.
type failure struct {
	Status int     `json:"exit_status"`
	Faults []fault `json:"faults"`
	More   int     `json:"more_faults,omitempty"` // not listed
}

// fault is one reason why there is no result.
type fault struct {
	Pos     finding.Pos `json:"pos,omitzero"`
	Feature string      `json:"feature,omitempty"`
	Text    string      `json:"text"`
	Allowed string      `json:"allowed,omitempty"`
	Nearest string      `json:"did_you_mean,omitempty"`
}

// exitCodeJSON is exitCode for a program that reads standard output: what went wrong is there too.
func exitCodeJSON(ctx context.Context, err error, s streams) int {
	code := status(ctx, err)
	if code == exitOK || code == exitFindings {
		return code
	}
	out := failure{Status: code}
	var refusal *job.Refusal
	var build *part.BuildError
	var usage *usageError
	switch {
	case code == exitInterrupted:
		out.Faults = []fault{{Text: "interrupted, nothing written"}}
	case errors.As(err, &refusal):
		out.More = refusal.More
		for _, f := range refusal.Faults {
			out.Faults = append(out.Faults, fault{f.Pos, "", f.Text, f.Allowed, f.Nearest})
		}
	case errors.As(err, &build):
		out.Faults = []fault{{Pos: build.Pos, Feature: build.Feature, Text: build.Err.Error()}}
	case errors.As(err, &usage):
		out.Faults = []fault{{Text: usage.err.Error(), Nearest: usage.near, Allowed: strings.Join(usage.allowed, ", ")}}
	default:
		out.Faults = []fault{{Text: err.Error()}}
	}
	if err := printJSON(s.out, out); err != nil {
		return exitFault
	}
	return code
}

// status returns the exit status of an error.
func status(ctx context.Context, err error) int {
	var (
		refusal *job.Refusal
		build   *part.BuildError
		usage   *usageError
		audit   *toolgen.AuditError
		gauged  *toolgen.MeasuredError
	)
	switch {
	case err == nil:
		return exitOK
	case errors.Is(err, errFindings):
		return exitFindings
	case ctx.Err() != nil || errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &audit):
		return exitFault
	case errors.As(err, &refusal), errors.As(err, &build), errors.As(err, &usage), errors.As(err, &gauged):
		return exitJob
	}
	return exitFault
}
