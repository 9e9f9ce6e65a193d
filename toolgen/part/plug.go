package part

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// Plug is a body that pushes the sheet down before the vacuum, with all its places on one plate. Its sizes
// are its own: it neither shrinks nor takes the wall.
type Plug struct {
	Outline *outline.Outline // of its end, turned, about the place
	Places  []geom.Vec2      // on the part
	Travel  float64          // of its end past the land of the tool, mm
	Edge    float64          // rounding round its end, mm
	Draft   geom.Angle       // of its sides; it widens upward
	Stick   bool             // the sheet does not slide on it
	Pos     finding.Pos      // of the key travel
}

// Inset returns how far inside its outline the flat of a plug's end stops, mm.
func (p *Plug) Inset() float64 { return p.Edge * (1 - p.Draft.Sin()) / p.Draft.Cos() }

// plug resolves the plug of a job.
func (p *Part) plug(open Opener) error {
	if len(p.Job.Plugs) == 0 {
		return nil
	}
	v := p.Job.Forming.Group("plug")
	o, err := FromShape(v.Outline("outline"), 0, open)
	if err == nil {
		if err = oneLoop(o); err == nil {
			o, err = o.Map(geom.Turned(v.Angle("turn")))
		}
	}
	if err != nil {
		return &BuildError{v.Pos("outline"), "plug", err}
	}
	p.Plug = &Plug{
		Outline: o, Places: p.Job.Plugs, Travel: v.Length("travel"),
		Edge: v.Length("edge"), Draft: v.Angle("draft"), Stick: v.Flag("stick"), Pos: v.Pos("travel"),
	}
	if in, room := p.Plug.Inset(), o.Inside(); in > room {
		return &BuildError{v.Pos("edge"), "plug", fmt.Errorf("edge %.2f mm: the rounding runs %.2f mm inward and the plug is %.2f mm from its side to its middle; edge at most %.2f mm", p.Plug.Edge, in, room, p.Plug.Edge*room/in)}
	}
	return nil
}
