package review

import (
	"fmt"
	"math"

	"platen/toolgen/finding"
	"platen/toolgen/material"
)

// choice says something about the tool material, at a key of the section tool.
func (p *Pass) choice(r Rule, key string, f finding.Finding) {
	f.Feature, f.Pos = "tool", p.Body.Part.Job.Tool.Pos(key)
	p.say(r, nil, f)
}

var toolHeat = Rule{
	ID: "tool.heat", Title: "temperature of the tool's face against what its material stands",
	Run: func(p *Pass, r Rule) {
		limit, ok := p.Body.Tool.HeatLimitAt()
		temp := p.Body.Shrink.ToolTemp
		if !ok || temp <= limit.V {
			return
		}
		key := "material"
		if p.Body.Part.Job.Tool.Has("temperature") {
			key = "temperature"
		}
		p.choice(r, key, finding.Finding{
			Severity: finding.Warning, Got: temp, Limit: limit.V, Unit: "C", Source: limit.Cite(),
			Text: fmt.Sprintf("a tool at %.0f C is warmer than %s stands for long (%.0f C)", temp, p.Body.Tool.Name, limit.V),
			Fix:  fmt.Sprintf("tool.temperature: %s, or choose a metal", down(limit.V, 0)),
		})
	},
}

var toolClear = Rule{
	ID: "tool.clear", Title: "clear sheet on a face that can not be polished",
	Run: func(p *Pass, r Rule) {
		if p.looks() != material.Clear || p.Body.Tool.Class == material.Metal {
			return
		}
		p.choice(r, "material", finding.Finding{
			Severity: finding.Note, Source: "common practice, no source",
			Text: fmt.Sprintf("%s is clear: the grain of %s will show in the part", p.Body.Part.Sheet.Name, p.Body.Tool.Name),
			Fix:  "polished aluminium where clarity matters",
		})
	},
}

var toolLife = Rule{
	ID: "tool.life", Title: "length of the run against the life of the tool material",
	Run: func(p *Pass, r Rule) {
		if !p.Body.Part.Job.Tool.Has("run") {
			return
		}
		run, life := float64(p.Body.Part.Job.Tool.Count("run")), p.Body.Tool.Life
		if run <= life.High {
			return
		}
		lasts := fmt.Sprintf("%.0f to %.0f", life.Low, life.High)
		if life.Low == life.High {
			lasts = fmt.Sprintf("about %.0f", life.High)
		}
		p.choice(r, "run", finding.Finding{
			Severity: finding.Warning, Got: run, Limit: life.High, Unit: "parts", Source: life.Cite(),
			Text: fmt.Sprintf("%.0f parts are asked of a tool in %s, which lasts %s", run, p.Body.Tool.Name, lasts),
			Fix:  fmt.Sprintf("%s%.0f tools in turn", lasting(run), math.Ceil(run/life.High)),
		})
	},
}

// lasting names the cheapest tool material that lasts a run.
func lasting(run float64) string {
	best := material.Tool{}
	for _, t := range material.Tools() {
		if t.Life.High >= run && (best.Name == "" || t.Cost.V < best.Cost.V) {
			best = t
		}
	}
	if best.Name == "" {
		return ""
	}
	return best.Name + ", or "
}
