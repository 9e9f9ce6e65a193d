package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// StiffeningRib is a long round-ended ridge or groove that stiffens a flat panel.
var StiffeningRib = part.Kind{
	Kind: job.Kind{
		Name: "stiffening_rib",
		Text: "long round-ended ridge, or groove, that stiffens a flat panel; its size holds at the foot or opening",
		On:   "raised or sunk",
		Params: []job.Param{
			{Key: "length", Type: job.Length, Required: true, Min: 1, Max: 3000, Text: "overall length along X"},
			{Key: "width", Type: job.Length, Default: 8.0, Min: 0.5, Max: 500, Source: practice, Text: "width along Y"},
			{Key: "height", Type: job.Length, Default: 3.0, Min: 0.2, Max: 200, Source: practice, Text: "height, or depth when sunk"},
			{Key: "way", Type: job.Choice, Default: "raised", Choices: []string{"raised", "sunk"}, Source: practice, Text: "which way it goes on the part"},
			draftKey(10, practice),
			crownKey, rootKey,
		},
		Example: "kind: stiffening_rib\nlength: 80\n",
	},
	Shape: ribShape,
}

func ribShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	o, err := outline.Slot(v.Length("length"), v.Length("width"))
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	crown, root := crownRoot(v, e.Gauge)
	return []part.Solid{{
		Outline: o, Sunk: v.Choice("way") == "sunk", Height: v.Length("height"), Holds: part.AtHost,
		Draft: v.Angle("draft"), HostR: root, EndR: crown,
	}}, nil
}
