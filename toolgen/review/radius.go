package review

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/part"
	"platen/toolgen/source"
)

// rounding is one of a solid's two roundings on the tool.
type rounding struct {
	key     string // in the job
	pos     finding.Pos
	r       float64 // on the tool, mm
	asked   float64 // mm
	host    bool    // at the level the solid stands on or sinks from
	concave bool    // the sheet must be drawn into it
	behind  float64 // what the key is more than the radius on the tool, because it holds on the formed face, mm
}

func roundings(s *body.Solid) [2]rounding {
	host, end := []string{"edge", "root", "lead_in"}, []string{"floor", "crown", "diameter"} // of a sunk feature
	if !s.Sunk {
		host, end = []string{"root", "floor"}, []string{"crown", "edge", "lead_in"}
	}
	a := rounding{r: s.Wall.HostR, asked: s.HostR, host: true, concave: !s.Female()}
	b := rounding{r: s.Wall.EndR, asked: s.EndR, concave: s.Female()}
	if s.Face != part.Measured {
		a.behind, b.behind = a.asked-a.r, b.asked-b.r
	}
	a.key, a.pos = s.Key(host...)
	b.key, b.pos = s.Key(end...)
	return [2]rounding{a, b}
}

var radiusGauge = Rule{
	ID: "radius.gauge", Title: "roundings against the starting gauge", Override: true,
	Run: func(p *Pass, r Rule) {
		gauge := p.Body.Part.Gauge
		for _, s := range p.Body.Solids {
			if fine(s) {
				continue // strokes and beads are finer than the gauge by nature
			}
			for _, o := range roundings(s) {
				tests := []limits.Limit{limits.RadiusLeast(gauge)}
				if o.concave && s.Female() {
					tests = append(tests, limits.RadiusGood(gauge))
				}
				b, broken := p.first(r, func(limit float64) bool { return o.r < limit-1e-9 }, tests...)
				if broken {
					p.rounded(r, s, o, b, tests[len(tests)-1])
				}
			}
		}
	},
}

// rounded says that a rounding is too small.
func (p *Pass) rounded(r Rule, s *body.Solid, o rounding, b bound, last limits.Limit) {
	got, limit := tell(o.r, b.value, 2)
	what := "thins and tears over it"
	if o.concave {
		what = "bridges it"
	}
	f := finding.Finding{
		Pos: o.pos, Got: o.r, Unit: "mm",
		Text: fmt.Sprintf("%s radius %s mm is below %s mm, %s for a gauge of %.2f mm: the sheet %s",
			o.key, got, limit, b.word("the least"), p.Body.Part.Gauge, what),
		Fix: o.key + " " + b.mend(last, func(limit float64) string { return up(limit+o.behind, 2) + " mm" }),
	}
	if s.Member >= 0 && abs(o.r-o.asked) > 1e-9 { // evened with the features it crosses
		f.Text += "; it is that of all features that cross here"
		f.Fix += " on all of them"
		if d := p.Body.Part.Job.Defaults; o.host && s.Female() && d.Has("crossing") {
			f.Pos = d.Pos("crossing")
			f.Fix = "defaults.crossing: " + b.mend(last, func(limit float64) string { return up(limit, 2) + " mm" })
		}
	}
	p.say(r, s, b.on(f))
}

var ridgeSharp = Rule{
	ID: "ridge.sharp", Title: "edge of a block that the sheet drapes over", Override: true,
	Run: func(p *Pass, r Rule) {
		edge := p.Body.Part.Job.Block.Length("edge")
		if p.Body.Part.Job.Tool.Choice("seal") != "platen" {
			return
		}
		l := limits.Limit{Value: source.Practice(p.Body.Part.Gauge), Grade: limits.Warning}
		b, broken := p.first(r, func(limit float64) bool { return edge < limit-1e-9 }, l)
		if !broken {
			return
		}
		got, limit := tell(edge, b.value, 2)
		p.say(r, nil, b.on(finding.Finding{
			Feature: "block", Pos: p.Body.Part.Job.Block.Pos("edge"), Got: edge, Unit: "mm",
			Text: fmt.Sprintf("the sheet drapes over the top edge of the block, whose radius of %s mm is below %s mm, %s",
				got, limit, b.word("one gauge")),
			Fix: "tool.block.edge: " + up(b.value, 2) + " mm",
		}))
	},
}

var radiusFree = Rule{
	ID: "radius.free-side", Title: "roundings that vanish on the measured side of the sheet",
	Run: func(p *Pass, r Rule) {
		if !p.freeSide() || p.Body.Part.Job.Tool.Choice("wall_allowance") == "none" {
			return
		}
		for _, s := range p.Body.Solids {
			if fine(s) || s.Undercut.Depth > 0 { // whose roundings are asked on the formed face
				continue
			}
			for _, o := range roundings(s) {
				t := p.Body.Walls.End(s.Feature).MM
				if o.host {
					t = p.hostWall(s)
				}
				if !o.concave || o.r > t {
					continue
				}
				p.say(r, s, finding.Finding{
					Severity: finding.Error, Pos: o.pos, Got: o.r, Limit: t, Unit: "mm", Source: "derived: radius on the tool less the wall",
					Text: fmt.Sprintf("%s radius %.2f mm on the tool leaves no radius on the measured side under a wall of about %.2f mm", o.key, o.r, t),
					Fix:  fmt.Sprintf("%s at least %s mm, or tool.measured on the side that touches the tool", o.key, up(t+0.01, 2)),
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
