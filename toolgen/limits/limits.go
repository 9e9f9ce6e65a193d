// Package limits owns the numbers the checks hold a job against: one table of named limits, each
// with its source, and the functions for those that depend on the case.
//
// A limit of grade error rests on something published or derived. Where the mark is weaker the
// grade is a warning at most, and the citation says so. Lengths are mm, angles degrees.
package limits

import (
	"fmt"
	"strings"
	"sync"

	"platen/toolgen/source"
)

// Grade says how grave it is to break a limit. The order is that of the findings made from it.
type Grade uint8

// The grades.
const (
	Note Grade = iota
	Warning
	Error
)

// String returns the word for the grade.
func (g Grade) String() string { return [...]string{"note", "warning", "error"}[g] }

// MarshalText writes the grade as its word.
func (g Grade) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// Limit is one number to hold a measured one against.
type Limit struct {
	ID    string       `json:"id"`    // rule and case, e.g. "radius.gauge-error"
	Text  string       `json:"text"`  // what it says
	Value source.Value `json:"value"` // in Unit
	Unit  string       `json:"unit"`
	Grade Grade        `json:"grade"` // if it is broken
}

// Group returns the part of the ID before its dot.
func (l Limit) Group() string {
	group, _, _ := strings.Cut(l.ID, ".")
	return group
}

// Row returns the limit as a line of a printed table.
func (l Limit) Row() source.Row {
	return source.Row{
		Label: l.ID + ": " + l.Text, Value: fmt.Sprint(l.Value.V), Unit: l.Unit,
		Mark: l.Value.Mark, Source: l.Value.Cite(),
	}
}

// at returns the limit with another value, graded no higher than the value's mark allows.
func (l Limit) at(v source.Value, unit string) Limit {
	l.Value, l.Unit = v, unit
	l.Grade = graded(l.Grade, v.Mark)
	return l
}

// graded lowers an error to a warning where the mark is not firm.
func graded(g Grade, m source.Mark) Grade {
	if g == Error && !m.Firm() {
		return Warning
	}
	return g
}

// All returns the whole table in the order of its groups.
func All() []Limit {
	var all []Limit
	for _, t := range [][]Limit{walls(), radii(), depths(), webs(), sheets(), vents(), letters(), punches(), stacks(), mills(), tolerances(), fits(), stiffs(), releases()} {
		all = append(all, t...)
	}
	return all
}

// Get returns the limit of an ID, one of the constants of this package. It panics for any other.
func Get(id string) Limit {
	l, ok := byID()[id]
	if !ok {
		panic(fmt.Sprintf("limits: no limit %q", id))
	}
	return l
}

// byID is the table by ID: rules ask it for every feature.
var byID = sync.OnceValue(func() map[string]Limit {
	m := map[string]Limit{}
	for _, l := range All() {
		m[l.ID] = l
	}
	return m
})

// times returns v times f, said to be so.
func times(v source.Value, f float64) source.Value {
	v.V *= f
	return v
}
