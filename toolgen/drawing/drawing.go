// Package drawing owns the 2D drawings a shop has: it reads closed outlines from DXF and SVG files and
// writes DXF.
//
// What is read is exact where the file is: lines and circular arcs stay what they are. Ellipses, splines
// and Beziers become tangent chains of arcs within 0.002 mm. Loops come out oriented, outer ones
// counter-clockwise and holes clockwise, free of crossings. Whatever does not make closed loops is refused
// with its place in the file; nothing is left out silently. Any file is answered within about a second and
// in bounded memory.
//
// The result is in mm, X right and Y up. A DXF file keeps its origin. The origin of an SVG file becomes the
// lower left corner of its page.
package drawing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Limits on what is read; a shop's drawings stay far below.
const (
	mostBytes    = 10 << 20
	mostSegments = 100_000 // lines and arcs, after curves have become arcs
	mostLoops    = 10_000
	mostFaults   = 20    // reported of one file
	farthest     = 100e3 // mm from the origin; rounding stays below the 1e-9 mm of a joint
)

// Tolerances, mm.
const (
	defaultJoin = 0.01 // between ends that are one point: a tenth of what a knife or a router holds
	mostJoin    = 0.5  // beyond it closing a gap is drawing
	same        = 1e-4 // points nearer than this are one point
	fitTol      = 1e-3 // aimed at by arcs that stand for a curve, half of what is promised
)

// Unit is a unit of length of a file.
type Unit struct {
	Name string
	MM   float64 // its length, mm
}

// The units an option may give.
var (
	Millimetre = Unit{"mm", 1}
	Inch       = Unit{"inch", 25.4}
)

// Options of reading; the zero value reads everything and wants the file to say its unit.
type Options struct {
	// Unit is the unit of a file that does not say one; zero: unknown, such a DXF file is refused, and the
	// user units of such an SVG file are pixels, 96 to the inch.
	Unit Unit
	// Layers are the names of the layers to read; empty: all. A name matches whatever its case.
	Layers []string
	// Join is the largest gap, mm, between two ends that are taken for one point: 0.0001 to 0.5, 0: 0.01.
	Join float64
}

// Drawing is what was read.
type Drawing struct {
	Outline  *outline.Outline // mm; simple and oriented
	Loops    []Loop           // one a loop of Outline, in the same order
	Bounds   geom.Box2        // mm
	Unit     Unit             // of the file
	Warnings []string         // what was mended or passed over
}

// Loop says where a loop comes from.
type Loop struct {
	Place Place     // of the first entity, with a point of the loop
	Depth int       // how many loops lie around it: odd for holes
	Area  float64   // mm2, within the loop, always positive
	Box   geom.Box2 // mm
	Gap   float64   // mm, the widest gap closed
}

// Place is a place in a file.
type Place struct {
	Line   int       // counted from 1; 0 where the file as a whole is meant
	Entity string    // kind of the entity: "LINE", "path"
	Number int       // of the entity in the file, counted from 1; 0 where none is meant
	Layer  string    // of the entity
	At     geom.Vec2 // in the file's own units and axes
	HasAt  bool
}

// String returns what is known of the place.
func (p Place) String() string {
	var s []string
	if p.Line > 0 {
		s = append(s, fmt.Sprintf("line %d", p.Line))
	}
	if p.Number > 0 {
		s = append(s, fmt.Sprintf("entity %d %s", p.Number, p.Entity))
	}
	if p.Layer != "" {
		s = append(s, fmt.Sprintf("layer %q", p.Layer))
	}
	out := strings.Join(s, ", ")
	if p.HasAt {
		out += " at (" + short(p.At.X) + ", " + short(p.At.Y) + ")"
	}
	return strings.TrimSpace(out)
}

// short writes x with up to four decimals.
func short(x float64) string {
	s := strings.TrimRight(strconv.FormatFloat(x, 'f', 4, 64), "0")
	if s = strings.TrimSuffix(s, "."); s == "-0" {
		return "0"
	}
	return s
}

// Fault is one reason why a file is refused.
type Fault struct {
	Place Place
	Text  string
}

// String returns place and reason.
func (f Fault) String() string {
	if p := f.Place.String(); p != "" {
		return p + ": " + f.Text
	}
	return f.Text
}

// Refusal is the error of a file that can not be taken: at least one fault, at most 20.
type Refusal struct {
	Format string // "DXF" or "SVG"
	Faults []Fault
}

// Error returns the faults, one a line.
func (r *Refusal) Error() string {
	lines := make([]string, len(r.Faults))
	for i, f := range r.Faults {
		lines[i] = f.String()
	}
	return r.Format + " drawing: " + strings.Join(lines, "\n")
}

// wants reports whether a layer is to be read.
func (o Options) wants(names ...string) bool {
	return len(o.Layers) == 0 || slices.ContainsFunc(o.Layers, func(l string) bool {
		return slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(l, n) })
	})
}
