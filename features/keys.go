package features

import (
	"math"

	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Sources of the defaults below.
const (
	practice   = "common practice, no source"
	draftRange = "school workshop card, 5 to 10 deg for formed trays; common practice for 6"
)

// The keys that most kinds share.
func draftKey(deg float64, source string) job.Param {
	return job.Param{Key: "draft", Type: job.Angle, From: "draft", Default: deg, Min: 0, Max: 60, Source: source,
		Text: "slope of the walls from the vertical, on the tool"}
}

func edgeKey(text string, r float64) job.Param {
	return job.Param{Key: "edge", Type: job.Length, From: "edge", Default: r, Min: 0, Max: 100, Source: practice, Text: text}
}

// The roundings of a raised feature.
var (
	crownKey = job.Param{Key: "crown", Type: job.Length, Min: 0, Max: 100, Source: practice,
		Text: "rounding of the top's edge, or of the bottom's when sunk; not given: 1 gauge, at least 1 mm"}
	rootKey = job.Param{Key: "root", Type: job.Length, Min: 0, Max: 100, Source: practice,
		Text: "rounding where it meets its surroundings; not given: 1.5 gauges, at least 1.5 mm"}
)

// crownRoot reads both.
func crownRoot(v *job.Values, gauge float64) (crown, root float64) {
	crown, root = max(1, gauge), max(1.5, 1.5*gauge)
	if v.Has("crown") {
		crown = v.Length("crown")
	}
	if v.Has("root") {
		root = v.Length("root")
	}
	return crown, root
}

// cornerKey is the corner of a plan; otherwise says what holds where it is not given.
func cornerKey(otherwise string) job.Param {
	return job.Param{Key: "corner", Type: job.Length, From: "corner", Min: 0, Max: 500, Source: practice,
		Text: "plan corner radius at the height where the size holds; not given: " + otherwise}
}

var sizeKey = job.Param{Key: "size", Type: job.Point, Min: 0.5, Max: 3000,
	Text: "length along X and width along Y"}

var outlineKey = job.Param{Key: "outline", Type: job.Outline,
	Text: "plan outline instead of size: {rect: [x, y], corner: r}, {circle: diameter}, {slot: [length, width]}, {polygon: [[x, y], ...], corner: r}, {dxf: file, layer: name} or {svg: file}"}

func holdsKey(def string) job.Param {
	return job.Param{Key: "holds", Type: job.Choice, Default: def, Choices: []string{"floor", "opening"}, Source: practice,
		Text: "height at which size and corner hold"}
}

// hold reads the holds key.
func hold(v *job.Values) part.Hold {
	if v.Choice("holds") == "floor" {
		return part.AtEnd
	}
	return part.AtHost
}

// floorRadius is the default floor rounding of a pocket: 2 gauges, a twentieth of the depth, at
// least 1.5 mm (common practice, no source).
func floorRadius(gauge, depth float64) float64 { return max(2*gauge, 0.05*depth, 1.5) }

// plan returns the outline that the keys outline or size of v give; corner is used for a shape that names
// no corner of its own.
func plan(e part.Env, v *job.Values, corner float64) (*outline.Outline, error) {
	given, sized := v.Given("outline"), v.Given("size")
	if given == sized {
		return nil, part.Blame("size", "give either size or outline")
	}
	s := &job.Shape{Kind: "rect", Size: v.Point("size"), Corner: corner, HasCorner: true}
	if given {
		s = v.Outline("outline")
	}
	o, err := part.FromShape(s, corner, e.Open)
	if err != nil && given {
		return nil, part.Blame("outline", "%w", err)
	}
	if err != nil {
		return nil, part.Blame("size", "%w", err)
	}
	return o, nil
}

// round3 rounds down to a micrometre, for numbers that a message advises.
func round3(x float64) float64 { return math.Floor(x*1000) / 1000 }
