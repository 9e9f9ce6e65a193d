package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/part"
)

var markingIn = Rule{
	ID: "marking.in-part", Title: "engraving of the tool outside the trim line",
	Run: func(p *Pass, r Rule) {
		trim, err := p.Body.Part.Outline.Map(p.Body.Map.Affine())
		if err != nil {
			return // refused before
		}
		for _, s := range p.Body.Solids {
			if s.Use != part.Marking {
				continue
			}
			in, where := s.Outline.Beyond(trim.Hole(0)) // of the outside
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
