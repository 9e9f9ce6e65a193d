package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/glyph"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Lettering is a line of text raised from the part or sunk in it.
var Lettering = part.Kind{
	Kind: job.Kind{
		Name: "lettering",
		Text: "a line of text raised from the part or sunk in it; raised and sunk are meant on the part, and it is never mirrored there",
		On:   "raised or sunk",
		Params: append([]job.Param{
			{Key: "text", Type: job.Text, Required: true, Text: "the line of text"},
			{Key: "height", Type: job.Length, Default: 8.0, Min: 2, Max: 300, Source: practice, Text: "height of the capitals"},
			{Key: "weight", Type: job.Choice, Default: "bold", Choices: []string{"regular", "bold"}, Source: "common practice, no source: even strokes of at least 2 gauges", Text: "built-in sans serif"},
			{Key: "font", Type: job.Text, Text: "TrueType or OpenType file beside the job, in place of the built-in font"},
			{Key: "align", Type: job.Choice, Default: "centre", Choices: []string{"left", "centre", "right"}, Source: practice, Text: "which point of the line is placed; the line's middle height always is"},
			{Key: "spacing", Type: job.Length, Default: 0.0, Min: -5, Max: 50, Source: practice, Text: "extra space between letters"},
			{Key: "corner", Type: job.Length, Default: 0.3, Min: 0.05, Max: 5, Source: practice, Text: "rounding of the letters' corners in plan, for the cutter; less where it does not fit"},
		}, stroke()...),
		Example: "kind: lettering\ntext: TIDE 40\n",
	},
	Shape: letteringShape,
}

var aligns = map[string]glyph.Align{"left": glyph.Left, "centre": glyph.Centre, "right": glyph.Right}

// leastCorner is how small the rounding of a letter's corner may become where the one asked does not
// fit, mm: below it no cutter follows.
const leastCorner = 0.1

func letteringShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	font, err := letteringFont(e)
	if err != nil {
		return nil, err
	}
	height := v.Length("height")
	o, _, err := glyph.Line(v.Text("text"), font, height, glyph.Options{
		Spacing: v.Length("spacing"), Align: aligns[v.Choice("align")], Round: v.Length("corner"), Least: leastCorner,
	})
	if err != nil {
		return nil, part.Blame("text", "%w", err)
	}
	// Placed by its middle height; text that reads from below is mirrored when seen from above.
	m := geom.Moved(geom.Vec2{Y: -height / 2})
	if v.Choice("reads_from") == "below" {
		m = m.Then(geom.Scaled(-1, 1))
	}
	if o, err = o.Map(m); err != nil {
		return nil, err
	}
	return []part.Solid{{
		Outline: o, Sunk: v.Choice("way") == "sunk", Height: v.Length("relief"), Holds: part.AtHost,
		Draft: v.Angle("draft"), HostR: v.Length("root"), EndR: v.Length("crown"), Use: part.Lettering,
	}}, nil
}

// letteringFont returns the font a job asks for.
func letteringFont(e part.Env) (*glyph.Font, error) {
	v := e.Values
	if !v.Has("font") {
		if v.Choice("weight") == "regular" {
			return glyph.Regular(), nil
		}
		return glyph.Bold(), nil
	}
	data, err := e.Open(v.Text("font"))
	if err != nil {
		return nil, part.Blame("font", "%w", err)
	}
	f, err := glyph.Parse(v.Text("font"), data)
	if err != nil {
		return nil, part.Blame("font", "%s: %w", v.Text("font"), err)
	}
	return f, nil
}
