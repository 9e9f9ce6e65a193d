package features

import (
	"fmt"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// SteppedPocket is a recess whose floor goes down in steps, for a product with a shoulder.
var SteppedPocket = part.Kind{
	Kind: job.Kind{
		Name: "stepped_pocket",
		Text: "recess whose floor goes down in steps, for a product with a flange or a shoulder; every size holds at the floor of its step, and what is nested lies on the lowest",
		On:   "sunk",
		Params: []job.Param{
			{Key: "steps", Type: job.Groups, Required: true, Text: "the steps, from the opening downward", Params: []job.Param{
				sizeKey, outlineKey,
				{Key: "depth", Type: job.Length, Required: true, Min: 0.2, Max: 1000, Text: "of the step's floor, from the level the pocket sinks from"},
				{Key: "corner", Type: job.Length, Min: 0, Max: 500, Text: "plan corner radius at the step's floor; not given: the larger of 1.25 floor and 5 mm"},
				{Key: "at", Type: job.Point, Min: -3000, Max: 3000, Default: geom.Vec2{}, Source: "centred", Text: "centre of the step in the pocket"},
			}},
			heldKey, clearanceKey, fitKey,
			draftKey(6, draftRange),
			edgeKey("rounding of the opening", 2),
			{Key: "ledge", Type: job.Length, Default: 1.0, Min: 0, Max: 100, Source: practice, Text: "rounding between a step's floor and the wall of the next"},
			{Key: "floor", Type: job.Length, From: "floor", Min: 0, Max: 200, Source: practice,
				Text: "rounding between wall and floor of every step; not given: the largest of 2 gauges, a twentieth of the step's own height and 1.5 mm"},
		},
		Example: "kind: stepped_pocket\nname: gauge\nsteps: [{size: [84, 60], depth: 6}, {size: [56, 34], depth: 20}]\n",
	},
	Shape: steppedShape,
}

func steppedShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	steps := v.Groups("steps")
	switch len(steps) {
	case 0:
		return nil, part.Blame("steps", "no step; at least 2")
	case 1:
		return nil, part.Blame("steps", "one step; at least 2, or take a pocket")
	}
	var out []part.Solid
	above := 0.0
	for i, st := range steps {
		depth := st.Length("depth")
		if depth-above < 0.2 {
			return nil, part.BlameEntry("steps", i, fmt.Errorf("depth %.3f mm of step %d is not 0.2 mm below %.3f mm, the floor above it; depths are all from the opening", depth, i+1, above))
		}
		s := part.Solid{
			Suffix: fmt.Sprintf("step-%d", i+1), Sunk: true, Height: depth - above, Holds: part.AtEnd, Draft: v.Angle("draft"),
			HostR: v.Length("ledge"), EndR: floorRadius(e.Gauge, depth-above), Use: part.Product, On: i, Carries: i == len(steps)-1,
		}
		s.Clearance, _, _ = clearance(v)
		if i == 0 {
			s.HostR = v.Length("edge")
		}
		if v.Has("floor") {
			s.EndR = v.Length("floor")
		}
		o, err := stepOutline(e, st, s)
		if err != nil {
			return nil, part.BlameEntry("steps", i, err)
		}
		if v.Given("product") {
			if s.Held, err = steppedProduct(e, st, i == len(steps)-1); err != nil {
				return nil, part.BlameEntry("steps", i, err)
			}
		}
		if s.Outline = o; i > 0 {
			if err := inside(s, out[i-1]); err != nil {
				return nil, part.BlameEntry("steps", i, err)
			}
		}
		out, above = append(out, s), depth
	}
	return out, nil
}

// steppedProduct returns the product of a step: its plan there, and on the lowest step all else.
func steppedProduct(e part.Env, st *job.Values, lowest bool) (*part.Held, error) {
	if !lowest {
		return nil, nil
	}
	own := 0.0
	if st.Given("corner") {
		own = st.Length("corner")
	}
	o, err := plan(e, st, own)
	if err != nil {
		return nil, err
	}
	if o, err = o.Map(geom.Moved(st.Point("at"))); err != nil {
		return nil, err
	}
	v := e.Values.Group("product")
	return &part.Held{Plan: o, Height: v.Length("height"), Edge: v.Length("edge"), Tolerance: v.Length("tolerance"), Mass: v.Number("mass")}, nil
}

// stepOutline returns the outline of a step at its place in the pocket.
func stepOutline(e part.Env, st *job.Values, s part.Solid) (*outline.Outline, error) {
	corner := max(5, 1.25*s.EndR)
	if st.Has("corner") {
		corner = st.Length("corner")
	}
	o, err := room(e, st, corner, floorRun(s.Draft, s.Holds, s.Height, s.EndR))
	if err != nil {
		return nil, err
	}
	return o.Map(geom.Moved(st.Point("at")))
}

// inside refuses a step whose opening runs over the floor that it sinks from: its size would be cut off
// there.
func inside(s, host part.Solid) error {
	d, at := s.Outline.Beyond(host.Outline)
	if d += s.Height * s.Draft.Tan(); d < 0 {
		return nil
	}
	return fmt.Errorf("the step's opening runs %.2f mm over the floor of the step above, near %.2f, %.2f of the pocket; make this step smaller or the one above larger", d, at.X, at.Y)
}
