// Package vent owns the vacuum holes of a tool: where the last air must leave, how wide a hole may
// be there, and the proof that it can be drilled without breaking through.
//
// A hole is a small drill on the face that meets a wider back drill from the base. It is vertical
// and stands on the flat at the foot of a fillet, never on the slope.
package vent

import (
	"context"
	"fmt"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/limits"
	"platen/toolgen/part"
	"platen/toolgen/shop"
)

// Hole is one vacuum hole in the tool datum; its axis points straight down.
type Hole struct {
	ID        string
	Feature   string
	Reason    string
	At        geom.Vec3 // centre on the face
	Dia       float64   // of the small drill, mm
	Depth     float64   // of the small drill from the face, to full diameter, mm
	BackDia   float64   // of the back drill, mm; 0 none
	BackDepth float64   // of the back drill from the base, to full diameter, mm
	FromBack  bool      // the small drill goes in through the back drill
	Wall      *float64  // formed wall over the hole, mm; nil while unknown
}

// Sheet is what is known of the formed sheet; the zero value knows nothing.
type Sheet struct {
	Last []Last                                // where it lands last, the last first
	Wall func(geom.Vec3) (mm float64, ok bool) // formed wall over a place of the face; nil unknown
}

// Last is a place of the face where the sheet lands last.
type Last struct {
	At      geom.Vec3
	Feature string
}

// Plan is the holes of a tool and what choosing them found.
type Plan struct {
	Holes    []Hole
	Findings []finding.Finding
}

// Place chooses, proves and orders the holes of a body.
//
// ERROR: a *part.BuildError when the job's drill list has a diameter that is no drill; the context's
// error.
func Place(ctx context.Context, b *body.Body, sheet Sheet) (Plan, error) {
	p := &planner{b: b, sheet: sheet, job: b.Part.Job.Vents, bottom: b.Bottom(), least: b.Tool.LeastWall.V, count: map[string]int{}}
	p.drills = shop.Drills()
	if p.job.Has("drills") {
		own, err := shop.SetOf(p.job.Lengths("drills"))
		if err != nil {
			return Plan{}, &part.BuildError{Pos: p.job.Pos("drills"), Feature: "tool.vents.drills", Err: err}
		}
		p.drills = own
	}
	p.pitch = p.job.Length("pitch")
	if !p.job.Has("pitch") {
		p.pitch = limits.VentPitch(b.Part.Gauge).Value.V
	}
	spots := p.spots()
	p.budget(&spots)
	for _, s := range spots {
		if err := ctx.Err(); err != nil {
			return Plan{}, err
		}
		p.drill(s)
	}
	p.sort()
	return Plan{p.holes, p.found}, nil
}

type planner struct {
	b      *body.Body
	sheet  Sheet
	job    *job.Values // tool.vents
	drills shop.Set
	pitch  float64 // along an edge, mm
	bottom float64 // height of the base
	least  float64 // wall between voids, mm
	holes  []Hole
	found  []finding.Finding
	count  map[string]int // holes so far by feature and reason
}

// size returns the hole for a formed wall: the widest standard drill that the sheet's rule allows,
// or the smallest there is.
func (p *planner) size(wall float64) (dia float64, tooWide bool, rule float64) {
	rule = p.b.Part.Sheet.Vent.Diameter(wall).V
	if d, ok := p.drills.AtMost(rule); ok {
		return d.D, false, rule
	}
	return p.drills[0].D, true, rule
}

// depth returns how deep the small drill goes: 5 diameters and at least 3 mm, at most 8 diameters.
//
// SOURCE: at most 8 diameters for straight small drills, secondary drilling tables; 5 diameters and
// 3 mm are common practice, no source.
func depth(dia float64) float64 { return min(max(5*dia, 3), 8*dia) }

// backSizes are the back drills tried in turn, mm: about 8 small diameters first, then smaller.
func (p *planner) backSizes(dia float64) []float64 {
	var out []float64
	for _, d := range [...]float64{8, 7, 6, 5, 4, 3.5, 3} {
		if d <= max(8*dia, 3) {
			out = append(out, d)
		}
	}
	return out
}

// drill turns a spot into a hole, moving it along its own line of retreat where the first place can
// not be drilled, and says so where none can.
func (p *planner) drill(s spot) {
	wall, known := p.wall(s)
	dia, wide, rule := p.size(wall)
	why := ""
	for _, at := range s.places(dia) {
		if s.free {
			at = p.drop(at)
		}
		h := Hole{Feature: s.name(), Reason: s.reason, At: at, Dia: dia, Depth: depth(dia)}
		ok := false
		if ok, why = p.prove(&h); !ok {
			continue
		}
		key := h.Feature + ":" + h.Reason
		p.count[key]++
		h.ID = fmt.Sprintf("%s-%d", key, p.count[key])
		if known {
			h.Wall = p.over(at)
		}
		p.holes = append(p.holes, h)
		if wide {
			p.note(finding.Finding{
				ID: "vent.mark-likely", Severity: finding.Warning, Feature: h.Feature, Pos: p.pos(&s), At: &at,
				Got: dia, Limit: rule, Unit: "mm", Source: p.b.Part.Sheet.Vent.Share.Cite(),
				Text: fmt.Sprintf("the smallest drill, %.2f mm, is wider than the %.2f mm that a wall of %.2f mm takes without a mark", dia, rule, wall),
				Fix:  fmt.Sprintf("add a drill of at most %.2f mm to tool.vents.drills, or a thicker gauge", rule),
			})
		}
		return
	}
	if why == tooNear || s.spare || p.cutAway(s, dia) {
		return
	}
	at := s.places(dia)[0]
	p.note(finding.Finding{
		ID: "vent.none-fits", Severity: finding.Warning, Feature: s.name(), Pos: p.pos(&s), At: &at,
		Got: 0, Limit: 1, Unit: "holes", Source: "derived: sampled on the distance field",
		Text: fmt.Sprintf("no hole can be drilled at its %s: %s", s.reason, why),
		Fix:  "move the feature away from its neighbour, or vent this place by a joint in the tool",
	})
}

// cutAway reports whether all places of a spot lie in the air: another recess has taken the floor there, and no
// air is shut in.
func (p *planner) cutAway(s spot, dia float64) bool {
	for _, at := range s.places(dia) {
		if s.free || p.b.Field.Face(at).D <= foot {
			return false
		}
	}
	return true
}

// wall returns the wall that the size of a hole is chosen by, and whether it is the formed one.
func (p *planner) wall(s spot) (mm float64, known bool) {
	if w := p.over(s.places(p.drills[0].D)[0]); w != nil {
		return *w, true
	}
	mm = p.b.Walls.Land().MM
	if s.solid != nil && !s.root {
		mm = p.b.Walls.End(s.solid.Feature).MM
	}
	if mm == 0 { // no allowance asked: the rule still needs a wall
		mm = p.b.Part.Gauge
	}
	return mm, false
}

// over returns the formed wall over a place of the face, nil while unknown.
func (p *planner) over(at geom.Vec3) *float64 {
	if p.sheet.Wall == nil {
		return nil
	}
	if mm, ok := p.sheet.Wall(at); ok {
		return &mm
	}
	return nil
}

// note adds a finding once per rule and feature, whatever the impression.
func (p *planner) note(f finding.Finding) {
	for _, g := range p.found {
		if g.ID == f.ID && own(g.Feature) == own(f.Feature) {
			return
		}
	}
	p.found = append(p.found, f)
}

// own returns the name of a feature without its impression.
func own(id string) string {
	_, name, _ := strings.Cut(id, "/")
	return name
}
