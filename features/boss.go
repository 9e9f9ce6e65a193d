package features

import (
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Boss is a raised block or stud with a level top on which other features may lie.
var Boss = part.Kind{
	Kind: job.Kind{
		Name: "boss",
		Text: "raised stud or block with a level top that takes other features; round by diameter, or of a size or an outline",
		On:   "raised",
		Params: []job.Param{
			diameterKey, sizeKey, outlineKey,
			{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 1000, Text: "from the level it stands on to its top"},
			{Key: "holds", Type: job.Choice, Default: "foot", Choices: []string{"foot", "top"}, Source: practice, Text: "height at which diameter, size and corner hold"},
			cornerKey("what its top rounding and draft need, at least 3 mm"),
			draftKey(6, draftRange),
			crownKey, rootKey,
		},
		Example: "kind: boss\ndiameter: 30\nheight: 8\n",
	},
	Shape: bossShape,
}

var diameterKey = job.Param{Key: "diameter", Type: job.Length, Min: 0.5, Max: 3000, Text: "of a round one, instead of size or outline; not given: see those"}

func bossShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	crown, root := crownRoot(v, e.Gauge)
	s := part.Solid{Height: v.Length("height"), Holds: part.AtHost, Draft: v.Angle("draft"), HostR: root, EndR: crown}
	if v.Choice("holds") == "top" {
		s.Holds = part.AtEnd
	}
	corner := max(3, 1.05*floorRun(s.Draft, s.Holds, s.Height, crown))
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	var err error
	if s.Outline, err = footprint(e, corner); err != nil {
		return nil, err
	}
	return []part.Solid{s}, nil
}

// footprint returns the outline that diameter, size or outline give, one of them.
func footprint(e part.Env, corner float64) (*outline.Outline, error) {
	v := e.Values
	if !v.Given("diameter") {
		if !v.Given("size") && !v.Given("outline") {
			return nil, part.Blame("diameter", "give diameter, size or outline, one of the 3")
		}
		return plan(e, v, corner)
	}
	if v.Given("size") || v.Given("outline") {
		return nil, part.Blame("diameter", "give diameter, size or outline, one of the 3")
	}
	o, err := outline.Circle(v.Length("diameter") / 2)
	if err != nil {
		return nil, part.Blame("diameter", "%w", err)
	}
	return o, nil
}
