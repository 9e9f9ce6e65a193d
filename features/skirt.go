package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Skirt is the turned-down edge of a cover, with the panel inside it.
var Skirt = part.Kind{
	Kind: job.Kind{
		Name: "skirt",
		Text: "turned-down edge all round a cover: the panel inside it stands up by its height and takes other features, its foot follows the trim line, or a line of its own, at the width of the flange; a panel of a given size, for a cover that must go over something, is a step",
		On:   "raised",
		Params: []job.Param{
			{Key: "height", Type: job.Length, Required: true, Min: 0.5, Max: 1000, Text: "from the flange to the panel"},
			{Key: "flange", Type: job.Length, Default: 8.0, Min: 0, Max: 500, Source: practice, Text: "level strip between the trim line, or the line given, and the rounding at the skirt's foot"},
			{Key: "size", Type: job.Point, Min: 0.5, Max: 3000, Text: "length along X and width along Y of the line, instead of the trim line"},
			outlineKey,
			cornerKey("that of the line less the flange, at least what draft, edge and the wall behind need, and 5 mm"),
			draftKey(6, draftRange),
			edgeKey("rounding between skirt and panel", 3),
			{Key: "root", Type: job.Length, Min: 0, Max: 200, Source: practice, Text: "rounding between skirt and flange; not given: 1.5 gauges, at least 2 mm"},
		},
		Example: "kind: skirt\nheight: 25\nsize: [160, 110]\n",
	},
	Shape: skirtShape,
}

func skirtShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	s := part.Solid{Height: v.Length("height"), Holds: part.AtHost, Draft: v.Angle("draft"), HostR: max(2, 1.5*e.Gauge), EndR: v.Length("edge")}
	if v.Has("root") {
		s.HostR = v.Length("root")
	}
	// The tool's corner may be sharper by the wall, at most the gauge.
	corner := max(5, 1.05*(floorRun(s.Draft, s.Holds, s.Height, s.EndR)+e.Gauge/s.Draft.Cos()))
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	line, err := rimLine(e)
	if err != nil {
		return nil, err
	}
	foot := s.HostR * ((90*geom.Degree - s.Draft) / 2).Tan() // of the rounding, outside the wall's line
	if s.Outline, err = line.Inset(v.Length("flange")+foot, corner); err != nil {
		return nil, part.Blame("flange", "%w", err)
	}
	return []part.Solid{s}, nil
}
