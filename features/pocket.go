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
				Text: "rounding between wall and floor; not given: the largest of 2 gauges, depth / 20 and 1.5 mm, less where the clearance leaves a sharp-cornered product a smaller corner, but at least 1 gauge"},
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
	corner := floorCorner(floor)
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	least := floor
	c, _, round := clearance(v)
	if round && !v.Has("floor") && (h == nil || h.bays == nil) {
		least = min(floor, leastFloor*e.Gauge)
	}
	need := floorRun(v.Angle("draft"), hold(v), depth, least)
	var o *outline.Outline
	switch {
	case h == nil:
		if o, err = room(e, v, corner, need); err != nil && c == 0 && v.Has("floor") && !v.Has("corner") {
			err = floorTooLarge(e, floor, need, err)
		}
	case hold(v) != part.AtEnd:
		return nil, part.Blame("holds", "a product has its clearance at the floor, 0 mm above it; leave holds out or say floor")
	default:
		run := v.Length("edge")*((90*geom.Degree-v.Angle("draft"))/2).Tan() + depth*v.Angle("draft").Tan()
		o, err = h.room(e, corner, need, run)
	}
	if err != nil {
		return nil, err
	}
	if least < floor {
		floor = min(floor, max(least, round3(floor+(o.Convex()-floorRun(v.Angle("draft"), hold(v), depth, floor))/floorRun(v.Angle("draft"), part.AtEnd, 0, 1))))
	}
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

// leastFloor is the smallest floor rounding, of the gauge, that a pocket takes by itself so that a close-fitting
// product goes into its corners: common practice, no source.
const leastFloor = 1

// floorCorner is the plan corner of a recess where none is given, mm: common practice, no source.
func floorCorner(floor float64) float64 { return max(5, 1.25*floor) }

// floorTooLarge returns err, or where it comes of the corner that the floor rounding asks for, the refusal of that.
func floorTooLarge(e part.Env, floor, need float64, err error) error {
	fits := func(r float64) bool {
		_, err := room(e, e.Values, floorCorner(r), need*r/floor)
		return err == nil
	}
	if floor == 0 || !fits(0) {
		return err
	}
	lo, hi := 0.0, floor
	for hi-lo > 1e-7 {
		if mid := (lo + hi) / 2; fits(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return part.Blame("floor", "a rounding of %.3f mm asks for a plan corner of %.3f mm, which finds no room; floor at most %.3f mm, or a corner by hand", floor, floorCorner(floor), round3(lo+1e-6))
}
