package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// GripRib is an upright rib on the wall of a pocket that presses on the product.
var GripRib = part.Kind{
	Kind: job.Kind{
		Name: "grip_rib",
		Text: "upright rib on the wall of the pocket it is nested in, that presses on the product; placed on the wall's line at the floor, it points along X",
		On:   "raised",
		Params: []job.Param{
			{Key: "reach", Type: job.Length, Default: 2.0, Min: 0.2, Max: 100, Source: practice, Text: "how far it stands into the pocket at the floor: clearance and what it presses"},
			{Key: "width", Type: job.Length, Default: 8.0, Min: 0.5, Max: 100, Source: practice, Text: "across it at the floor, its round end included"},
			{Key: "height", Type: job.Length, Required: true, Min: 0.5, Max: 500, Text: "from the floor of the pocket to its top; ends below the pocket's edge rounding"},
			draftKey(6, draftRange),
			crownKey, rootKey,
		},
		Example: "kind: pocket\nname: lens\nsize: [70, 50]\ndepth: 20\nfeatures:\n  - kind: grip_rib\n    height: 14\n    at: [-35, 0]\n",
	},
	Shape: gripShape,
}

// gripShape is a slot whose end stands before the wall's line by the reach, and that goes on behind the
// wall by more, so that the wall cuts it.
func gripShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	reach, width := v.Length("reach"), v.Length("width")
	behind := max(reach, width)
	o, err := outline.Slot(reach+behind, width)
	if err != nil {
		return nil, part.Blame("width", "%w", err)
	}
	if o, err = o.Map(geom.Moved(geom.Vec2{X: (reach - behind) / 2})); err != nil {
		return nil, err
	}
	crown, root := crownRoot(v, e.Gauge)
	return []part.Solid{{
		Outline: o, Height: v.Length("height"), Holds: part.AtHost, Draft: v.Angle("draft"), HostR: root, EndR: crown,
	}}, nil
}
