package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// HingeLine is a fold line of one or two raised beads along X.
var HingeLine = part.Kind{
	Kind: job.Kind{
		Name: "hinge_line",
		Text: "fold line along X: one raised bead, or two with a flat between them for a fold of 180 deg",
		On:   "raised",
		Params: []job.Param{
			{Key: "length", Type: job.Length, Required: true, Min: 2, Max: 3000, Text: "overall length along X"},
			{Key: "width", Type: job.Length, Default: 3.0, Min: 1, Max: 20, Source: "common practice, no source: beads 2 to 4 mm wide", Text: "width of a bead at its foot"},
			{Key: "height", Type: job.Length, Min: 0.1, Max: 20, Source: "common practice, no source: 1 to 1.5 gauges", Text: "height of a bead; not given: 1.25 gauges"},
			{Key: "beads", Type: job.Count, Default: 2, Min: 1, Max: 2, Source: practice, Text: "number of beads"},
			{Key: "flat", Type: job.Length, Default: 2.0, Min: 0.5, Max: 20, Source: "common practice, no source: 1 to 3 mm", Text: "flat between two beads"},
			{Key: "draft", Type: job.Angle, Default: 30.0, Min: 5, Max: 60, Source: practice, Text: "slope of the bead's flanks from the vertical, on the tool"},
			{Key: "crown", Type: job.Length, Min: 0.1, Max: 20, Source: practice, Text: "rounding of the bead's top; not given: nearly a half round"},
			{Key: "root", Type: job.Length, Default: 0.3, Min: 0.1, Max: 20, Source: practice, Text: "rounding at its foot"},
			{Key: "folds", Type: job.Choice, Default: "up", Choices: []string{"up", "down"}, Source: "packs are filled from above", Text: "way the half beyond the line is turned: up, the upper sides of the flanges meet; down, the undersides"},
			{Key: "axis", Type: job.Choice, Choices: []string{"upper", "underside"}, Text: "face of the sheet that the line it turns about lies on; not given: the face that meets, so that the flanges close on each other"},
		},
		Example: "kind: hinge_line\nlength: 120\n",
	},
	Shape: hingeShape,
}

// crownFlat is the level strip left along the top of a bead, mm, so that it stays a surface that a
// ball cutter can finish and a mesh can close.
const crownFlat = 0.2

func hingeShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	w, root, draft := v.Length("width"), v.Length("root"), v.Angle("draft")
	height := 1.25 * e.Gauge
	if v.Has("height") {
		height = v.Length("height")
	}
	o, err := outline.Slot(v.Length("length"), w)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	// The flanks leave w/2 - height tan(draft) at the top for half the crown; its rounding takes
	// r k off that and off the flank, which it shares with the root.
	k := ((90*geom.Degree - draft) / 2).Tan()
	half := w/2 - height*draft.Tan()
	if half <= crownFlat {
		return nil, part.Blame("height", "the flanks meet below the top: width %.2f mm and draft %.1f deg allow at most %.2f mm",
			w, draft.Degrees(), round3((w/2-crownFlat)/draft.Tan()))
	}
	crown := max(0, round3(min((half-crownFlat/2)/k, height/draft.Cos()/k-root)))
	if v.Has("crown") {
		crown = v.Length("crown")
	}
	bead := part.Solid{Outline: o, Height: height, Holds: part.AtHost, Draft: draft, HostR: root, EndR: crown, Use: part.Hinge}
	bead.Fold = fold(v, w/2+root)
	if v.Count("beads") == 1 {
		return []part.Solid{bead}, nil
	}
	shift := (v.Length("flat") + w) / 2
	a, b := bead, bead
	a.Fold.Off, a.Fold.Half = -shift, a.Fold.Half+shift
	b.Fold = nil
	a.Suffix, b.Suffix = "near", "far"
	if a.Outline, err = o.Map(geom.Moved(geom.Vec2{Y: -shift})); err != nil {
		return nil, err
	}
	if b.Outline, err = o.Map(geom.Moved(geom.Vec2{Y: shift})); err != nil {
		return nil, err
	}
	return []part.Solid{a, b}, nil
}

// fold returns the line in the middle of the beads, which end half beyond it.
func fold(v *job.Values, half float64) *part.Fold {
	f := &part.Fold{Half: half, Meets: part.Upper}
	if v.Choice("folds") == "down" {
		f.Meets = part.Underside
	}
	f.Axis = f.Meets
	if v.Has("axis") {
		f.Axis = map[string]part.Face{"upper": part.Upper, "underside": part.Underside}[v.Choice("axis")]
	}
	return f
}
