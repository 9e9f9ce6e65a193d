package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// FingerRecess is a round-ended recess across a pocket's rim that lets fingers reach the product.
var FingerRecess = part.Kind{
	Kind: job.Kind{
		Name: "finger_recess",
		Text: "round-ended recess across the rim of the pocket it is nested in, so that fingers reach the product",
		On:   "sunk",
		Params: []job.Param{
			{Key: "length", Type: job.Length, Default: 30.0, Min: 1, Max: 1000, Source: practice, Text: "overall length along X, at the opening"},
			{Key: "width", Type: job.Length, Default: 25.0, Min: 1, Max: 500, Source: practice, Text: "width along Y, at the opening"},
			{Key: "depth", Type: job.Length, Default: 20.0, Min: 0.5, Max: 500, Source: practice, Text: "from the level the pocket sinks from"},
			draftKey(8, practice),
			edgeKey("rounding of the opening", 2),
			{Key: "floor", Type: job.Length, From: "floor", Min: 0, Max: 100, Source: practice,
				Text: "rounding between wall and floor; not given: the largest of 2 gauges, depth / 20 and 1.5 mm"},
		},
		Example: "kind: pocket\nname: meter\nsize: [90, 60]\ndepth: 24\nfeatures:\n  - kind: finger_recess\n    at: [45, 0]\n",
	},
	Shape: fingerShape,
}

func fingerShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	l, w, depth := v.Length("length"), v.Length("width"), v.Length("depth")
	if l < w {
		return nil, part.Blame("length", "length %.3f mm is below the width %.3f mm; exchange them and turn the recess by 90 deg", l, w)
	}
	o, err := outline.Slot(l, w)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	floor := floorRadius(e.Gauge, depth)
	if v.Has("floor") {
		floor = v.Length("floor")
	}
	return []part.Solid{{
		Outline: o, Sunk: true, Height: depth, Holds: part.AtHost, Draft: v.Angle("draft"),
		HostR: v.Length("edge"), EndR: floor, Rim: true, Use: part.Grip,
	}}, nil
}
