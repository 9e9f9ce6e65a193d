package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Cradle is a trough for a cylinder that lies along X.
var Cradle = part.Kind{
	Kind: job.Kind{
		Name: "cradle",
		Text: "trough for a cylinder lying along X; its ends are rounded like its sides, so that it is longer than the product by about the diameter; room for fingers is that of a wider pocket in whose floor it lies",
		On:   "sunk",
		Params: []job.Param{
			{Key: "diameter", Type: job.Length, Required: true, Min: 2, Max: 1000, Text: "of the product"},
			{Key: "length", Type: job.Length, Required: true, Min: 1, Max: 3000, Text: "of the product, flat ends"},
			{Key: "depth", Type: job.Length, Min: 0.5, Max: 1000, Source: practice,
				Text: "from the level it sinks from to where the product lies; not given: half the diameter, which brings its axis to that level"},
			{Key: "clearance", Type: job.Length, Default: 0.5, Min: 0, Max: 20, Source: practice,
				Text: "by which the radius of the trough is larger than the product's, and each end farther out"},
			{Key: "mass", Type: job.Number, Default: 0.0, Min: 0, Max: 100000, Source: "none told", Text: "of one product, g"},
			draftKey(6, draftRange),
			edgeKey("rounding of the opening", 2),
		},
		Example: "kind: cradle\nname: lamp\ndiameter: 32\nlength: 70\n",
	},
	Shape: cradleShape,
}

// troughFlat is the level strip along the bottom of a trough, mm: a surface that a ball cutter finishes,
// a mesh closes and a vent hole can stand near.
const troughFlat = 0.2

// cradleShape sweeps an arc of the product's radius and clearance, tangent to the bottom, round a slot.
// The arc stops short of the horizontal by the draft, and the wall carries on; a trough too shallow for
// that stops the arc where its opening is rounded. Beyond the ends of the product the arc turns round.
func cradleShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	c, edge, draft := v.Length("clearance"), v.Length("edge"), v.Angle("draft")
	arc, depth := v.Length("diameter")/2+c, v.Length("diameter")/2
	if v.Has("depth") {
		depth = v.Length("depth")
	}
	draft = max(draft, part.LeastDraft(depth, edge, arc))
	if draft > steepest {
		return nil, part.Blame("depth", "depth %.3f mm is too little for an arc of %.3f mm and an edge of %.3f mm; at least %.3f mm, or a smaller edge",
			depth, arc, edge, (1-steepest.Sin())*(arc+edge)+part.ShortWall*steepest.Cos()+0.001)
	}
	half := arc*((90*geom.Degree-draft)/2).Tan() + troughFlat/2
	o, err := outline.Slot(v.Length("length")+2*c+2*half, 2*half)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	lying, err := outline.Rect(v.Length("length"), v.Length("diameter"), 0)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	return []part.Solid{{
		Outline: o, Sunk: true, Height: depth, Holds: part.AtEnd, Draft: draft,
		HostR: edge, EndR: arc, EndSize: true, Use: part.Product,
		Held: &part.Held{Plan: lying, Height: v.Length("diameter"), Edge: v.Length("diameter") / 2, Mass: v.Number("mass")},
	}}, nil
}

// steepest is how far the wall of a shallow trough may lean from the vertical.
const steepest = 60 * geom.Degree
