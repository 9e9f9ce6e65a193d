package review

import (
	"fmt"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/part"
)

// across returns the shorter side of a solid's opening or foot, mm.
func across(s *body.Solid) float64 { return 2 * (s.Wall.Inside + s.Wall.D(s.Wall.Host)) }

// rise returns a solid's depth or height on the tool, mm.
func rise(s *body.Solid) float64 { return abs(s.Wall.End - s.Wall.Host) }

// depthRatio returns a feature's depth or height over the shorter side of its opening or foot.
func depthRatio(s *body.Solid) float64 { return rise(s) / across(s) }

// sinks reports whether the sheet is drawn into a solid.
func sinks(s *body.Solid) bool { return s.Female() && !fine(s) }

var depthWidth = Rule{
	ID: "depth.width", Title: "depth of recesses against their width", Override: true,
	Run: func(p *Pass, r Rule) {
		last := limits.Get(limits.DepthWarn)
		for _, s := range p.Body.Solids {
			if !sinks(s) || p.plugged(s) { // the limits are those without a plug
				continue
			}
			w := p.well(s)
			ratio := w.depth / w.width
			over := func(limit float64) bool { return ratio > limit+1e-9 }
			b, broken := p.first(r, over, limits.Get(limits.DepthError), limits.Get(limits.DepthPlug), last)
			if !broken {
				continue
			}
			key, pos := s.Key("depth", "height", "steps")
			got, limit := tell(ratio, b.value, 2)
			word := b.word("the most without a plug")
			if b.stands == good && b.value > last.Value.V {
				word = "from where a plug is advised"
			}
			p.say(r, s, b.on(finding.Finding{
				Got: ratio, Pos: pos, At: at(s.Outline.Disc().Centre.At(s.Wall.End)),
				Text: fmt.Sprintf("depth over width is %s%s, over %s, %s: the wall thins fast at the floor's corners", got, w.said, limit, word),
				Fix:  b.mend(last, func(limit float64) string { return p.flatter(w, key, limit) }) + "; or form it with a plug (forming.plug)",
			}))
		}
	},
}

// well is what the sheet is drawn into on its way to the floor of a solid: the solid itself, or all from the
// opening of one that it lies in.
type well struct {
	solid, top   *body.Solid
	depth, width float64 // mm, of the opening of top
	said         string  // of what the ratio is, where it is not the solid's own
}

// well returns the well of a solid that is deepest for its width. What sinks through the rim of a pocket is open
// to it, so it is no deeper than it goes into the pocket's wall.
func (p *Pass) well(s *body.Solid) well {
	out := well{solid: s, top: s, depth: rise(s), width: across(s)}
	if s.Rim {
		if in := p.into(s); in < out.depth {
			out.depth, out.said = in, fmt.Sprintf(" (%.1f mm into the wall)", in)
		}
	}
	for f := s.Parent; f != nil; f = f.Parent {
		t := p.solid(f.ID)
		if !sinks(t) {
			break
		}
		depth := abs(s.Wall.End - t.Wall.Host)
		if depth/across(t) > out.depth/out.width {
			out = well{s, t, depth, across(t), fmt.Sprintf(" (%.1f mm from the opening of %s)", depth, t.ID)}
		}
	}
	return out
}

// into returns how far a solid through the rim of a pocket goes into the pocket's wall at the level it sinks
// from, mm.
func (p *Pass) into(s *body.Solid) float64 {
	least := rise(s)
	for _, t := range p.Body.Solids {
		if t.Female() && t.Parent == s.Parent && strings.HasPrefix(s.ID, t.ID+"/") {
			d, _ := s.Outline.Beyond(t.Outline)
			least = min(least, max(0, d+s.Wall.D(s.Wall.Host)-t.Wall.D(t.Wall.Host)))
		}
	}
	return least
}

// flatter says what brings a well down to a ratio of depth to width.
func (p *Pass) flatter(w well, key string, limit float64) string {
	wider := up((w.depth/limit-w.width)/p.finest(), 1)
	switch {
	case w.top != w.solid:
		return fmt.Sprintf("its floor at most %s mm below the opening of %s, or that %s mm wider", down(limit*w.width/p.Body.Map.Scale.Z, 1), w.top.ID, wider)
	case w.said != "":
		return fmt.Sprintf("at most %s mm into the wall, or %s mm wider", down(limit*w.width/p.finest(), 1), wider)
	}
	depth, width := p.shallower(w.solid, limit)
	return fmt.Sprintf("%s at most %s mm, or %s mm wider", key, down(depth, 1), up(width, 1))
}

