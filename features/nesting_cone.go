package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// NestingCone is a raised cone that centres the next part of a nest.
var NestingCone = part.Kind{
	Kind: job.Kind{
		Name: "nesting_cone",
		Text: "raised cone with a flat top that centres the next part of a nest; its diameter holds at the foot",
		On:   "raised",
		Params: []job.Param{
			{Key: "diameter", Type: job.Length, Required: true, Min: 1, Max: 500, Text: "at the foot, before rounding"},
			{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 500, Text: "from the level it stands on to its top"},
			{Key: "draft", Type: job.Angle, Default: 15.0, Min: 1, Max: 60, Source: practice, Text: "slope of the cone from the vertical, on the tool"},
			crownKey, rootKey,
		},
		Example: "kind: nesting_cone\ndiameter: 16\nheight: 10\n",
	},
	Shape: coneShape,
}

func coneShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	o, err := outline.Circle(v.Length("diameter") / 2)
	if err != nil {
		return nil, part.Blame("diameter", "%w", err)
	}
	crown, root := crownRoot(v, e.Gauge)
	return []part.Solid{{
		Outline: o, Height: v.Length("height"), Holds: part.AtHost, Draft: v.Angle("draft"),
		HostR: root, EndR: crown, Use: part.Locating,
	}}, nil
}
