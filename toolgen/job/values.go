package job

import (
	"fmt"
	"sync/atomic"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// Values holds the resolved keys of one section or feature. An accessor panics when the key was
// not declared or has another type: that is a fault of the program, never of the job. A key that
// was neither given nor has a default reads as zero; ask Has first. Values may be read by several
// goroutines at once.
type Values struct {
	pos  finding.Pos
	list []*value // in the order of the declaration
	own  int      // list[own:] are the keys the kind or section declared itself
	by   map[string]*value
}

type value struct {
	param *Param
	pos   finding.Pos   // of the key, where given here or in the section defaults
	elems []finding.Pos // of the entries of a list
	given bool
	data  any // nil: neither given nor a default
	read  atomic.Bool
}

// Length returns a length in mm.
func (v *Values) Length(key string) float64 { return get[float64](v, key, Length) }

// Angle returns an angle.
func (v *Values) Angle(key string) geom.Angle {
	return geom.Angle(get[float64](v, key, Angle)) * geom.Degree
}

// Number returns a plain number.
func (v *Values) Number(key string) float64 { return get[float64](v, key, Number) }

// Count returns a whole number.
func (v *Values) Count(key string) int { return get[int](v, key, Count) }

// Text returns free text.
func (v *Values) Text(key string) string { return get[string](v, key, Text) }

// Choice returns one of the words declared for the key.
func (v *Values) Choice(key string) string { return get[string](v, key, Choice) }

// Flag returns true or false.
func (v *Values) Flag(key string) bool { return get[bool](v, key, Flag) }

// Temperature returns a temperature in deg C.
func (v *Values) Temperature(key string) float64 { return get[float64](v, key, Temperature) }

// Point returns a point or a pair of sizes in mm.
func (v *Values) Point(key string) geom.Vec2 { return get[geom.Vec2](v, key, Point) }

// Points returns a list of points in mm.
func (v *Values) Points(key string) []geom.Vec2 { return get[[]geom.Vec2](v, key, Points) }

// Lengths returns a list of lengths in mm.
func (v *Values) Lengths(key string) []float64 { return get[[]float64](v, key, Lengths) }

// Texts returns a list of texts.
func (v *Values) Texts(key string) []string { return get[[]string](v, key, Texts) }

// Grid returns the counts across (X) and away (Y).
func (v *Values) Grid(key string) [2]int { return get[[2]int](v, key, Grid) }

// Outline returns a plan shape, nil where none is given.
func (v *Values) Outline(key string) *Shape { return get[*Shape](v, key, Outline) }

// Group returns the keys of a group; where the user gave none they stand at their defaults.
func (v *Values) Group(key string) *Values { return get[*Values](v, key, Group) }

// Groups returns the entries of a list of groups.
func (v *Values) Groups(key string) []*Values { return get[[]*Values](v, key, Groups) }

// Has reports whether the key has a value: given, from the section defaults, or its own default.
func (v *Values) Has(key string) bool {
	e := v.find(key)
	return e.data != nil && (e.given || e.param.Type != Group)
}

// Given reports whether the key is written in the file for this item.
func (v *Values) Given(key string) bool { return v.find(key).given }

// Declares reports whether the kind or section has the key.
func (v *Values) Declares(key string) bool { return v.by[key] != nil }

// Pos returns the place of the key where it is given, here or in the section defaults, else of the
// section or item.
func (v *Values) Pos(key string) finding.Pos {
	if e := v.find(key); e.pos.Line > 0 {
		return e.pos
	}
	return v.pos
}

// PosAt returns the place of entry i of a list, else the place Pos gives.
func (v *Values) PosAt(key string, i int) finding.Pos {
	if e := v.find(key); e.given && i < len(e.elems) {
		return e.elems[i]
	}
	return v.Pos(key)
}

// Unread returns the declared keys whose value no accessor has asked for, in the order of the
// declaration; a key of a group that was asked for is written group.key.
func (v *Values) Unread() []string {
	var out []string
	for _, e := range v.list[v.own:] {
		if !e.read.Load() {
			out = append(out, e.param.Key)
			continue
		}
		switch d := e.data.(type) {
		case *Values:
			for _, k := range d.Unread() {
				out = append(out, e.param.Key+"."+k)
			}
		case []*Values:
			out = append(out, unreadInAll(e.param, d)...)
		}
	}
	return out
}

// unreadInAll returns the keys that no entry of a list of groups was asked for.
func unreadInAll(p *Param, list []*Values) []string {
	if len(list) == 0 {
		return nil
	}
	var out []string
	for _, sub := range p.Params {
		read := false
		for _, v := range list {
			read = read || v.find(sub.Key).read.Load()
		}
		if !read {
			out = append(out, p.Key+"."+sub.Key)
		}
	}
	return out
}

// With returns the values with another value for one key, as if the file gave it: for questions of
// what would be. The value must be of the type that the key's accessor returns, an angle in degrees.
func (v *Values) With(key string, data any) *Values {
	old := v.find(key)
	if old.data != nil && fmt.Sprintf("%T", old.data) != fmt.Sprintf("%T", data) {
		panic(fmt.Sprintf("job: key %q holds a %T, given a %T", key, old.data, data))
	}
	out := &Values{pos: v.pos, own: v.own, by: map[string]*value{}}
	for _, e := range v.list {
		if e == old {
			e = &value{param: old.param, pos: old.pos, given: true, data: data}
		}
		out.list = append(out.list, e)
		out.by[e.param.Key] = e
	}
	return out
}

func (v *Values) find(key string) *value {
	e := v.by[key]
	if e == nil {
		panic(fmt.Sprintf("job: key %q was not declared", key))
	}
	return e
}

func get[T any](v *Values, key string, t Type) (zero T) {
	e := v.find(key)
	if e.param.Type != t {
		panic(fmt.Sprintf("job: key %q is a %s, read as a %s", key, e.param.Type, t))
	}
	e.read.Store(true)
	if e.data == nil {
		return zero
	}
	return e.data.(T)
}
