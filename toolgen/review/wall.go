package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

var wallMean = Rule{
	ID: "wall.mean-low", Title: "mean wall by area balance against the least wall asked", Override: true,
	Run: func(p *Pass, r Rule) {
		job := p.Body.Part.Job.Sheet
		if !job.Has("least_wall") {
			return
		}
		least := job.Length("least_wall")
		for _, s := range p.Body.Solids {
			if s.Use == part.Lettering || !s.Female() { // no law of that standing is known for blocks
				continue
			}
			ratio := wall.DrawRatio(s.Feature)
			mean := p.Body.Part.Gauge / ratio
			if mean >= least {
				continue
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Got: mean, Limit: least, Unit: "mm",
				Source: "asked in the job; mean wall = gauge / areal draw ratio (SPE Thermoforming Division, The Ubiquitous Draw Ratio, Thermoforming Quarterly 24(4), 2005)",
				Text:   fmt.Sprintf("mean wall about %.2f mm at a draw ratio of %.2f, asked at least %.2f mm; corners are thinner still", mean, ratio, least),
				Fix:    fmt.Sprintf("gauge at least %.2f mm, or a shallower feature", least*ratio),
			})
		}
	},
}

var wallNominal = Rule{
	ID: "wall.not-simulated", Title: "walls that are estimates",
	Run: func(p *Pass, r Rule) {
		sev := finding.Note
		text := "formed walls are not simulated: the drill list leaves them empty and vent sizes rest on area balance"
		if p.Body.Part.Job.Tool.Choice("wall_allowance") == "nominal" && p.freeSide() {
			sev = finding.Warning
			text = "sizes hold on the side of the sheet that does not touch the tool, and the formed wall is an estimate by area balance: expect errors of a few tenths of the gauge"
		}
		p.say(r, nil, finding.Finding{
			Severity: sev, Feature: "part", Pos: p.Body.Part.Job.Tool.Pos("measured"), Source: "derived: area balance", Text: text,
			Fix: "measure the first part, or choose tool.measured on the side that touches the tool",
		})
	},
}

// freeSide reports whether the measured side is not the one that touches the tool.
func (p *Pass) freeSide() bool {
	t := p.Body.Part.Job.Tool
	return t.Choice("contact") != t.Choice("measured")
}