// shallower returns the depth that brings a solid down to a ratio of depth to width, and how much
// wider it may be made instead, mm on the part.
func (p *Pass) shallower(s *body.Solid, limit float64) (depth, wider float64) {
	scale := p.Body.Shrink.Scale()
	// Where the size holds at the floor the opening narrows with the depth.
	run := 2 * s.Wall.D(s.Wall.Host)
	fits := limit * 2 * s.Wall.Inside / (1 - limit*run/rise(s))
	depth = s.Height - (rise(s)-fits)/scale.Z
	return depth, (rise(s)/limit - across(s)) / min(scale.X, scale.Y)
}

var webGap = Rule{
	ID: "web.gap", Title: "clear gap between raised features against their height", Override: true,
	Run: func(p *Pass, r Rule) {
		moved, _, _ := p.moved(r)
		reach := func(s *body.Solid) float64 {
			most := max(limits.WebGapLeast(rise(s), p.Body.Part.Gauge).Value.V, limits.WebGapGood(rise(s)).Value.V, moved)
			return most + s.Wall.D(s.Wall.Host)
		}
		p.pairs(func(s *body.Solid) bool { return !s.Female() && !fine(s) }, reach, func(s, t *body.Solid) {
			p.web(r, s, t, reach(s)+reach(t))
		})
	},
}

func (p *Pass) web(r Rule, s, t *body.Solid, far float64) {
	gap, where, apart := between(s, t, far)
	if !apart {
		return
	}
	full, gauge := min(rise(s), rise(t)), p.Body.Part.Gauge
	height, foot := full, max(0, gap)
	if gap <= 0 { // their feet have met: what is left is the notch above
		if height = min(full, where.Width/(s.Wall.Draft.Tan()+t.Wall.Draft.Tan())); height < gauge {
			return
		}
	}
	least, last := limits.WebGapLeast(height, gauge), limits.WebGapGood(height)
	if last.Value.V < least.Value.V {
		last = least
	}
	b, broken := p.first(r, func(limit float64) bool { return foot < limit-1e-9 }, least, last)
	if !broken {
		return
	}
	got, limit := tell(foot, b.value, 1)
	what := fmt.Sprintf("the gap to %s is %s mm at a height of %.1f mm, below %s mm, %s", t.ID, got, height, limit, b.word("the least"))
	if gap <= 0 {
		what = fmt.Sprintf("its foot meets that of %s and leaves a notch %.1f mm deep", t.ID, height)
	}
	p.say(r, s, b.on(finding.Finding{
		Pos: placed(s), At: at(where.A.Add(where.B).Scale(0.5).At(s.Wall.Host)), Got: foot, Unit: "mm",
		Text: what + ": the sheet may web",
		Fix: b.mend(last, func(limit float64) string {
			if b.stands == own {
				return fmt.Sprintf("%s mm further apart", up((limit-gap)/p.finest(), 1))
			}
			ratio := limit / height
			fix := fmt.Sprintf("%s mm further apart", up((ratio*full-gap)/p.finest(), 1))
			if low := lower(s, t, gap, full, ratio); low >= gauge {
				fix += fmt.Sprintf(" or at most %s mm high", down(low/p.Body.Map.Scale.Z, 1))
			}
			return fix
		}),
	}))
}

// lower returns the height at which two solids of a height have a gap of ratio times it: lower ones whose
// size holds at their tops have their feet farther apart.
func lower(s, t *body.Solid, gap, height, ratio float64) float64 {
	slope := 0.0
	for _, o := range [2]*body.Solid{s, t} {
		if o.Holds == part.AtEnd {
			slope += o.Wall.Draft.Tan()
		}
	}
	return (gap + height*slope) / (ratio + slope)
}

// finest returns the smaller of the plan's shrink factors: a part length is a tool length over it, at
// most.
func (p *Pass) finest() float64 { return min(p.Body.Map.Scale.X, p.Body.Map.Scale.Y) }

// place returns the tool point over a plan point of the land of a solid's part.
func (p *Pass) place(s *body.Solid, q geom.Vec2) *geom.Vec3 {
	return at(p.Body.MapOf(s.Impression).Plan(q).At(p.Body.Land()))
}
