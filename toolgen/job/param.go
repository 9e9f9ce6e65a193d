package job

import (
	"fmt"
	"strings"

	"platen/toolgen/geom"
)

// Type says what a key takes.
type Type uint8

// The types of a key. Each is read by the method of Values of the same name.
const (
	Length      Type = iota + 1 // mm inside; 12, 12 mm, 0.5 in
	Angle                       // degrees in the file; 6, 6 deg
	Number                      // plain number without a unit
	Count                       // whole number
	Text                        // one line of free text
	Choice                      // one of a list of words
	Flag                        // true or false
	Temperature                 // deg C; 60, 60 degC
	Point                       // two lengths: [x, y]
	Points                      // list of points
	Lengths                     // list of lengths
	Texts                       // list of texts
	Outline                     // plan shape, see Shape
	Group                       // keys of its own
	Groups                      // list of groups
	Grid                        // two counts: [across, away]
	namedValues                 // names and numbers; only the grammar itself has them
	items                       // list of features; only the grammar itself has one
)

var typeNames = [...]string{
	"", "length", "angle", "number", "whole number", "text", "choice", "flag", "temperature",
	"point", "list of points", "list of lengths", "list of texts", "outline", "group of keys",
	"list of groups", "grid", "named numbers", "list of features",
}

// String returns the word the manual uses for the type.
func (t Type) String() string {
	if int(t) < len(typeNames) {
		return typeNames[t]
	}
	return fmt.Sprintf("type %d", uint8(t))
}

// Param declares one key of a section or of a feature kind.
//
// Min and Max are in the unit of the type (mm, deg, deg C) and hold for every entry of a list and
// both coordinates of a point. Both zero: no limits but the general ones. Max zero and Min above
// it: a lower limit only.
type Param struct {
	Key      string
	Type     Type
	Text     string   // one line for the bench
	Default  any      // float64 (mm, deg, deg C), int, string, bool, geom.Vec2, []float64; nil: none
	From     string   // key of the section defaults that stands in for Default where it is given
	Required bool     //
	Min, Max float64  //
	Choices  []string // for Choice: the words taken; none: any word
	Source   string   // where the default comes from
	Params   []Param  // keys of a Group or of each entry of Groups

	least int               // fewest entries of a list
	alike map[string]string // for Choice: other words for a choice, to find what was meant
	also  object            // what the editor schema asks of a group beyond its keys
}

// Kind declares one kind of feature.
type Kind struct {
	Name    string // the word in the job file
	Text    string // one line for the bench
	Params  []Param
	Example string // YAML of one feature, as it stands below "features:" after "- "
	On      string // "sunk" or "raised": which way it goes on the part
}

// Names are the names a job may refer to. An empty list takes any name.
type Names struct {
	Materials     []string          // sheet materials
	ToolMaterials []string          // tool materials
	Alike         map[string]string // other words for a material, that a job does not take but may be told the name by
	Rules         []string          // ids of the rules that can be overridden
}

// bounded reports the limits of p and whether it has a lower and an upper one.
func (p *Param) bounded() (lo, hi bool) {
	if p.Min == 0 && p.Max == 0 {
		return false, false
	}
	return true, p.Max != 0 || p.Min < 0
}

// unit returns the unit in which the limits of p are printed.
func (p *Param) unit() string {
	switch p.Type {
	case Length, Lengths, Point, Points, Outline:
		return " mm"
	case Angle:
		return " deg"
	case Temperature:
		return " degC"
	}
	return ""
}

// Limits returns the limits in words with their unit, "" without any.
func (p *Param) Limits() string { return p.limits() }

// limits returns the limits in words, "" without any.
func (p *Param) limits() string {
	switch lo, hi := p.bounded(); {
	case lo && hi && p.Min == p.Max:
		return short(p.Min) + p.unit()
	case lo && hi:
		return short(p.Min) + " to " + short(p.Max) + p.unit()
	case lo:
		return short(p.Min) + p.unit() + " or more"
	}
	return ""
}

// data returns the default in the form Values holds, nil without one. A default that does not fit
// its type is a broken promise of the declaration.
func (p *Param) data() any {
	switch d := p.Default.(type) {
	case nil:
		return nil
	case float64:
		if p.Type == Length || p.Type == Angle || p.Type == Number || p.Type == Temperature {
			return d
		}
	case int:
		switch p.Type {
		case Count:
			return d
		case Length, Angle, Number, Temperature:
			return float64(d)
		}
	case string:
		if p.Type == Text || p.Type == Choice {
			return d
		}
	case bool:
		if p.Type == Flag {
			return d
		}
	case geom.Vec2:
		if p.Type == Point {
			return d
		}
	case []geom.Vec2:
		if p.Type == Points {
			return d
		}
	case []float64:
		if p.Type == Lengths {
			return d
		}
	case []string:
		if p.Type == Texts {
			return d
		}
	}
	panic(fmt.Sprintf("job: default of key %q does not fit a %s", p.Key, p.Type))
}

// check panics where a declaration contradicts itself.
func check(where string, params []Param, defaults map[string]Type) {
	seen := map[string]bool{}
	for i := range params {
		p := &params[i]
		bad := func(what string) { panic(fmt.Sprintf("job: key %q of %s: %s", p.Key, where, what)) }
		p.data()
		switch {
		case p.Key == "" || strings.Trim(p.Key, "abcdefghijklmnopqrstuvwxyz0123456789_") != "":
			bad("a key is written in snake_case")
		case seen[p.Key]:
			bad("declared twice")
		case p.Type < Length || p.Type > items:
			bad("unknown type")
		case p.Min > p.Max && p.Max != 0:
			bad("limits crossed")
		case p.From != "" && defaults[p.From] != p.Type:
			bad("defaults has no such key of this type")
		case p.Required && p.Default != nil:
			bad("a required key has no default")
		}
		seen[p.Key] = true
		check(where+"."+p.Key, p.Params, defaults)
	}
}
