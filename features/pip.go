package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Pip is a small round bump on a level, that spaces or holds a product.
var Pip = part.Kind{
	Kind: job.Kind{
		Name: "pip",
		Text: "small round bump on a level that a product rests on or clicks behind; its sizes are those of the tool",
		On:   "raised",
		Params: []job.Param{
			{Key: "diameter", Type: job.Length, Default: 8.0, Min: 1, Max: 100, Source: practice, Text: "at its foot, before rounding"},
			{Key: "height", Type: job.Length, Default: 1.5, Min: 0.1, Max: 50, Source: "common practice, no source: 1 to 2 mm", Text: "from the level it stands on to its top"},
			{Key: "draft", Type: job.Angle, Default: 15.0, Min: 1, Max: 60, Source: practice, Text: "least slope of its foot from the vertical, on the tool"},
			{Key: "root", Type: job.Length, Min: 0, Max: 50, Source: practice, Text: "rounding at its foot; not given: 1.25 gauges, at least 1 mm"},
		},
		Example: "kind: pip\n",
	},
	Shape: pipShape,
}

func pipShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	o, err := outline.Circle(v.Length("diameter") / 2)
	if err != nil {
		return nil, part.Blame("diameter", "%w", err)
	}
	root := max(1, 1.25*e.Gauge)
	if v.Has("root") {
		root = v.Length("root")
	}
	s, err := domed(o, v.Length("height"), v.Angle("draft"), root, min(domeFlat, v.Length("diameter")/20))
	if err != nil {
		return nil, err
	}
	s.Use = part.Bump
	return []part.Solid{s}, nil
}
