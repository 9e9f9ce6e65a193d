package features

import (
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// Step is a level area raised or sunk from its surroundings, on which other features may lie.
var Step = part.Kind{
	Kind: job.Kind{
		Name: "step",
		Text: "level area raised above its surroundings, or sunk below them, on which other features may lie; its size holds at its own level",
		On:   "raised or sunk",
		Params: []job.Param{
			sizeKey, outlineKey,
			{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 1000, Text: "height, or depth when sunk"},
			{Key: "way", Type: job.Choice, Default: "raised", Choices: []string{"raised", "sunk"}, Source: practice, Text: "which way it goes on the part"},
			cornerKey("the largest of 1.25 edge, 1.25 floor and 5 mm"),
			draftKey(6, draftRange),
			edgeKey("rounding of its upper edge", 2),
			{Key: "floor", Type: job.Length, From: "floor", Min: 0, Max: 200, Source: practice, Text: "rounding of its lower edge; not given: 1.5 gauges, at least 2 mm"},
		},
		Example: "kind: step\nsize: [120, 70]\nheight: 6\nfeatures:\n  - kind: pocket\n    size: [60, 30]\n    depth: 4\n",
	},
	Shape: stepShape,
}

func stepShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	edge, floor := v.Length("edge"), max(2, 1.5*e.Gauge)
	if v.Has("floor") {
		floor = v.Length("floor")
	}
	sunk := v.Choice("way") == "sunk"
	corner := max(5, 1.25*max(edge, floor))
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	o, err := plan(e, v, corner)
	if err != nil {
		return nil, err
	}
	s := part.Solid{Outline: o, Sunk: sunk, Height: v.Length("height"), Holds: part.AtEnd, Draft: v.Angle("draft"),
		HostR: floor, EndR: edge}
	if sunk {
		s.HostR, s.EndR = edge, floor
	}
	return []part.Solid{s}, nil
}
