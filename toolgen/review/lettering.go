package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/part"
)

var letteringStroke = Rule{
	ID: "lettering.stroke", Title: "stroke of lettering and gaps between strokes against the gauge", Override: true,
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if s.Use != part.Lettering {
				continue
			}
			stroke, gap := s.Outline.Stroke(), s.Outline.Gap()
			for i, n := range [...]struct{ what, or string }{
				{"stroke", "a bolder weight"},
				{"gap between strokes", "a lighter weight, or more spacing where it lies between letters"},
			} {
				neck, z := stroke, s.Wall.End
				if i == 1 {
					neck, z = gap, s.Wall.Host
				}
				b, broken := p.first(r, func(limit float64) bool { return neck.Width < limit-1e-9 }, limits.StrokeMin(p.Body.Part.Gauge))
				if !broken {
					continue
				}
				key, pos := s.Key("height", "width")
				fix := fmt.Sprintf("%s times as large", up(b.value/neck.Width, 2))
				if key != "" && s.Values.Has(key) {
					fix = fmt.Sprintf("%s at least %s mm", key, up(s.Values.Length(key)*b.value/neck.Width, 1))
				}
				got, limit := tell(neck.Width, b.value, 2)
				p.say(r, s, b.on(finding.Finding{
					Pos: pos, At: at(neck.A.Add(neck.B).Scale(0.5).At(z)), Got: neck.Width, Unit: "mm",
					Text: fmt.Sprintf("the narrowest %s is %s mm, below %s mm, %s for a gauge of %.2f mm: it will not form sharply",
						n.what, got, limit, b.word("the least"), p.Body.Part.Gauge),
					Fix: fix + ", or " + n.or,
				}))
			}
		}
	},
}

var letteringRelief = Rule{
	ID: "lettering.relief", Title: "relief of lettering against its stroke", Override: true,
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if s.Use != part.Lettering {
				continue
			}
			stroke := s.Outline.Stroke()
			b, broken := p.first(r, func(limit float64) bool { return s.Height > limit+1e-9 }, limits.ReliefMax(stroke.Width))
			if !broken {
				continue
			}
			key, pos := s.Key("relief")
			got, limit := tell(s.Height, b.value, 2)
			p.say(r, s, b.on(finding.Finding{
				Pos: pos, At: at(stroke.A.Add(stroke.B).Scale(0.5).At(s.Wall.End)), Got: s.Height, Unit: "mm",
				Text: fmt.Sprintf("relief %s mm is over %s mm, %s for strokes of %.2f mm", got, limit, b.word("the most"), stroke.Width),
				Fix:  fmt.Sprintf("%s at most %s mm", key, down(b.value, 2)),
			}))
		}
	},
}
