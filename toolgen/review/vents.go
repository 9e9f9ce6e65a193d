package review

import (
	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/vent"
)

var ventMissing = Rule{
	ID: "vent.missing", Title: "recesses of the tool without a vacuum hole",
	Run: func(p *Pass, r Rule) {
		job := p.Body.Part.Job.Vents
		clear := job.Texts("keep_clear")
		vented := map[string]bool{}
		for _, h := range p.Vents {
			vented[h.Feature] = true
		}
		for _, s := range p.Body.Solids {
			if !s.Female() || s.Use == part.Lettering || s.Use.Scrap() || vented[s.ID] || vent.KeptClear(s.ID, clear) {
				continue
			}
			f := finding.Finding{
				Severity: finding.Warning, Got: 0, Limit: 1, Unit: "holes", Source: "common practice, no source",
				Text: "no vacuum hole: air stays trapped in it",
				Fix:  "make room on its floor for a hole, or vent it by a joint in the tool",
			}
			if job.Has("most") && len(p.Vents) >= job.Count("most") {
				f.Fix = "raise tool.vents.most"
			}
			p.say(r, s, f)
		}
	},
}
