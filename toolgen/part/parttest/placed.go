package parttest

import (
	"errors"
	"fmt"
	"strings"

	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Unplaced returns what is wrong with a refusal of a job: an error without a place in the text, or of
// a type that says nothing about the job. It returns nil for a refusal as it should be.
func Unplaced(err error, text string) error {
	lines := strings.Count(text, "\n") + 1
	var refusal *job.Refusal
	if errors.As(err, &refusal) {
		for _, f := range refusal.Faults {
			if f.Pos.Line < 1 || f.Pos.Line > lines || f.Pos.Col < 1 || f.Text == "" {
				return fmt.Errorf("fault at %v of %d lines: %q", f.Pos, lines, f.Text)
			}
		}
		return nil
	}
	for _, e := range each(err) {
		var b *part.BuildError
		if !errors.As(e, &b) {
			return fmt.Errorf("%T is no refusal of a feature: %w", e, e)
		}
		if b.Pos.Line < 1 || b.Pos.Line > lines || b.Pos.Col < 1 || b.Feature == "" || b.Err == nil || b.Err.Error() == "" {
			return fmt.Errorf("refusal without a place or reason: %w", e)
		}
	}
	return nil
}

// each parts joined errors.
func each(err error) []error {
	if j, ok := err.(interface{ Unwrap() []error }); ok {
		var out []error
		for _, e := range j.Unwrap() {
			out = append(out, each(e)...)
		}
		return out
	}
	return []error{err}
}
