package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/outline"
	"platen/toolgen/source"
)

// plugged reports whether a plug of the job comes down over a solid.
func (p *Pass) plugged(s *body.Solid) bool {
	if p.Body.Part.Plug == nil {
		return false
	}
	for _, at := range p.Body.Part.Plug.Places {
		if s.Feature.Outline.At(at).D < 0 {
			return true
		}
	}
	return false
}

// atPlug says something about the plug, at one of its keys.
func (p *Pass) atPlug(r Rule, key string, f finding.Finding) {
	f.Feature, f.Pos = "plug", p.Body.Part.Job.Forming.Group("plug").Pos(key)
	p.say(r, nil, f)
}

var plugClear = Rule{
	ID: "plug.clear", Title: "distance from the plug to the tool when it is down", Override: true,
	Run: func(p *Pass, r Rule) {
		plan, ok := p.plan()
		if !ok || plan.Plug == nil {
			return
		}
		last := limits.Get(limits.PlugClearance)
		nips := limits.Limit{Grade: limits.Warning, Value: source.Of(p.Body.Part.Gauge, source.D, "derived: under a plug that it sticks to the sheet keeps its gauge")}
		b, broken := p.first(r, func(limit float64) bool { return plan.Gap < limit-1e-9 }, nips, last)
		if !broken {
			return
		}
		got, limit := tell(plan.Gap, b.value, 2)
		lack := up(b.value-plan.Gap, 2)
		p.atPlug(r, "travel", b.on(finding.Finding{
			At: at(plan.GapAt), Got: plan.Gap, Unit: "mm",
			Text: fmt.Sprintf("the plug stops %s mm off the tool, below %s mm, %s", got, limit, b.word("the gauge: it nips the sheet")),
			Fix:  fmt.Sprintf("travel %s mm less where the floor is nearest, else a plug %s mm smaller all round", lack, lack),
		}))
	},
}

var plugTravel = Rule{
	ID: "plug.travel", Title: "travel of the plug against the depth it serves", Override: true,
	Run: func(p *Pass, r Rule) {
		plug := p.Body.Part.Plug
		if plug == nil {
			return
		}
		depth := 0.0 // of the deepest floor under it, below the land
		for _, s := range p.Body.Solids {
			if sinks(s) && p.plugged(s) {
				depth = max(depth, p.Body.Land()-s.Wall.End)
			}
		}
		if depth == 0 {
			p.atPlug(r, "travel", finding.Finding{
				Severity: finding.Warning, Source: "derived: places of the plug against the recesses of the tool", Unit: "mm",
				Text: "the plug comes down over no recess of the tool: it draws the sheet where nothing is to be formed",
				Fix:  "forming.plug.at: the middle of the recess it is for, or no plug",
			})
			return
		}
		ratio := plug.Travel / depth
		b, broken := p.first(r, func(limit float64) bool { return ratio > limit+1e-9 }, limits.Get(limits.PlugTravel))
		if !broken {
			return
		}
		got, limit := tell(ratio, b.value, 2)
		p.atPlug(r, "travel", b.on(finding.Finding{
			Got:  ratio,
			Text: fmt.Sprintf("the plug does %s of the depth of %.1f mm, over %s, %s before the vacuum", got, depth, limit, b.word("the most")),
			Fix:  fmt.Sprintf("forming.plug.travel: %s mm", down(b.value*depth, 1)),
		}))
	},
}

var plugAdvised = Rule{
	ID: "plug.advised", Title: "deep recesses whose corners form thin without a plug",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil {
			return
		}
		deep, share := limits.Get(limits.DepthPlug), limits.Get(limits.PlugWall)
		least, why := share.Value.V*p.Body.Part.Gauge, fmt.Sprintf("%g of the gauge", share.Value.V)
		if job := p.Body.Part.Job.Sheet; job.Has("least_wall") {
			least, why = job.Length("least_wall"), "the least asked"
		}
		for _, s := range p.Body.Solids {
			if !sinks(s) || s.Parent != nil || p.plugged(s) || depthRatio(s) <= deep.Value.V {
				continue
			}
			a, ok := p.Formed.Least(s.ID)
			if !ok || a.Low >= least {
				continue
			}
			got, limit := tell(a.Low, least, 2)
			p.say(r, s, finding.Finding{
				Severity: finding.Note, At: at(a.At), Got: a.Low, Limit: least, Unit: "mm", Source: deep.Value.Cite() + "; " + simulated,
				Text: fmt.Sprintf("its %s forms %s mm thin, below %s mm, %s, and its depth is %.2f of its width: a plug would carry sheet down to its floor", a.Role, got, limit, why, depthRatio(s)),
				Fix:  "forming.plug: " + advise(s),
			})
		}
	},
}

// plugOff is how far an advised plug stays off the walls, mm: a little over the usual start.
const plugOff = 4.0

// advise returns a plug for a recess: nine tenths of its depth, sloped as its walls and the usual distance
// off them all round.
func advise(s *body.Solid) string {
	travel := limits.Get(limits.PlugTravel).Value.V * rise(s)
	z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*travel/rise(s)
	in := plugOff/s.Wall.Draft.Cos() - s.Wall.D(z) // of the outline
	size, mid := s.Outline.Bounds().Size(), s.Feature.Outline.Bounds().Centre()
	round := s.Outline.Area() < boxy*size.X*size.Y
	shape := fmt.Sprintf("{rect: [%s mm, %s mm], corner: %s mm}", down(size.X-2*in, 1), down(size.Y-2*in, 1), down(corner(s.Outline, in, min(size.X, size.Y)/2-in), 1))
	if round {
		mid = s.Feature.Outline.Disc().Centre
		shape = fmt.Sprintf("{circle: %s mm}", down(2*(s.Wall.Inside-in), 1))
	}
	return fmt.Sprintf("{outline: %s, at: [%.1f mm, %.1f mm], travel: %s mm, edge: %s mm, draft: %s}",
		shape, mid.X, mid.Y, down(travel, 1), down(min(6, s.Wall.Inside/4), 1), down(s.Wall.Draft.Degrees(), 1))
}

// boxy is the share of its box that an outline fills at least to be served by a rectangular plug.
const boxy = 0.88

// corner returns the plan corner of a plug that stays in an outline by a distance: the outline's own corner
// less that, and at least a few millimetres, for the sheet's sake.
func corner(o *outline.Outline, in, most float64) float64 {
	own := o.Convex()
	if math.IsInf(own, 0) {
		own = 0
	}
	return min(most, max(4, own-in))
}
