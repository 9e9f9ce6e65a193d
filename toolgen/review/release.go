package review

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/formula"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/outline"
	"platen/toolgen/source"
	"platen/toolgen/wall"
)

// stands reports whether a solid stands up on the tool and the sheet shrinks on to it.
func stands(s *body.Solid) bool { return !s.Female() && !fine(s) }

// gripped is how hard a part holds its tool.
type gripped struct {
	force  float64     // N, of all impressions
	top    float64     // plan area of the tops that air can press on, mm2
	worst  *body.Solid // nil: the sides of the block
	most   float64     // N, of the worst
	stress float64     // in the sheet, MPa
}

// hold returns the force of a closed band of sheet round a wall.
func (g *gripped) hold(s *body.Solid, wall, height float64, draft geom.Angle) {
	f := formula.Grip(g.stress, wall, height, draft, limits.Get(limits.ReleaseFriction).Value.V)
	g.force += f
	if f > g.most {
		g.most, g.worst = f, s
	}
}

// grip adds up what the part has shrunk on to, no wall with less than a draft.
func (p *Pass) grip(least geom.Angle) gripped {
	sheet := p.Body.Part.Sheet
	g := gripped{stress: sheet.Modulus.V * limits.Get(limits.ReleaseWarm).Value.V * sheet.Shrink.Male.V * limits.Get(limits.ReleaseShare).Value.V}
	walls := wall.Nominal{Gauge: p.Body.Part.Gauge, Over: p.Body.Over()}
	for _, s := range p.Body.Solids {
		if !stands(s) {
			continue
		}
		f := *s.Feature
		f.Draft = max(f.Draft, least)
		g.hold(s, walls.Side(&f, f.Height/2).MM, f.Height, max(s.Wall.Draft, least))
		_, top, _ := wall.Areas(&f)
		g.top += top
	}
	if p.Body.Part.Job.Tool.Choice("seal") == "platen" {
		block := p.Body.Part.Job.Block
		box := p.Body.Field.Box().Plan().Size()
		g.hold(nil, p.Body.Part.Gauge, p.Body.Land()-p.Body.Bottom(), max(block.Angle("skirt_draft"), least))
		g.top = max(g.top, box.X*box.Y)
	}
	return g
}

var releaseGrip = Rule{
	ID: "release.grip", Title: "force by which the part grips what it has shrunk on to", Override: true,
	Run: func(p *Pass, r Rule) {
		g := p.grip(0)
		b, broken := p.first(r, func(limit float64) bool { return g.force > limit }, limits.Get(limits.ReleaseHand))
		if !broken {
			return
		}
		// MPa over the tops, in kPa.
		blow, usual := 1000*g.force/g.top, limits.Get(limits.ReleaseBlow)
		fix := fmt.Sprintf("blow it off with at least %s kPa through the vacuum holes", up(blow, 1))
		if blow > usual.Value.V {
			fix = fmt.Sprintf("the %.0f kPa of a usual blow-off is not enough, it takes %s kPa", usual.Value.V, up(blow, 0))
		}
		mu := limits.Get(limits.ReleaseFriction).Value.V
		what, pos := "on the sides of the block", p.Body.Part.Job.Block.Pos("skirt_draft")
		if g.worst != nil {
			what = "on this one"
			_, pos = g.worst.Key("draft")
		}
		for d := 0.1; d < 30; d += 0.1 {
			if p.grip(geom.Angle(d)*geom.Degree).force <= b.value {
				fix += fmt.Sprintf("; a draft of %s deg on all it grips, or less height", up(d, 1))
				break
			}
		}
		got, limit := tell(g.force, b.value, 0)
		f := b.on(finding.Finding{
			Pos: pos, Got: g.force, Unit: "N",
			Text: fmt.Sprintf("the part shrinks on to what stands up on the tool and grips it with about %s N, %.0f N of it %s; that is over %s N, %s; friction %.1f and the shrinkage so far are guesses",
				got, g.most, what, limit, b.word("the most by hand"), mu),
			Fix: fix,
		})
		f.Source += "; derived: tension of a shrunk band"
		if blow <= usual.Value.V && b.stands != own {
			f.Severity = finding.Note // air does it
		}
		if g.worst == nil {
			f.Feature = "block"
		}
		p.say(r, g.worst, f)
	},
}

var releaseRidge = Rule{
	ID: "release.ridge", Title: "walls of a ridge that the part grips from both sides", Override: true,
	Run: func(p *Pass, r Rule) {
		sheet := p.Body.Part.Sheet
		texture := p.Body.Part.Job.Sheet.Length("texture")
		limit := limits.DraftMin(sheet.Draft[material.Male].Min, limits.Wall{Texture: texture})
		limit.Grade = limits.Warning // that a ridge grips like a block is derived, not read
		limit.Value = source.Value{V: limit.Value.V, Mark: limit.Value.Mark, Source: limit.Value.Source + "; derived: a ridge is a male tool"}
		reach := func(s *body.Solid) float64 { return s.Height/2 + s.Wall.D(s.Wall.Host) }
		p.pairs(func(s *body.Solid) bool { return !fine(s) }, reach, func(s, t *body.Solid) {
			if !s.Female() && !t.Female() {
				return // between two blocks the sheet shrinks off both
			}
			high := min(s.Height, t.Height)
			gap, where, apart := between(s, t, high)
			if !apart || gap <= 0 || gap > high {
				return // wider than it is high the land gives, and it is no ridge
			}
			low, other := s, t
			if !low.Female() || t.Female() && t.Wall.Draft < s.Wall.Draft {
				low, other = t, s
			}
			draft := low.Wall.Draft.Degrees()
			b, broken := p.first(r, func(limit float64) bool { return draft < limit-1e-6 }, limit)
			if !broken {
				return
			}
			_, pos := low.Key("draft")
			got, want := tell(draft, b.value, 2)
			p.say(r, low, b.on(finding.Finding{
				Pos: pos, At: at(middle(where).At(p.Body.Land())), Got: draft, Unit: "deg",
				Text: fmt.Sprintf("the part shrinks on to the ridge %.1f mm wide between it and %s from both sides, and its draft of %s deg is below %s deg, %s on a wall that is gripped in %s",
					gap, other.ID, got, want, b.word("the least"), sheet.Name),
				Fix: fmt.Sprintf("draft %s deg, or a ridge wider than %s mm", up(b.value, 2), up(high, 1)),
			}))
		})
	},
}

// middle returns the place half-way across a neck.
func middle(n outline.Neck) geom.Vec2 { return n.A.Add(n.B).Scale(0.5) }
