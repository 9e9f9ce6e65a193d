package review

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/part"
)

// rounding is one of a solid's two roundings on the tool.
type rounding struct {
	name    string
	r       float64
	concave bool // the sheet must be drawn into it
}

func roundings(s *body.Solid) [2]rounding {
	if s.Female() {
		return [2]rounding{{"edge", s.Wall.HostR, false}, {"floor", s.Wall.EndR, true}}
	}
	return [2]rounding{{"root", s.Wall.HostR, true}, {"crown", s.Wall.EndR, false}}
}

var radiusGauge = Rule{
	ID: "radius.gauge", Title: "roundings against the starting gauge", Override: true,
	Run: func(p *Pass, r Rule) {
		gauge := p.Body.Part.Gauge
		for _, s := range p.Body.Solids {
			if s.Use == part.Lettering || s.Use == part.Hinge {
				continue // strokes and beads are finer than the gauge by nature
			}
			for _, o := range roundings(s) {
				tests := []limits.Limit{limits.RadiusLeast(gauge)}
				if o.concave && s.Female() {
					tests = append(tests, limits.RadiusGood(gauge))
				}
				b, broken := p.first(r, func(limit float64) bool { return o.r < limit-1e-9 }, tests...)
				if !broken {
					continue
				}
				p.say(r, s, b.on(finding.Finding{
					Got: o.r, Unit: "mm",
					Text: fmt.Sprintf("%s radius %.2f mm is below %.2f mm for a gauge of %.2f mm: the sheet bridges or tears there", o.name, o.r, b.value, gauge),
					Fix:  fmt.Sprintf("%s at least %.2f mm", o.name, b.value),
				}))
			}
		}
	},
}

var ridgeSharp = Rule{
	ID: "ridge.sharp", Title: "sharp ridges that the sheet is drawn over",
	Run: func(p *Pass, r Rule) {
		edge := p.Body.Part.Job.Block.Length("edge")
		if p.Body.Part.Job.Tool.Choice("seal") != "platen" || edge > 0 {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Warning, Feature: "block", Pos: p.Body.Part.Job.Block.Pos("edge"), Got: edge, Limit: p.Body.Part.Gauge, Unit: "mm",
			Source: "common practice, no source",
			Text:   "the sheet drapes over the sharp top edge of the block",
			Fix:    fmt.Sprintf("tool.block.edge: %.1f", max(2*p.Body.Part.Gauge, 2)),
		})
	},
}

var radiusFree = Rule{
	ID: "radius.free-side", Title: "roundings that vanish on the measured side of the sheet",
	Run: func(p *Pass, r Rule) {
		if !p.freeSide() || p.Body.Part.Job.Tool.Choice("wall_allowance") == "none" {
			return
		}
		for _, s := range p.Body.Solids {
			if fine(s) {
				continue
			}
			for _, o := range roundings(s) {
				t := p.Body.Walls.End(s.Feature).MM
				if o.name == "root" {
					t = p.hostWall(s)
				}
				if !o.concave || o.r > t {
					continue
				}
				p.say(r, s, finding.Finding{
					Severity: finding.Error, Got: o.r, Limit: t, Unit: "mm", Source: "derived: radius on the tool less the wall",
					Text: fmt.Sprintf("%s radius %.2f mm on the tool leaves no radius on the measured side under a wall of about %.2f mm", o.name, o.r, t),
					Fix:  fmt.Sprintf("%s more than %.2f mm, or tool.measured on the side that touches the tool", o.name, t),
				})
			}
		}
	},
}

// hostWall returns the wall on the level a solid stands on.
func (p *Pass) hostWall(s *body.Solid) float64 {
	if s.Parent == nil {
		return p.Body.Walls.Land().MM
	}
	return p.Body.Walls.End(s.Parent).MM
}
