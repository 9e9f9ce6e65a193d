// Package job owns the job file: the YAML a shop writes by hand, and the units it is written in.
//
// Read takes the bytes of a file and returns a Job in which every length is in millimetres, every
// key is known, in range and resolved against its defaults, and every value remembers its place in
// the file. A file that cannot be taken is answered by one *Refusal that lists all that is wrong,
// sorted by place, with what is allowed instead.
//
// The grammar is declared, not coded: sections and feature kinds list their keys as []Param, and
// the same list drives the reading, the tables of the manual and the editor schema. No other
// package knows YAML.
//
// One answer each for YAML's traps. The text of the file counts, not the type YAML gives it: no,
// 12:30 and 007 are good text, and flags are true and false only. Numbers are plain decimals with
// an exponent at most; 0777, 0x1F, 1_000, 12:30, .5, NaN and numbers in quotes are refused with
// what to write. A key without a value, or with null, is refused. Anchors, aliases, merge keys,
// tags and further documents are refused.
package job

import (
	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// Job is a job file as read. All lengths are mm, whatever the file was written in.
type Job struct {
	File     string // name the file was read under
	Name     string // what the job is called
	Revision string // the shop's revision mark
	Note     string // free text
	Unit     string // "mm" or "inch": what plain lengths were written in, for messages only

	Named []Named // section values, in the order of the file

	Sheet    *Values // section sheet
	Tool     *Values // section tool
	Block    *Values // tool.block
	Vents    *Values // tool.vents
	Machine  *Values // tool.machine
	Part     *Values // section part
	Forming  *Values // section forming
	Defaults *Values // section defaults
	Shrink   *Values // section shrink
	Stack    *Values // section stack

	Plugs []geom.Vec2 // places of forming.plug on the part; none without a plug

	Overrides []Override // section limits
	Features  []*Item    // features of the land, in the order of the file
}

// Override lifts or lowers the limit of one rule for this job, with the user's reason.
type Override struct {
	Rule   string  // id of the rule, e.g. "wall.draft-low"
	Limit  float64 // in the rule's own unit
	Reason string  // printed beside every finding the override touches
	Pos    finding.Pos
}

// Item is one feature as written.
type Item struct {
	Kind     string
	Name     string // unique in the job; "" where the user gave none
	Pos      finding.Pos
	Values   *Values     // the keys of the kind; the places of at, turn, repeat, kind, name too
	At       geom.Vec2   // in the parent's frame
	Turn     geom.Angle  // counter-clockwise seen from above
	Places   []geom.Vec2 // at plus the offsets of repeat, in the parent's frame; at least one
	Children []*Item     // in the frame of this feature's floor or crown
}
