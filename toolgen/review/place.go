package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

var partFlange = Rule{
	ID: "part.flange", Title: "flange between features and the trim line",
	Run: func(p *Pass, r Rule) {
		for i, s := range p.Body.Solids {
			if s.Use.Scrap() {
				continue
			}
			asked := p.Body.Part.Job.Part.Length("flange")
			if s.Use == part.Hinge || s.Parent != nil {
				asked = 0 // a fold runs up to the trim line by nature, what is nested has its host's flange; not over it
			}
			least, place := p.flange(i, asked)
			if least >= asked-1e-9 {
				continue
			}
			got, limit := tell(least, asked, 2)
			fix := fmt.Sprintf("move it inward, or the trim line outward, by %s mm", up(asked-least, 2))
			sev, text := finding.Warning, fmt.Sprintf("only %s mm of flange is left to the trim line, asked %s mm", got, limit)
			if least < 0 {
				sev, text = finding.Error, fmt.Sprintf("it runs %.2f mm over the trim line and would be cut open", -least)
				fix = fmt.Sprintf("move it inward, or the trim line outward, by %s mm, by %s mm for the flange asked", up(-least, 2), up(asked-least, 2))
			}
			p.say(r, s, finding.Finding{
				Severity: sev, Pos: placed(s), At: p.place(s, place), Got: least, Limit: asked, Unit: "mm",
				Source: "asked in the job: part.flange", Text: text,
				Fix: fix,
			})
		}
	},
}

// flange returns the flat left between a solid, roundings and all, and the trim line, and where it is
// least, on the part; negative where the solid runs over the line. From asked on it is not measured.
func (p *Pass) flange(i int, asked float64) (least float64, where geom.Vec2) {
	s, trim := p.Body.Solids[i], p.Body.Part.Outline
	prof, _ := s.Wall.Profile()
	reach := prof.Reach()
	near := outline.Between(s.Feature.Outline, trim, asked+reach)
	if inside := trim.At(s.Feature.Outline.Elems[0].A).D < 0; inside && near.Width > 0 {
		return near.Width - reach, near.A
	}
	d, where := s.Feature.Outline.Beyond(trim)
	return -d - reach, where
}
