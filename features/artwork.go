package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Artwork is a mark of the user's own, from a drawing, raised from the part or sunk in it like lettering.
var Artwork = part.Kind{
	Kind: job.Kind{
		Name: "artwork",
		Text: "a mark from a drawing, raised from the part or sunk in it like lettering; raised and sunk are meant on the part, and it is never mirrored there",
		On:   "raised or sunk",
		Params: append([]job.Param{
			{Key: "outline", Type: job.Outline, Required: true, Text: "the mark: {svg: file} or {dxf: file, layer: name}, or any other outline"},
			{Key: "width", Type: job.Length, Min: 1, Max: 3000, Text: "overall width to which the mark is scaled, its height with it; not given: as drawn"},
			{Key: "corner", Type: job.Length, Min: 0.05, Max: 5, Source: practice, Text: "rounding of sharp corners in plan, for the cutter; not given: what relief, draft and crown need, at least 0.3 mm"},
		}, stroke()...),
		Example: "kind: artwork\noutline: {svg: mark.svg}\nwidth: 40\n",
	},
	Shape: artworkShape,
}

// stroke are the keys of what is raised or sunk in strokes.
func stroke() []job.Param {
	return []job.Param{
		{Key: "relief", Type: job.Length, Default: 0.8, Min: 0.1, Max: 10, Source: "common practice, no source: 0.5 to 1.5 mm, at most the stroke width", Text: "height or depth of the strokes"},
		{Key: "way", Type: job.Choice, Default: "raised", Choices: []string{"raised", "sunk"}, Source: practice, Text: "raised: up from the part as it lies; sunk: down into it, whichever side reads it"},
		{Key: "reads_from", Type: job.Choice, Default: "above", Choices: []string{"above", "below"}, Source: practice, Text: "side of the part from which it reads"},
		{Key: "draft", Type: job.Angle, Default: 10.0, Min: 1, Max: 45, Source: "common practice, no source: 10 to 20 deg on strokes", Text: "slope of the strokes from the vertical, on the tool"},
		{Key: "crown", Type: job.Length, Default: 0.15, Min: 0, Max: 5, Source: practice, Text: "rounding along the strokes' top, or along their bottom when sunk"},
		{Key: "root", Type: job.Length, Default: 0.2, Min: 0, Max: 5, Source: practice, Text: "rounding where the strokes meet their surroundings"},
	}
}

func artworkShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	o, err := part.FromShape(v.Outline("outline"), 0, e.Open)
	if err != nil {
		return nil, part.Blame("outline", "%w", err)
	}
	m := geom.Moved(geom.Vec2{})
	if v.Has("width") {
		f := v.Length("width") / o.Bounds().Size().X
		m = geom.Scaled(f, f)
	}
	// What reads from below is mirrored when seen from above.
	if v.Choice("reads_from") == "below" {
		m = m.Then(geom.Scaled(-1, 1))
	}
	if o, err = o.Map(m); err != nil {
		return nil, part.Blame("width", "%w", err)
	}
	corner := max(0.3, 1.02*floorRun(v.Angle("draft"), part.AtHost, v.Length("relief"), v.Length("crown")))
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	if o, _, err = o.RoundedDown(corner, min(leastCorner, corner)); err != nil {
		return nil, part.Blame("outline", "%w", err)
	}
	return []part.Solid{{
		Outline: o, Sunk: v.Choice("way") == "sunk", Height: v.Length("relief"), Holds: part.AtHost,
		Draft: v.Angle("draft"), HostR: v.Length("root"), EndR: v.Length("crown"), Use: part.Lettering,
	}}, nil
}
