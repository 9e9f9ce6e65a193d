package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

var fitFillet = Rule{
	ID: "fit.fillet", Title: "square edges of a product against the floor rounding of its pocket",
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if s.Clearance == 0 || s.Holds != part.AtEnd || !s.Sunk {
				continue
			}
			radius, k := p.inside(s), ((90*geom.Degree - s.Wall.Draft) / 2).Tan()
			foot := k * radius // from the wall to where the floor is flat
			if foot <= s.Clearance+1e-9 {
				continue
			}
			// The rounding at the clearance from the wall stands over the floor by this.
			lift := radius - math.Sqrt(max(0, radius*radius-(foot-s.Clearance)*(foot-s.Clearance)))
			key, pos := s.Key("floor")
			got, limit := tell(foot, s.Clearance, 2)
			fix := fmt.Sprintf("clearance at least %s mm", up(foot, 2))
			if key != "" {
				fix += fmt.Sprintf(", %s at most %s mm", key, down(s.Clearance/k+s.Wall.EndR-radius, 2))
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Note, Pos: pos, At: at(s.Outline.Elems[0].Point(0.5).At(s.Wall.End)), Got: foot, Limit: s.Clearance, Unit: "mm",
				Source: "derived: tangent length of the rounding",
				Text:   fmt.Sprintf("the floor is flat from %s mm off the wall and the clearance is %s mm: a product with square edges stands on the rounding, %.2f mm over the floor", got, limit, lift),
				Fix:    fix + ", pips that carry it, or no change where its edges are rounder",
			})
		}
	},
}

// inside returns the radius of a solid's floor rounding on the upper side of the sheet, where the product
// lies: that of the tool, less the wall where the sheet lies between.
func (p *Pass) inside(s *body.Solid) float64 {
	if p.Body.Over() || p.Body.Part.Job.Tool.Choice("wall_allowance") == "none" {
		return s.Wall.EndR
	}
	return max(0, s.Wall.EndR-p.Body.Walls.End(s.Feature).MM)
}
