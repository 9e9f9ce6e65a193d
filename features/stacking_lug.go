package features

import (
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// StackingLug is a raised block that carries the next part of a stack.
var StackingLug = part.Kind{
	Kind: job.Kind{
		Name: "stacking_lug",
		Text: "raised block that carries the next part of a stack; its size holds at its top, where the load rests",
		On:   "raised",
		Params: []job.Param{
			sizeKey, outlineKey,
			{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 500, Text: "from the level it stands on to its top"},
			cornerKey("the larger of 1.25 crown and 3 mm"),
			draftKey(8, practice),
			crownKey, rootKey,
		},
		Example: "kind: stacking_lug\nsize: [18, 12]\nheight: 9\n",
	},
	Shape: lugShape,
}

func lugShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	crown, root := crownRoot(v, e.Gauge)
	corner := max(3, 1.25*crown)
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	o, err := plan(e, v, corner)
	if err != nil {
		return nil, err
	}
	return []part.Solid{{
		Outline: o, Height: v.Length("height"), Holds: part.AtEnd, Draft: v.Angle("draft"),
		HostR: root, EndR: crown, Use: part.Carrying,
	}}, nil
}
