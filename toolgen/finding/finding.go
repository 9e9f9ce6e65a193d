// Package finding owns what a check says: how grave it is, where, what was measured against which
// limit from which source, and what change would mend it.
package finding

import (
	"cmp"
	"fmt"
	"slices"

	"platen/toolgen/geom"
)

// Severity grades a finding.
type Severity uint8

// The grades. An Error is a computed fact: the tool will not form, release or can not be made.
const (
	Note Severity = iota
	Warning
	Error
)

// String returns the word printed for the grade.
func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// MarshalText writes the grade as its word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Pos is a place in a file; lines and columns count from 1, columns in characters. The zero Pos is
// unknown.
type Pos struct {
	File string `json:"file,omitempty"`
	Line int    `json:"line,omitempty"`
	Col  int    `json:"column,omitempty"`
}

// String returns file:line:column, or what is known of it.
func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Finding is one thing a check has to say.
type Finding struct {
	ID       string     `json:"id"`                 // rule, e.g. "wall.draft-low"
	Severity Severity   `json:"severity"`           //
	Feature  string     `json:"feature,omitempty"`  // feature id, e.g. "I1/left/P3"
	Pos      Pos        `json:"pos"`                // place in the job file
	At       *geom.Vec3 `json:"at_mm,omitempty"`    // place on the tool, tool datum
	Got      float64    `json:"got"`                // what was measured
	Limit    float64    `json:"limit"`              // what it is held against
	Unit     string     `json:"unit,omitempty"`     // of Got and Limit
	Text     string     `json:"text"`               // what is wrong
	Fix      string     `json:"fix,omitempty"`      // what change mends it, as a number
	Source   string     `json:"source,omitempty"`   // where the limit comes from
	Override string     `json:"override,omitempty"` // the user's written reason, where one lifts the limit
}

// String returns the one-line form for a terminal.
func (f Finding) String() string {
	s := f.Severity.String() + ": "
	if p := f.Pos.String(); p != "" {
		s = p + ": " + s
	}
	if f.Feature != "" {
		s += f.Feature + ": "
	}
	return s + f.Text + " [" + f.ID + "]"
}

// Sort orders findings: errors first, then by rule, place in the job and feature.
func Sort(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(b.Severity, a.Severity),
			cmp.Compare(a.ID, b.ID),
			cmp.Compare(a.Pos.Line, b.Pos.Line),
			cmp.Compare(a.Feature, b.Feature),
		)
	})
}

// Count returns how many findings have the given severity.
func Count(fs []Finding, s Severity) int {
	n := 0
	for _, f := range fs {
		if f.Severity == s {
			n++
		}
	}
	return n
}
