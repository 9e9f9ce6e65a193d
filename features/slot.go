package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Slot is a narrow round-ended recess for a card, a chip or a pin.
var Slot = part.Kind{
	Kind: job.Kind{
		Name: "slot",
		Text: "narrow round-ended recess for a card, a chip or a pin",
		On:   "sunk",
		Params: []job.Param{
			{Key: "length", Type: job.Length, Required: true, Min: 0.5, Max: 3000, Text: "overall length along X"},
			{Key: "width", Type: job.Length, Required: true, Min: 0.3, Max: 500, Text: "width along Y, the diameter of its ends"},
			{Key: "depth", Type: job.Length, Required: true, Min: 0.2, Max: 500, Text: "from the level it sinks from to its floor"},
			holdsKey("floor"),
			draftKey(6, draftRange),
			edgeKey("rounding of the opening", 1),
			{Key: "floor", Type: job.Length, Min: 0, Max: 100, Source: practice,
				Text: "rounding between wall and floor; not given: 2 gauges, or 0.3 of the width"},
		},
		Example: "kind: slot\nname: card\nlength: 60\nwidth: 16\ndepth: 7\n",
	},
	Shape: slotShape,
}

func slotShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	l, w := v.Length("length"), v.Length("width")
	o, err := outline.Slot(l, w)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	floor := min(2*e.Gauge, 0.3*w)
	if v.Has("floor") {
		floor = v.Length("floor")
	}
	return []part.Solid{{
		Outline: o, Sunk: true, Height: v.Length("depth"), Holds: hold(v), Draft: v.Angle("draft"),
		HostR: v.Length("edge"), EndR: floor, Use: part.Product,
	}}, nil
}
