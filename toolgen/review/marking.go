package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

var markingIn = Rule{
	ID: "marking.in-part", Title: "engraving of the tool outside the trim line",
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if s.Use != part.Marking {
				continue
			}
			in, where := p.inParts(s)
			if in <= 0 {
				continue
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Pos: placed(s), At: at(where.At(s.Wall.Host)), Got: in, Limit: 0, Unit: "mm",
				Source: "derived: distance to the trim line",
				Text:   fmt.Sprintf("it reaches %.2f mm into the part and will show there", in),
				Fix:    fmt.Sprintf("move it outward by %s mm; or take lettering, for text that belongs to the part", up(in+0.5, 1)),
			})
		}
	},
}

// inParts returns how far a solid reaches into a part of the tool, and where: 0 or less where it keeps
// outside all.
func (p *Pass) inParts(s *body.Solid) (most float64, where geom.Vec2) {
	most = math.Inf(-1)
	for i := range p.Body.Part.Impressions {
		trim, err := p.Body.Part.Outline.Map(p.Body.MapOf(i).Affine())
		if err != nil {
			continue // refused where it was made
		}
		if in, at := s.Outline.Beyond(trim.Hole(0)); in > most { // of the outside
			most, where = in, at
		}
	}
	return most, where
}
