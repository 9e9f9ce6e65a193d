package features

import (
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// DividerSlot holds the foot or the ends of a loose divider.
var DividerSlot = part.Kind{
	Kind: job.Kind{
		Name: "divider_slot",
		Text: "slot for a loose divider that stands along X: a groove in a level, a pair of ribs on it, or grooves down 2 walls of the pocket it is nested in; between its roundings the divider has its thickness and the clearance",
		On:   "raised or sunk",
		Params: []job.Param{
			{Key: "thickness", Type: job.Length, Required: true, Min: 0.2, Max: 100, Text: "of the divider"},
			{Key: "length", Type: job.Length, Required: true, Min: 2, Max: 3000, Text: "of the divider; grooves in walls reach this far apart, so that it is the pocket's own length and what goes into both walls"},
			{Key: "depth", Type: job.Length, Required: true, Min: 0.5, Max: 500, Text: "of the groove, or height of the ribs; of grooves in walls from the level the pocket sinks from to where the divider stands"},
			{Key: "held", Type: job.Choice, Default: "groove", Choices: []string{"groove", "ribs", "walls"}, Source: practice, Text: "by what: a groove in the level it lies on, a pair of ribs on it, or grooves in the walls of a pocket"},
			{Key: "clearance", Type: job.Length, Default: 0.5, Min: 0.05, Max: 20, Source: practice, Text: "by which the slot is wider than the divider, and longer"},
			{Key: "rib", Type: job.Length, Default: 6.0, Min: 1, Max: 100, Source: practice, Text: "width of each rib at its foot"},
			draftKey(6, draftRange),
			{Key: "lead_in", Type: job.Length, Default: 1.5, Min: 0, Max: 100, Source: practice, Text: "rounding of the edges between which the divider goes in"},
			{Key: "floor", Type: job.Length, Min: 0, Max: 100, Source: practice,
				Text: "rounding beside the divider's foot; not given: 2 gauges, or 0.3 of the room between"},
		},
		Example: "kind: pocket\nname: sorts\nsize: [60, 90]\ndepth: 20\nfeatures:\n  - kind: divider_slot\n    held: walls\n    thickness: 4\n    length: 70\n    depth: 10\n",
	},
	Shape: dividerShape,
}

func dividerShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	c, draft := v.Length("clearance"), v.Angle("draft")
	room := v.Length("thickness") + c
	floor := min(2*e.Gauge, 0.3*room)
	if v.Has("floor") {
		floor = v.Length("floor")
	}
	// At the foot both roundings run out where the room begins.
	between := room + 2*floor*((90*geom.Degree-draft)/2).Tan()
	s := part.Solid{Height: v.Length("depth"), Draft: draft, Use: part.Product, Clearance: (between - v.Length("thickness")) / 2}
	if v.Choice("held") == "ribs" {
		s.HostR, s.EndR, s.Holds = floor, v.Length("lead_in"), part.AtHost
		return ribPair(v, s, between)
	}
	// The ends are round, beyond those of the divider.
	o, err := outline.Slot(v.Length("length")+c+between, between)
	if err != nil {
		return nil, part.Blame("length", "%w", err)
	}
	s.Outline, s.Sunk, s.Holds, s.HostR, s.EndR = o, true, part.AtEnd, v.Length("lead_in"), floor
	s.Rim = v.Choice("held") == "walls"
	return []part.Solid{s}, nil
}

// ribPair returns two ribs like s on either side of a strip of the given width.
func ribPair(v *job.Values, s part.Solid, between float64) ([]part.Solid, error) {
	wide := v.Length("rib")
	if k := ((90*geom.Degree - s.Draft) / 2).Tan(); wide/2-s.Height*s.Draft.Tan()-s.EndR*k < crownFlat/2 {
		return nil, part.Blame("rib", "ribs of %.2f mm are too narrow for a height of %.2f mm, a draft of %.1f deg and a lead-in of %.2f mm; rib at least %.2f mm, or less of these",
			wide, s.Height, s.Draft.Degrees(), s.EndR, round3(2*(s.Height*s.Draft.Tan()+s.EndR*k)+crownFlat+0.01))
	}
	o, err := outline.Slot(max(v.Length("length"), wide), wide)
	if err != nil {
		return nil, part.Blame("rib", "%w", err)
	}
	var out []part.Solid
	for i, suffix := range []string{"right", "left"} { // as one looks along X
		r := s
		r.Suffix = suffix
		off := (between + wide) / 2
		if r.Outline, err = o.Map(geom.Moved(geom.Vec2{Y: off * float64(2*i-1)})); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}
