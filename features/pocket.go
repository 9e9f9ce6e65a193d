package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Pocket is a flat-floored recess that takes a product.
var Pocket = part.Kind{
	Kind: job.Kind{
		Name: "pocket",
		Text: "flat-floored recess that takes a product; its size holds at the floor, where the product sits",
		On:   "sunk",
		Params: []job.Param{
			sizeKey, outlineKey, productKey, clearanceKey, fitKey,
			{Key: "depth", Type: job.Length, Min: 0.2, Max: 1000, Text: "from the level it sinks from to its floor; not given: the height of the product"},
			holdsKey("floor"),
			cornerKey("the larger of 1.25 floor and 5 mm"),
			draftKey(6, draftRange),
			edgeKey("rounding of the opening", 2),
			{Key: "floor", Type: job.Length, From: "floor", Min: 0, Max: 200, Source: practice,
				Text: "rounding between wall and floor; not given: the largest of 2 gauges, depth / 20 and 1.5 mm"},
			fingersKey,
		},
		Example: "kind: pocket\nname: battery\nsize: [62, 38]\ndepth: 18\n",
	},
	Shape: pocketShape,
}

func pocketShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	h, err := held(e)
	if err != nil {
		return nil, err
	}
	depth, err := sunk(v, h)
	if err != nil {
		return nil, err
	}
	floor := floorRadius(e.Gauge, depth)
	if v.Has("floor") {
		floor = v.Length("floor")
	}
	corner := max(5, 1.25*floor)
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	need := floorRun(v.Angle("draft"), hold(v), depth, floor)
	var o *outline.Outline
	switch {
	case h == nil:
		o, err = room(e, v, corner, need)
	case hold(v) != part.AtEnd:
		return nil, part.Blame("holds", "a product has its clearance at the floor, 0 mm above it; leave holds out or say floor")
	default:
		run := v.Length("edge")*((90*geom.Degree-v.Angle("draft"))/2).Tan() + depth*v.Angle("draft").Tan()
		o, err = h.room(e, corner, need, run)
	}
	if err != nil {
		return nil, err
	}
	c, _, _ := clearance(v)
	grips, err := fingers(e, o, h, depth, floor)
	if err != nil {
		return nil, err
	}
	var told *part.Held
	if h != nil {
		told = h.Held
	}
	return append([]part.Solid{{
		Outline: o, Sunk: true, Height: depth, Holds: hold(v), Draft: v.Angle("draft"),
		HostR: v.Length("edge"), EndR: floor, Use: part.Product, Clearance: c, Held: told, Carries: true,
	}}, grips...), nil
}
