package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/wall"
)

var drawAreal = Rule{
	ID: "draw.areal", Title: "areal draw ratio of the whole part", Override: true,
	Run: func(p *Pass, r Rule) {
		ratio := p.areal(1)
		most, how := p.Body.Part.Sheet.Areal.Free, "without a plug"
		if p.Body.Part.Plug != nil {
			most, how = p.Body.Part.Sheet.Areal.Plug, "with a plug"
		}
		l := limits.Areal(most)
		b, broken := p.first(r, func(limit float64) bool { return ratio > limit+1e-9 }, l)
		if !broken {
			return
		}
		got, limit := tell(ratio, b.value, 2)
		p.say(r, nil, b.on(finding.Finding{
			Feature: "part", Pos: p.Body.Part.Job.Part.Pos("outline"), Got: ratio,
			Text: fmt.Sprintf("the part has %s times the area of the sheet it is drawn from, over %s, %s for %s %s",
				got, limit, b.word("the most"), p.Body.Part.Sheet.Name, how),
			Fix: fmt.Sprintf("all depths at most %s %% of what they are, a larger trim line, or plugs (forming.plug)", down(100*p.lower(b.value), 0)),
		}))
	},
}

// areal returns formed area over plan area of the part with all depths and heights times share,
// roundings left out.
func (p *Pass) areal(share float64) float64 {
	plan := p.Body.Part.Outline.Area()
	formed := plan
	for _, f := range p.Body.Part.Features {
		if f.Impression > 0 {
			continue // alike
		}
		g := *f
		g.Height *= share
		host, end, side := wall.Areas(&g)
		formed += end + side - host
	}
	return formed / plan
}

// lower returns the share of all depths at which the areal draw ratio comes down to limit.
func (p *Pass) lower(limit float64) float64 {
	lo, hi := 0.0, 1.0
	for range 40 {
		if mid := (lo + hi) / 2; p.areal(mid) > limit {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}
