package review

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/piece"
)

var draftLow = Rule{
	ID: "wall.draft-low", Title: "draft of walls, measured on the face", Override: true,
	Run: func(p *Pass, r Rule) {
		p.skirt(r)
		for i, s := range p.Body.Solids {
			q, ok := p.steepest(i, piece.Wall, piece.Corner)
			if !ok || fine(s) || float64(q.Draft()) < overhang {
				continue
			}
			kind := material.Male
			if s.Female() {
				kind = material.Female
			}
			b, broken, last := p.draft(r, q.Draft(), kind, limits.Wall{
				DepthToWidth: depthRatio(s),
				Sharp:        s.Female() && s.Outline.Convex() == 0,
			})
			if !broken {
				continue
			}
			_, pos := s.Key("draft")
			got, limit := tell(q.Draft().Degrees(), b.value, 2)
			p.say(r, s, b.on(finding.Finding{
				Pos: pos, At: at(q.At), Got: q.Draft().Degrees(), Unit: "deg",
				Text: fmt.Sprintf("draft %s deg is below %s deg, %s on a %s tool in %s", got, limit, b.word("the least"), kind, p.Body.Part.Sheet.Name),
				Fix: "draft " + b.mend(last, func(limit float64) string {
					return fmt.Sprintf("%s deg (%s)", up(limit, 2), widening(s, q.Draft(), geom.Angle(limit)*geom.Degree))
				}),
			}))
		}
	},
}

// draft holds a draft against the limits of its wall; last is the limit of good practice.
func (p *Pass) draft(r Rule, got geom.Angle, kind material.Kind, w limits.Wall) (b bound, broken bool, last limits.Limit) {
	w.Texture = p.grain()
	w.Heavy = p.Body.Part.Gauge > limits.HeavyFrom
	sheet := p.Body.Part.Sheet
	last = limits.DraftWant(sheet.Draft[kind].Want, w)
	below := func(limit float64) bool { return got.Degrees() < limit-1e-6 }
	b, broken = p.first(r, below, limits.DraftMin(sheet.Draft[kind].Min, w), last)
	return b, broken, last
}

// widening says what more draft does to the end of a feature where its size does not hold.
func widening(s *body.Solid, from, to geom.Angle) string {
	mm := 2 * s.Height * (to.Tan() - from.Tan())
	end := map[[2]bool]string{ // sunk, size holds at the end
		{true, true}: "opening %.2f mm wider", {true, false}: "floor %.2f mm narrower",
		{false, true}: "foot %.2f mm wider", {false, false}: "top %.2f mm narrower",
	}[[2]bool{s.Sunk, s.Holds == part.AtEnd}]
	return fmt.Sprintf(end+" over all", mm)
}

// skirt holds the sides of a block against the limits of a male tool where the sheet drapes down them.
func (p *Pass) skirt(r Rule) {
	if p.Body.Part.Job.Tool.Choice("seal") != "platen" {
		return
	}
	block := p.Body.Part.Job.Block
	draft := block.Angle("skirt_draft")
	b, broken, last := p.draft(r, draft, material.Male, limits.Wall{})
	if !broken {
		return
	}
	got, limit := tell(draft.Degrees(), b.value, 2)
	p.say(r, nil, b.on(finding.Finding{
		Feature: "block", Pos: block.Pos("skirt_draft"), Got: draft.Degrees(), Unit: "deg",
		Text: fmt.Sprintf("the sheet drapes down the sides of the block, whose draft of %s deg is below %s deg, %s on a male tool in %s",
			got, limit, b.word("the least"), p.Body.Part.Sheet.Name),
		Fix: "tool.block.skirt_draft: " + b.mend(last, func(limit float64) string { return up(limit, 2) }),
	}))
}

// fine reports whether a feature is too small for the rules of pockets and blocks: strokes and beads.
func fine(s *body.Solid) bool { return s.Use.Fine() }

func abs(x float64) float64 { return max(x, -x) }
