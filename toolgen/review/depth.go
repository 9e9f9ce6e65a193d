package review

import (
	"fmt"
	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

var depthWidth = Rule{
	ID: "depth.width", Title: "depth of recesses against their width", Override: true,
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			if !s.Female() || s.Use == part.Lettering {
				continue
			}
			ratio := p.depthRatio(s)
			over := func(limit float64) bool { return ratio > limit+1e-9 }
			b, broken := p.first(r, over, limits.Get(limits.DepthError), limits.Get(limits.DepthPlug), limits.Get(limits.DepthWarn))
			if !broken {
				continue
			}
			depth := abs(s.Wall.End - s.Wall.Host)
			p.say(r, s, b.on(finding.Finding{
				Got:  ratio,
				At:   at(s.Outline.Disc().Centre.At(s.Wall.End)),
				Text: fmt.Sprintf("depth over width is %.2f, limit %.2f: the wall thins fast at the floor's corners", ratio, b.value),
				Fix:  fmt.Sprintf("depth at most %.1f mm, at least %.1f mm wide, or a plug", depth*b.value/ratio, depth/b.value),
			}))
		}
	},
}

var webGap = Rule{
	ID: "web.gap", Title: "clear gap between raised features against their height", Override: true,
	Run: func(p *Pass, r Rule) {
		for i, s := range p.Body.Solids {
			for _, t := range p.Body.Solids[:i] {
				if s.Female() || t.Female() || s.Parent != t.Parent || s.Patch == t.Patch || fine(s) || fine(t) {
					continue
				}
				p.web(r, s, t)
			}
		}
	},
}

// fine reports whether a feature is too low for its gaps to web: strokes and beads.
func fine(s *body.Solid) bool { return s.Use == part.Lettering || s.Use == part.Hinge }

func (p *Pass) web(r Rule, s, t *body.Solid) {
	height := min(abs(s.Wall.End-s.Wall.Host), abs(t.Wall.End-t.Wall.Host))
	least, good := limits.WebGapLeast(height, p.Body.Part.Gauge), limits.WebGapGood(height)
	gap, place := clearance(s.Outline, t.Outline, good.Value.V+10)
	gap -= s.Wall.D(s.Wall.Host) + t.Wall.D(t.Wall.Host)
	b, broken := p.first(r, func(limit float64) bool { return gap < limit-1e-9 }, least, good)
	if !broken {
		return
	}
	p.say(r, s, b.on(finding.Finding{
		At: at(place.At(s.Wall.Host)), Got: gap, Unit: "mm",
		Text: fmt.Sprintf("the gap to %s is %.1f mm for a height of %.1f mm: the sheet may web", t.ID, gap, height),
		Fix:  fmt.Sprintf("gap at least %.1f mm, or height at most %.1f mm", b.value, height*gap/b.value),
	}))
}

// clearance returns the distance between two outlines that do not overlap and the place of it on a,
// to a hundredth of a millimetre; distances above far come back as far.
func clearance(a, b *outline.Outline, far float64) (float64, geom.Vec2) {
	best, place := far, geom.Vec2{}
	var walk func(e outline.Elem, t0, t1 float64)
	walk = func(e outline.Elem, t0, t1 float64) {
		q := e.Point((t0 + t1) / 2)
		d, half := b.At(q).D, e.Length()*(t1-t0)/2
		if d < best {
			best, place = d, q
		}
		if d-half >= best || half < 0.005 {
			return
		}
		walk(e, t0, (t0+t1)/2)
		walk(e, (t0+t1)/2, t1)
	}
	if a.Bounds().Grow(far).Overlaps(b.Bounds()) {
		for _, e := range a.Elems {
			walk(e, 0, 1)
		}
	}
	return max(best, 0), place
}

var drawAreal = Rule{
	ID: "draw.areal", Title: "areal draw ratio of the whole part", Override: true,
	Run: func(p *Pass, r Rule) {
		ratio := p.areal()
		b, broken := p.first(r, func(limit float64) bool { return ratio > limit }, limits.Areal(p.Body.Part.Sheet.Areal.Free))
		if !broken {
			return
		}
		p.say(r, nil, b.on(finding.Finding{
			Feature: "part", Pos: p.Body.Part.Job.Part.Pos("outline"), Got: ratio,
			Text: fmt.Sprintf("the part has %.2f times the area of the sheet it is drawn from, limit %.2f for %s without a plug", ratio, b.value, p.Body.Part.Sheet.Name),
			Fix:  "shallower features, more draft, or a plug",
		}))
	},
}

// areal returns formed area over plan area of the part, roundings left out.
func (p *Pass) areal() float64 {
	plan := p.Body.Part.Outline.Area()
	formed := plan
	for _, f := range p.Body.Part.Features {
		host, end, side := wall.Areas(f)
		formed += end + side - host
	}
	return formed / plan
}
