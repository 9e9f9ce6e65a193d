package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Rim is a raised ring along an outline, or along the trim line of the part.
var Rim = part.Kind{
	Kind: job.Kind{
		Name: "rim",
		Text: "raised ring along an outline, or inside the trim line where none is given: stiffens a part or seats a lid",
		On:   "raised",
		Params: []job.Param{
			{Key: "size", Type: job.Point, Min: 0.5, Max: 3000, Text: "length along X and width along Y of the line that the ring follows; neither this nor outline given: the trim line"},
			outlineKey,
			{Key: "corner", Type: job.Length, From: "corner", Min: 0, Max: 500, Source: practice, Text: "plan corner radius of that line; not given: 10 mm"},
			{Key: "inset", Type: job.Length, Default: 0.0, Min: 0, Max: 1000, Source: "on the line", Text: "from that line inward to the ring's outer foot"},
			{Key: "width", Type: job.Length, Default: 8.0, Min: 0.5, Max: 500, Source: practice, Text: "of the ring at its foot"},
			{Key: "height", Type: job.Length, Default: 3.0, Min: 0.2, Max: 200, Source: practice, Text: "from the level it stands on to its top"},
			draftKey(10, practice),
			{Key: "crown", Type: job.Length, Min: 0.1, Max: 100, Source: practice, Text: "rounding of the top's edges; not given: 1 gauge, at least 1 mm, or nearly a half round where the ring is narrower"},
			rootKey,
		},
		Example: "kind: rim\nsize: [120, 80]\n",
	},
	Shape: rimShape,
}

// rimCorner is the least plan corner of a ring that goes round a corner of its line, mm (common practice,
// no source).
const rimCorner = 3

func rimShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	line, err := rimLine(e)
	if err != nil {
		return nil, err
	}
	width, height, draft := v.Length("width"), v.Length("height"), v.Angle("draft")
	crown, root := crownRoot(v, e.Gauge)
	outer, err := line.Inset(v.Length("inset"), rimCorner)
	if err != nil {
		return nil, part.Blame("inset", "%w", err)
	}
	inner, err := outer.Inset(width, max(rimCorner, root))
	if err != nil {
		return nil, part.Blame("width", "%w", err)
	}
	var loops [][]outline.Elem
	for _, o := range []*outline.Outline{outer, inner} {
		for i := range o.Loops {
			loops = append(loops, o.Loop(i))
		}
	}
	ring, err := outline.New(loops...)
	if err != nil {
		return nil, err
	}
	if ring, err = ring.Turned(); err != nil {
		return nil, err
	}
	half := width/2 - height*draft.Tan()
	if half <= crownFlat {
		return nil, part.Blame("height", "the flanks meet below the top: width %.2f mm and draft %.1f deg allow at most %.2f mm",
			width, draft.Degrees(), round3((width/2-crownFlat)/max(draft.Tan(), 1e-3)))
	}
	k := ((90*geom.Degree - draft) / 2).Tan()
	if !v.Has("crown") {
		crown = max(0, round3(min(crown, (half-crownFlat/2)/k, height/draft.Cos()/k-root)))
	}
	return []part.Solid{{Outline: ring, Height: height, Holds: part.AtHost, Draft: draft, HostR: root, EndR: crown}}, nil
}

// rimLine returns the line that the ring follows.
func rimLine(e part.Env) (*outline.Outline, error) {
	v := e.Values
	corner := 10.0
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	if v.Given("size") || v.Given("outline") {
		return plan(e, v, corner)
	}
	for _, key := range []string{"at", "turn", "repeat"} {
		if v.Given(key) {
			return nil, part.Blame(key, "along the trim line it has its place: 1, not turned; give size or outline to place another")
		}
	}
	return e.Trim, nil
}
