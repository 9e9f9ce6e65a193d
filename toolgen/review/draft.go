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

// steepest returns the point of a solid's own walls with the least draft.
func (p *Pass) steepest(s *body.Solid, roles ...piece.Role) (worst Point, ok bool) {
	for _, q := range p.points {
		if q.Solid != s || q.Piece.Feature != s.ID {
			continue
		}
		for _, r := range roles {
			if q.Piece.Role == r && (!ok || q.Draft() < worst.Draft()) {
				worst, ok = q, true
			}
		}
	}
	return worst, ok
}

// overhang is the slope beyond which the face counts as undercut: far above the noise of the field,
// far below anything a machine cuts.
const overhang = -1e-4

var undercut = Rule{
	ID: "wall.undercut", Title: "undercut, measured on the face",
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			q, ok := p.steepest(s, piece.Wall, piece.Corner, piece.Edge, piece.Fillet, piece.Blend)
			if !ok || float64(q.Draft()) >= overhang {
				continue
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Error, At: at(q.At), Got: q.Draft().Degrees(), Unit: "deg",
				Source: "derived: slope of the distance field",
				Text:   fmt.Sprintf("its %s overhangs by %.2f deg: the part can not leave the tool", q.Piece.Role, -q.Draft().Degrees()),
				Fix:    "give it draft, or move it off its neighbour",
			})
		}
	},
}

var draftLow = Rule{
	ID: "wall.draft-low", Title: "draft of walls, measured on the face", Override: true,
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			q, ok := p.steepest(s, piece.Wall, piece.Corner)
			if !ok || s.Use == part.Lettering || s.Use == part.Hinge || float64(q.Draft()) < overhang {
				continue
			}
			kind := material.Male
			if s.Female() {
				kind = material.Female
			}
			sheet := p.Body.Part.Sheet
			w := limits.Wall{
				Texture:      p.Body.Part.Job.Sheet.Length("texture"),
				DepthToWidth: p.depthRatio(s),
				Heavy:        p.Body.Part.Gauge > limits.HeavyFrom,
				Sharp:        s.Female() && s.Outline.Convex() == 0,
			}
			got := q.Draft().Degrees()
			below := func(limit float64) bool { return got < limit-1e-6 }
			b, broken := p.first(r, below, limits.DraftMin(sheet.Draft[kind].Min, w), limits.DraftWant(sheet.Draft[kind].Want, w))
			if !broken {
				continue
			}
			more := 2 * s.Height * ((geom.Angle(b.value) * geom.Degree).Tan() - q.Draft().Tan())
			p.say(r, s, b.on(finding.Finding{
				At: at(q.At), Got: got, Unit: "deg",
				Text: fmt.Sprintf("draft %.2f deg, want %.2f deg on a %s tool in %s", got, b.value, kind, sheet.Name),
				Fix:  fmt.Sprintf("draft %.1f deg: opening or foot %.2f mm wider over all", b.value, more),
			}))
		}
	},
}

// depthRatio returns a feature's depth or height over the shorter side of its opening or foot.
func (p *Pass) depthRatio(s *body.Solid) float64 {
	across := 2 * (s.Wall.Inside + s.Wall.D(s.Wall.Host))
	return abs(s.Wall.End-s.Wall.Host) / across
}

func abs(x float64) float64 { return max(x, -x) }
