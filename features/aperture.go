package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Aperture is a hole cut through the formed part.
var Aperture = part.Kind{
	Kind: job.Kind{
		Name: "aperture",
		Text: "hole cut through the part after forming, on the level it is placed on: it goes to trim.dxf and punch.csv, and to the tool only as a spot mark",
		On:   "sunk",
		Params: []job.Param{
			diameterKey,
			{Key: "slot", Type: job.Point, Min: 0.5, Max: 3000, Text: "length along X and width along Y of one with round ends, instead of diameter"},
			{Key: "size", Type: job.Point, Min: 0.5, Max: 3000, Text: "length along X and width along Y of a rectangular one, instead of diameter"},
			outlineKey,
			{Key: "corner", Type: job.Length, Min: 0, Max: 500, Default: 1.0, Source: practice, Text: "plan corner radius of a rectangular one, or of an outline that names none"},
			{Key: "mark", Type: job.Flag, Default: false, Source: practice, Text: "a spot sunk in the tool at its middle shows on the part where to cut"},
		},
		Example: "kind: aperture\ndiameter: 12\nmark: true\n",
	},
	Shape: apertureShape,
}

// The spot mark of a hole, mm on the tool: common practice, no source.
const (
	spotDiameter = 3.0 // or 0.6 of the hole
	spotShare    = 0.6
	spotDepth    = 0.3
	spotDraft    = 30 * geom.Degree
)

func apertureShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	o, punch, err := hole(e)
	if err != nil {
		return nil, err
	}
	out := []part.Solid{{Outline: o, Punch: punch}}
	if !v.Flag("mark") {
		return out, nil
	}
	disc := o.Disc()
	spot, err := outline.Circle(min(spotDiameter/2, spotShare*disc.R))
	if err == nil {
		spot, err = spot.Map(geom.Moved(middle(o, disc)))
	}
	if err != nil {
		return nil, part.Blame("mark", "%w", err)
	}
	if least := spotDepth*spotDraft.Tan() + 0.05; spot.Inside() < least {
		return nil, part.Blame("mark", "a hole of %.3f mm is too small for a spot mark; at least %.3f mm", 2*disc.R, 2*least/spotShare)
	}
	return append(out, part.Solid{
		Suffix: "spot", Outline: spot, Sunk: e.Under, Height: spotDepth, Holds: part.AtHost, Draft: spotDraft, OnTool: true, Use: part.Spot,
	}), nil
}

// middle returns where a hole is marked: the middle of its box where a disc as large as the largest fits
// there, as in a slot, whose discs all along it are alike; else the middle of the largest.
func middle(o *outline.Outline, largest outline.Disc) geom.Vec2 {
	if c := o.Bounds().Centre(); -o.At(c).D > largest.R-1e-3 {
		return c
	}
	return largest.Centre
}

// hole returns the outline that diameter, slot, size or outline give, one of them, and how it is ordered.
func hole(e part.Env) (*outline.Outline, *part.Punch, error) {
	v := e.Values
	given := 0
	for _, key := range []string{"diameter", "slot", "size", "outline"} {
		if v.Given(key) {
			given++
		}
	}
	if given != 1 {
		return nil, nil, part.Blame("diameter", "give diameter, slot, size or outline, one of the 4")
	}
	var s job.Shape
	switch {
	case v.Given("diameter"):
		d := v.Length("diameter")
		s = job.Shape{Kind: "circle", Size: geom.Vec2{X: d, Y: d}}
	case v.Given("slot"):
		s = job.Shape{Kind: "slot", Size: v.Point("slot")}
	case v.Given("size"):
		s = job.Shape{Kind: "rect", Size: v.Point("size")}
	default:
		s = *v.Outline("outline")
	}
	key := map[string]string{"circle": "diameter", "slot": "slot", "rect": "size"}[s.Kind]
	if v.Given("outline") {
		key = "outline"
	}
	o, err := part.FromShape(&s, v.Length("corner"), e.Open)
	if err != nil {
		return nil, nil, part.Blame(key, "%w", err)
	}
	if len(o.Loops) > 1 {
		return nil, nil, part.Blame(key, "a hole is one closed loop, not %d; name the drawing's layer", len(o.Loops))
	}
	punch := &part.Punch{Shape: s.Kind, Size: o.Bounds().Size()}
	if s.Kind == "polygon" || s.Drawn() {
		punch.Shape = "outline"
	}
	return o, punch, nil
}
