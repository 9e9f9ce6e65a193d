package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/glyph"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Marking is text engraved in the tool beside the part.
var Marking = part.Kind{
	Kind: job.Kind{
		Name: "marking",
		Text: "text engraved in the land of the tool, outside the trim line, so that the tool can be told from others; its size is that of the tool and it reads on the tool",
		On:   "sunk",
		Params: []job.Param{
			{Key: "text", Type: job.Text, Text: "the line; not given: the job's name and revision"},
			{Key: "arrow", Type: job.Choice, Default: "none", Choices: []string{"none", "left", "right", "up", "down"}, Source: practice,
				Text: "arrow behind the text, as for the front or the sheet's extrusion; it turns with the feature"},
			{Key: "height", Type: job.Length, Default: 5.0, Min: 2, Max: 100, Source: practice, Text: "height of the capitals, on the tool"},
			{Key: "depth", Type: job.Length, Default: 0.4, Min: 0.1, Max: 3, Source: "common practice, no source: 0.3 to 0.5 mm", Text: "of the strokes, on the tool"},
			{Key: "align", Type: job.Choice, Default: "centre", Choices: []string{"left", "centre", "right"}, Source: practice, Text: "which point of the line is placed; the line's middle height always is"},
			{Key: "draft", Type: job.Angle, Default: 10.0, Min: 1, Max: 45, Source: practice, Text: "slope of the strokes from the vertical"},
		},
		Example: "kind: marking\ntext: TRAY 7 B\narrow: right\n",
	},
	Shape: markingShape,
}

var arrows = map[string]string{"left": "\u2190", "right": "\u2192", "up": "\u2191", "down": "\u2193"}

func markingShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	text, key := e.Title, "arrow"
	if v.Has("text") {
		text, key = v.Text("text"), "text"
	}
	if a := arrows[v.Choice("arrow")]; a != "" {
		text += " " + a
	}
	height := v.Length("height")
	o, _, err := glyph.Line(text, glyph.Bold(), height, glyph.Options{Align: aligns[v.Choice("align")], Round: 0.3, Least: leastCorner})
	if err != nil {
		return nil, part.Blame(key, "%w", err)
	}
	if o, err = o.Map(geom.Moved(geom.Vec2{Y: -height / 2})); err != nil {
		return nil, err
	}
	// What sinks in the tool sinks on the part where the sheet's underside touches it.
	return []part.Solid{{
		Outline: o, Sunk: e.Under, Height: v.Length("depth"), Holds: part.AtHost, Draft: v.Angle("draft"),
		HostR: 0, EndR: 0, OnTool: true, Use: part.Marking,
	}}, nil
}
