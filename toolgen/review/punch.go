package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

var punchFlat = Rule{
	ID: "punch.flat", Title: "flat left round punched holes", Override: true,
	Run: func(p *Pass, r Rule) {
		want := limits.PunchFlat(p.Body.Part.Gauge)
		for i, h := range p.Body.Part.Holes {
			f := p.flatRound(i)
			b, broken := p.first(r, func(limit float64) bool { return f.mm < limit-1e-9 }, want)
			if !broken {
				continue
			}
			got, limit := tell(f.mm, b.value, 2)
			what := fmt.Sprintf("only %s mm of flat is left to %s, below %s mm, %s", got, f.to, limit, b.word("the least"))
			if f.mm < 0 {
				what = fmt.Sprintf("it runs %.2f mm over %s", -f.mm, f.to)
			}
			out := b.on(finding.Finding{
				Feature: h.ID, Pos: placedAt(h), At: at(p.Body.MapOf(h.Impression).Plan(f.where).At(p.Body.Map.Z(h.ZHost))), Got: f.mm, Unit: "mm",
				Text: what, Fix: fmt.Sprintf("move it away by %s mm, or make it smaller", up(b.value-f.mm, 2)),
			})
			if f.mm < 0 && f.open {
				out.Severity, out.Source = finding.Error, "derived: distance of outlines"
			}
			p.say(r, nil, out)
		}
	},
}

// flat is what a hole has around it on its level of the part.
type flat struct {
	mm    float64 // negative: it runs over what bounds the level there
	to    string
	where geom.Vec2
	open  bool // running over it cuts the part or another hole open
}

// flatRound returns the least flat round hole i: to the trim line, the wall of the recess it lies in or the
// edge of the block it lies on, whatever stands on or sinks from its level, and the holes before it.
func (p *Pass) flatRound(i int) flat {
	h := p.Body.Part.Holes[i]
	d, where := h.Outline.Beyond(p.Body.Part.Outline)
	least := flat{-d, "the trim line", where, true}
	try := func(f flat) {
		if f.mm < least.mm {
			least = f
		}
	}
	far := max(least.mm, 0) + 1
	for _, s := range p.Body.Solids {
		prof, _ := s.Wall.Profile()
		switch {
		case s.Use.Scrap() || s.Impression != h.Impression:
		case s.Feature == h.Parent:
			d, where := h.Outline.Beyond(s.Feature.Outline)
			try(flat{prof.Inner() - d, "the wall of " + s.ID, where, false})
		case s.Parent == h.Parent:
			mm, where := apart(h.Outline, s.Feature.Outline, far+math.Abs(prof.Reach()))
			try(flat{mm - prof.Reach(), s.ID, where, false})
		}
	}
	for _, o := range p.Body.Part.Holes[:i] {
		if o.Impression != h.Impression {
			continue
		}
		mm, where := apart(h.Outline, o.Outline, far)
		try(flat{mm, "hole " + o.ID, where, true})
	}
	return least
}

// apart returns the distance of two outlines, and where on the first: negative, how far the first reaches
// into the second, where they overlap. From far on it is not measured.
func apart(a, b *outline.Outline, far float64) (float64, geom.Vec2) {
	n := outline.Between(a, b, far)
	if n.Width > 0 && a.At(b.Elems[0].A).D > 0 && b.At(a.Elems[0].A).D > 0 {
		return n.Width, n.A
	}
	d, where := a.Beyond(b.Hole(0)) // of the outside of b
	return -d, where
}

// placedAt returns where the job says where a feature stands.
func placedAt(f *part.Feature) finding.Pos { return placed(&body.Solid{Feature: f}) }
