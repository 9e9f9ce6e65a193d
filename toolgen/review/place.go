package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

var partFlange = Rule{
	ID: "part.flange", Title: "flange between features and the trim line",
	Run: func(p *Pass, r Rule) {
		asked := p.Body.Part.Job.Part.Length("flange")
		for _, f := range p.Body.Part.Features {
			if f.Parent != nil || f.Use == part.Hinge { // a fold runs to the trim line by nature
				continue
			}
			s := p.Body.Solids[p.index(f.ID)]
			prof, _ := s.Wall.Profile()
			least, place := asked, geom.Vec2{}
			for _, e := range f.Outline.Elems {
				for _, t := range [...]float64{0, 0.25, 0.5, 0.75} {
					q := e.Point(t)
					if d := -p.Body.Part.Outline.At(q).D - prof.Reach(); d < least {
						least, place = d, q
					}
				}
			}
			if least >= asked-1e-9 {
				continue
			}
			sev, text := finding.Warning, fmt.Sprintf("only %.2f mm of flange is left to the trim line, asked %.2f mm", least, asked)
			if least < 0 {
				sev, text = finding.Error, fmt.Sprintf("it runs %.2f mm over the trim line and would be cut open", -least)
			}
			p.say(r, s, finding.Finding{
				Severity: sev, At: at(p.Body.Map.Point(place.At(0))), Got: least, Limit: asked, Unit: "mm",
				Source: "asked in the job: part.flange", Text: text,
				Fix: fmt.Sprintf("move it inward, or the trim line outward, by %.2f mm", asked-least),
			})
		}
	},
}

func (p *Pass) index(id string) int {
	for i, s := range p.Body.Solids {
		if s.ID == id {
			return i
		}
	}
	panic("review: no feature " + id)
}
