package review

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/outline"
	"platen/toolgen/source"
)

// leastWall is the tool material's own limit of solid between voids.
func (p *Pass) leastWall() limits.Limit {
	v := p.Body.Tool.LeastWall
	return limits.Limit{ID: "tool.wall", Value: v, Unit: "mm", Grade: firmest(v)}
}

// firmest returns the gravest grade that breaking a value may have.
func firmest(v source.Value) limits.Grade {
	if v.Mark.Firm() {
		return limits.Error
	}
	return limits.Warning
}

var toolWall = Rule{
	ID: "tool.wall", Title: "solid left between recesses, and to the side of the block", Override: true,
	Run: func(p *Pass, r Rule) {
		least := p.leastWall().Value.V
		if limit, _, moved := p.moved(r); moved {
			least = max(least, limit)
		}
		for _, s := range p.Body.Solids {
			if sinks(s) {
				p.outer(r, s, least)
			}
		}
		reach := func(s *body.Solid) float64 { return least/2 + s.Wall.D(s.Wall.Host) }
		p.pairs(sinks, reach, func(s, t *body.Solid) {
			if gap, where, apart := between(s, t, least); apart && gap > 0 {
				p.thin(r, s, gap, where, t.ID)
			}
		})
	},
}

// outer measures what is left between a recess and the outside of what it sinks into: the block, or
// the block-like feature it is nested in.
func (p *Pass) outer(r Rule, s *body.Solid, least float64) {
	open := s.Wall.D(s.Wall.Host)
	if s.Parent == nil {
		block := p.Body.Field.Block
		// The skirt leans in: what counts is the top, where both are nearest.
		lean := -(p.Body.Land() - p.Body.Bottom()) * p.Body.Part.Job.Block.Angle("skirt_draft").Tan()
		near := outline.Between(s.Outline, block.Outline, least+open-lean)
		p.thin(r, s, near.Width-open+lean, near, "the side of the block")
		return
	}
	host := p.solids[s.Parent]
	if host.Female() {
		return
	}
	lean := host.Wall.D(host.Wall.End)
	near := outline.Between(s.Outline, host.Outline, least+open-lean)
	if left := near.Width - open + lean; left > 0 {
		p.thin(r, s, left, near, "the side of "+host.ID)
	}
}

func (p *Pass) thin(r Rule, s *body.Solid, left float64, where outline.Neck, to string) {
	b, broken := p.first(r, func(limit float64) bool { return left < limit-1e-9 }, p.leastWall())
	if !broken {
		return
	}
	got, limit := tell(left, b.value, 2)
	p.say(r, s, b.on(finding.Finding{
		Pos: placed(s), At: at(where.A.Add(where.B).Scale(0.5).At(s.Wall.Host)), Got: left, Unit: "mm",
		Text: fmt.Sprintf("%s mm of %s is left to %s, below %s mm, %s", got, p.Body.Tool.Name, to, limit, b.word("the least")),
		Fix:  fmt.Sprintf("%s mm more between them, or a tool material that stands a thinner wall", up((b.value-left)/p.finest(), 2)),
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
		got, limit := tell(base, b.value, 1)
		p.say(r, nil, b.on(finding.Finding{
			Feature: "block", Pos: p.Body.Part.Job.Block.Pos("base"), Got: base, Unit: "mm",
			Text: fmt.Sprintf("%s mm of %s is left under the deepest floor, below %s mm, %s", got, p.Body.Tool.Name, limit, b.word("the least")),
			Fix:  "tool.block.base: " + up(b.value, 1) + " mm",
		}))
	},
}
