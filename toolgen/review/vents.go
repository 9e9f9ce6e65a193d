package review

import (
	"slices"

	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/vent"
)

var ventMissing = Rule{
	ID: "vent.missing", Title: "recesses of the tool without a vacuum hole",
	Run: func(p *Pass, r Rule) {
		clear := p.Body.Part.Job.Vents.Texts("keep_clear")
		for _, s := range p.Body.Solids {
			if !s.Female() || s.Use == part.Lettering {
				continue
			}
			if slices.ContainsFunc(p.Vents, func(h vent.Hole) bool { return h.Feature == s.ID }) || vent.KeptClear(s.ID, clear) {
				continue
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Got: 0, Limit: 1, Unit: "holes", Source: "common practice, no source",
				Text: "no vacuum hole: air stays trapped in it",
				Fix:  "raise tool.vents.most, or give it room for a hole",
			})
		}
	},
}
