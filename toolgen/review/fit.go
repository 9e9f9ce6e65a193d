package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// leastLift is how high a product must stand on a rounding to be told, mm: less is not gauged on a formed floor.
const leastLift = 0.01

var fitFillet = Rule{
	ID: "fit.fillet", Title: "square edges of a product against the floor rounding of its pocket",
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if s.Clearance == 0 || s.Holds != part.AtEnd || !s.Sunk {
				continue
			}
			radius, k := p.inside(s), ((90*geom.Degree - s.Wall.Draft) / 2).Tan()
			foot := k * radius // from the wall to where the floor is flat
			edge, severity, what := 0.0, finding.Note, "a product with square edges"
			if s.Held != nil {
				edge, severity = s.Held.Edge, finding.Warning
				what = "the product, whose edges are square,"
				if edge > 0 {
					what = fmt.Sprintf("the product, its edges rounded by %.2f mm,", edge)
				}
			}
			within := p.within(s)
			// From the wall to where the product is flat, both on the upper side; one too large leans on the wall.
			free := max(0, s.Clearance-within) + edge
			if foot <= free+1e-9 || radius <= edge {
				continue
			}
			// The edge's circle, smaller than the rounding's, touches it from within: its centre lies the
			// difference of the radii from the rounding's.
			in := radius - edge
			lift := in - math.Sqrt(max(0, in*in-(foot-free)*(foot-free)))
			if lift < leastLift {
				continue
			}
			key, pos := s.Key("floor")
			got, limit := tell(foot, free, 2)
			fix := fmt.Sprintf("clearance at least %s mm", up(foot+within-edge, 2))
			if key != "" && free > 0 {
				fix += fmt.Sprintf(", %s at most %s mm", key, down(free/k+s.Wall.EndR-radius, 2))
			}
			ribs := fmt.Sprintf(", pips or ribs at least %s mm high that carry it", up(lift, 2))
			if s.Held == nil {
				ribs += ", or no change where its edges are rounder"
			}
			p.say(r, s, finding.Finding{
				Severity: severity, Pos: pos, At: at(s.Outline.Elems[0].Point(0.5).At(s.Wall.End)), Got: foot, Limit: free, Unit: "mm",
				Source: "derived: tangent length of the rounding",
				Text:   fmt.Sprintf("the floor is flat from %s mm off the wall and the product from %s mm: %s stands on the rounding, %.2f mm over the floor", got, limit, what, lift),
				Fix:    fix + ribs,
			})
		}
	},
}

// inside returns the radius of a solid's floor rounding on the upper side of the sheet, where the product
// lies: that of the tool, less the wall where the sheet lies between, whether the tool allows for it or not.
func (p *Pass) inside(s *body.Solid) float64 {
	if p.Body.Over() {
		return s.Wall.EndR
	}
	end := p.Body.Walls.End(s.Feature).MM
	if p.Body.Part.Job.Tool.Choice("wall_allowance") == "none" { // those walls are none; the sheet has one
		end = wall.Nominal{Gauge: p.Body.Part.Gauge}.End(s.Feature).MM
	}
	return max(0, s.Wall.EndR-end)
}
