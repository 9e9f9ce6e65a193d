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
			for _, n := range []struct {
				what  string
				width float64
				at    float64
			}{
				{"stroke", s.Outline.Stroke().Width, s.Wall.End},
				{"gap between strokes", s.Outline.Gap().Width, s.Wall.Host},
			} {
				b, broken := p.first(r, func(limit float64) bool { return n.width < limit-1e-9 }, limits.StrokeMin(p.Body.Part.Gauge))
				if !broken {
					continue
				}
				p.say(r, s, b.on(finding.Finding{
					Got: n.width, Unit: "mm",
					Text: fmt.Sprintf("the narrowest %s is %.2f mm, want %.2f mm for a gauge of %.2f mm: it will not form sharply", n.what, n.width, b.value, p.Body.Part.Gauge),
					Fix:  fmt.Sprintf("letters at least %.1f times as high, or more spacing", b.value/n.width),
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
			b, broken := p.first(r, func(limit float64) bool { return s.Height > limit+1e-9 }, limits.ReliefMax(s.Outline.Stroke().Width))
			if !broken {
				continue
			}
			p.say(r, s, b.on(finding.Finding{
				Got: s.Height, Unit: "mm",
				Text: fmt.Sprintf("relief %.2f mm is more than its strokes of %.2f mm carry", s.Height, s.Outline.Stroke().Width),
				Fix:  fmt.Sprintf("relief at most %.2f mm", b.value),
			}))
		}
	},
}
