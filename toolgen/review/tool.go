package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/source"
)

// leastWall is the tool material's own limit of solid between voids.
func (p *Pass) leastWall() limits.Limit {
	v := p.Body.Tool.LeastWall
	return limits.Limit{ID: "tool.wall", Value: v, Unit: "mm", Grade: warnAtMost(v)}
}

func warnAtMost(v source.Value) limits.Grade {
	if v.Mark.Firm() {
		return limits.Error
	}
	return limits.Warning
}

var toolWall = Rule{
	ID: "tool.wall", Title: "solid left between recesses, and to the side of the block", Override: true,
	Run: func(p *Pass, r Rule) {
		for i, s := range p.Body.Solids {
			if !s.Female() || s.Parent != nil {
				continue
			}
			open := s.Wall.D(s.Wall.Host)
			block := p.Body.Field.Block.Outline
			side := math.Inf(1)
			for _, e := range s.Outline.Elems {
				side = min(side, -block.At(e.A).D-open)
			}
			p.thin(r, s, side, "the side of the block")
			for _, t := range p.Body.Solids[:i] {
				if !t.Female() || t.Parent != nil || s.Patch == t.Patch {
					continue
				}
				gap, _ := clearance(s.Outline, t.Outline, p.Body.Tool.LeastWall.V+open+t.Wall.D(t.Wall.Host)+1)
				p.thin(r, s, gap-open-t.Wall.D(t.Wall.Host), t.ID)
			}
		}
	},
}

func (p *Pass) thin(r Rule, s *body.Solid, left float64, to string) {
	b, broken := p.first(r, func(limit float64) bool { return left < limit-1e-9 }, p.leastWall())
	if !broken {
		return
	}
	p.say(r, s, b.on(finding.Finding{
		Got: left, Unit: "mm",
		Text: fmt.Sprintf("%.2f mm of %s is left to %s, want %.2f mm", left, p.Body.Tool.Name, to, b.value),
		Fix:  fmt.Sprintf("%.2f mm more distance, or a stronger tool material", b.value-left),
	}))
}

var toolBase = Rule{
	ID: "tool.base", Title: "solid left under the deepest floor", Override: true,
	Run: func(p *Pass, r Rule) {
		base := p.Body.Part.Job.Block.Length("base")
		b, broken := p.first(r, func(limit float64) bool { return base < limit-1e-9 }, p.leastWall())
		if !broken {
			return
		}
		p.say(r, nil, b.on(finding.Finding{
			Feature: "block", Pos: p.Body.Part.Job.Block.Pos("base"), Got: base, Unit: "mm",
			Text: fmt.Sprintf("%.1f mm of %s is left under the deepest floor, want %.1f mm", base, p.Body.Tool.Name, b.value),
			Fix:  fmt.Sprintf("tool.block.base: %.1f", b.value),
		}))
	},
}

// choice says something about the tool material.
func (p *Pass) choice(r Rule, sev finding.Severity, got, limit float64, unit, cite, text, fix string) {
	p.say(r, nil, finding.Finding{
		Severity: sev, Feature: "tool", Pos: p.Body.Part.Job.Tool.Pos("material"),
		Got: got, Limit: limit, Unit: unit, Source: cite, Text: text, Fix: fix,
	})
}

var toolHeat = Rule{
	ID: "tool.heat", Title: "temperature of the tool's face against what its material stands",
	Run: func(p *Pass, r Rule) {
		limit, ok := p.Body.Tool.HeatLimitAt()
		temp := p.Body.Shrink.ToolTemp
		if !ok || temp <= limit.V {
			return
		}
		p.choice(r, finding.Warning, temp, limit.V, "C", limit.Cite(),
			fmt.Sprintf("a tool at %.0f C is warmer than %s stands (%.0f C)", temp, p.Body.Tool.Name, limit.V),
			"run the tool cooler (tool.temperature), or choose a metal")
	},
}

var toolClear = Rule{
	ID: "tool.clear", Title: "clear sheet on a face that can not be polished",
	Run: func(p *Pass, r Rule) {
		if p.Body.Part.Sheet.Look != material.Clear || p.Body.Tool.Class == material.Metal {
			return
		}
		p.choice(r, finding.Note, 0, 0, "", "common practice, no source",
			fmt.Sprintf("%s is clear: the grain of %s will show in the part", p.Body.Part.Sheet.Name, p.Body.Tool.Name),
			"polished aluminium where clarity matters")
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
		p.choice(r, finding.Warning, run, life.High, "parts", life.Cite(),
			fmt.Sprintf("%.0f parts are asked of a tool in %s, whose life is %.0f to %.0f", run, p.Body.Tool.Name, life.Low, life.High),
			"a harder tool material, or a second tool")
	},
}
