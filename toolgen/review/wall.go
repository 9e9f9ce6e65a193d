package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/source"
	"platen/toolgen/wall"
)

// areaBalance is where the mean wall comes from.
const areaBalance = "SPE Thermoforming Division, The Ubiquitous Draw Ratio, Thermoforming Quarterly 24(4), 2005"

var wallMean = Rule{
	ID: "wall.mean-low", Title: "mean wall by area balance against the least wall asked", Override: true,
	Run: func(p *Pass, r Rule) {
		job := p.Body.Part.Job.Sheet
		if !job.Has("least_wall") || p.Formed != nil { // the formed wall is known: wall.least
			return
		}
		asked := limits.Limit{Grade: limits.Warning, Value: source.Of(job.Length("least_wall"), source.D,
			"asked in the job; mean wall = gauge / areal draw ratio ("+areaBalance+")")}
		for _, s := range p.Body.Solids {
			if !sinks(s) { // no law of that standing is known for blocks
				continue
			}
			ratio := wall.DrawRatio(s.Feature)
			mean := p.Body.Part.Gauge / ratio
			b, broken := p.first(r, func(limit float64) bool { return mean < limit-1e-9 }, asked)
			if !broken {
				continue
			}
			_, pos := s.Key("depth", "height")
			got, limit := tell(mean, b.value, 2)
			p.say(r, s, b.on(finding.Finding{
				Pos: pos, Got: mean, Unit: "mm",
				Text: fmt.Sprintf("mean wall about %s mm at a draw ratio of %.2f, below %s mm, %s; corners are thinner still",
					got, ratio, limit, b.word("the least asked")),
				Fix: fmt.Sprintf("gauge at least %s mm, or a shallower feature", up(b.value*ratio, 2)),
			}))
		}
	},
}

var wallNominal = Rule{
	ID: "wall.not-simulated", Title: "walls that are estimates",
	Run: func(p *Pass, r Rule) {
		allowance := p.Body.Part.Job.Tool.Choice("wall_allowance")
		estimated := p.freeSide() && (allowance == "nominal" || allowance == "formed" && p.Formed == nil)
		if p.Formed != nil && !estimated {
			return
		}
		f := finding.Finding{
			Severity: finding.Note, Feature: "part", Pos: p.Body.Part.Job.Tool.Pos("measured"), Source: "derived: area balance",
			Text: "formed walls are not simulated: the drill list leaves them empty and vent sizes rest on area balance",
			Fix:  "measure the walls of the first part",
		}
		if estimated {
			f.Severity = finding.Warning
			f.Text = "sizes hold on the side of the sheet that does not touch the tool, and the formed wall is an estimate by area balance: expect errors of a few tenths of the gauge"
			f.Fix = fmt.Sprintf("measure the first part, or tool.measured: %s, the side that touches the tool", p.Body.Part.Job.Tool.Choice("contact"))
		}
		p.say(r, nil, f)
	},
}

// freeSide reports whether the measured side is not the one that touches the tool.
func (p *Pass) freeSide() bool {
	t := p.Body.Part.Job.Tool
	return t.Choice("contact") != t.Choice("measured")
}
