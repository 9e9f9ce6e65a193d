package review

import (
	"fmt"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// play is the room round a product along one axis, both sides together, mm.
type play struct {
	axis             string
	length           float64 // of the pocket
	tightest, widest float64
	form             float64 // plus-minus of the formed size, with the sheet's gauge where that counts
	shrunk           float64 // smaller by shrinkage at most
}

// play returns the room round a solid's product along X and Y, worst first: of the clearance on both sides,
// less what forming, shrinkage and the product may take.
//
// SOURCE: derived: limits added up, none set off against another.
func (p *Pass) play(s *body.Solid) [2]play {
	size := s.Feature.Outline.Bounds().Size()
	sheet, shrink := p.Body.Part.Sheet, p.Body.Shrink
	var out [2]play
	for i, a := range []struct {
		name              string
		length            float64
		factor, low, high float64
	}{
		{"X", size.X, shrink.X.Factor, shrink.X.Low, shrink.X.High},
		{"Y", size.Y, shrink.Y.Factor, shrink.Y.Low, shrink.Y.High},
	} {
		q := play{axis: a.name, length: a.length, form: limits.FormedTolerance(a.length, sheet.Structure == material.Crystalline).Value.V}
		if !p.Body.Over() { // the product lies on the side that does not touch the tool: the sheet's gauge counts
			q.form += 2 * limits.Get(limits.WallVariation).Value.V * p.sideWall(s)
		}
		larger := 0.0
		if !shrink.Off {
			q.shrunk, larger = a.length*max(0, 1-a.factor/a.high), a.length*max(0, a.factor/a.low-1)
		}
		clear := s.Clearance - p.within(s)
		q.tightest = 2*clear - q.form - q.shrunk - s.Held.Tolerance
		q.widest = 2*clear + q.form + larger + s.Held.Tolerance
		out[i] = q
	}
	if out[1].tightest < out[0].tightest {
		out[0], out[1] = out[1], out[0]
	}
	return out
}

// within returns the wall of the sheet between the side on which a pocket's sizes hold and the upper side, on
// which its product lies, mm.
func (p *Pass) within(s *body.Solid) float64 {
	side, tool := "measured", p.Body.Part.Job.Tool
	if tool.Choice("wall_allowance") == "none" {
		side = "contact" // whatever is measured, the tool has the sizes
	}
	if tool.Choice(side) == "upper" {
		return 0
	}
	return p.sideWall(s)
}

// sideWall returns the wall at the side of a pocket, level, by area balance, mm.
func (p *Pass) sideWall(s *body.Solid) float64 {
	w := wall.Nominal{Gauge: p.Body.Part.Gauge, Over: p.Body.Over()}
	return w.Side(s.Feature, s.Height).MM / s.Draft.Cos()
}

var fitSide = Rule{
	ID: "fit.side", Title: "side of the sheet on which a pocket's sizes hold, against that on which its product lies",
	Run: func(p *Pass, r Rule) {
		p.fitted(func(s *body.Solid) {
			wall := p.within(s)
			if wall == 0 {
				return
			}
			tool := p.Body.Part.Job.Tool
			var fix []string
			key := "measured"
			if tool.Choice("measured") != "upper" {
				fix = append(fix, "tool.measured: upper")
			}
			if tool.Choice("wall_allowance") == "none" {
				fix, key = append(fix, "tool.wall_allowance: formed"), "wall_allowance"
			}
			got, limit := tell(s.Clearance-wall, s.Clearance, 2)
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Pos: tool.Pos(key), Got: s.Clearance - wall, Limit: s.Clearance, Unit: "mm",
				Source: "derived: the wall lies between; area balance",
				Text:   fmt.Sprintf("its sizes hold on the underside and its product lies on the upper side, about %.2f mm of wall farther in: of the clearance of %s mm %s mm are left", wall, limit, got),
				Fix:    strings.Join(fix, " and "),
			})
		})
	},
}

// sunkBy returns how deep a solid's floor lies below the level that its feature sinks from, mm.
func sunkBy(s *body.Solid) float64 {
	host := s.Feature
	for host.On > 0 {
		host = host.Parent
	}
	return host.ZHost - s.ZEnd
}

// fitted calls visit with every solid that a product with its clearance lies in: a trough is told by its radius
// and holds a cylinder whatever its depth.
func (p *Pass) fitted(visit func(*body.Solid)) {
	for _, s := range p.Body.Solids {
		if s.Held != nil && s.Holds == part.AtEnd && s.Sunk && !s.EndSize {
			visit(s)
		}
	}
}

var fitTight = Rule{
	ID: "fit.tight", Title: "product in its pocket at the limits of forming, shrinkage and its own tolerance",
	Run: func(p *Pass, r Rule) {
		p.fitted(func(s *body.Solid) {
			w := p.play(s)[0]
			if w.tightest >= -1e-9 {
				return
			}
			key, pos := s.Key("clearance")
			if s.Values.Given("fit") && !s.Values.Given("clearance") {
				_, pos = s.Key("fit")
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Pos: pos, Got: w.tightest, Unit: "mm",
				Source: "derived: limits added up; forming tolerance " + limits.FormedTolerance(w.length, false).Value.Cite(),
				Text: fmt.Sprintf("along %s the product is %.2f mm too large at the limits: clearance %.2f mm a side, forming %.2f mm, shrinkage %.2f mm, product %.2f mm over %.0f mm",
					w.axis, -w.tightest, s.Clearance, w.form, w.shrunk, s.Held.Tolerance, w.length),
				Fix: fmt.Sprintf("%s %s mm, or form a trial and write the shop's own x, y into shrink: then %s mm",
					key, up(s.Clearance-w.tightest/2, 2), up(max(s.Clearance, s.Clearance-(w.tightest+w.shrunk)/2), 2)),
			})
		})
	},
}

var fitPlay = Rule{
	ID: "fit.play", Title: "play of a product in its pocket at the limits",
	Run: func(p *Pass, r Rule) {
		p.fitted(func(s *body.Solid) {
			w := p.play(s)
			_, pos := s.Key("product")
			p.say(r, s, finding.Finding{
				Severity: finding.Note, Pos: pos, Got: w[0].tightest, Limit: max(w[0].widest, w[1].widest), Unit: "mm",
				Source: "derived: limits added up; forming tolerance " + limits.FormedTolerance(w[0].length, false).Value.Cite(),
				Text: fmt.Sprintf("the product has %.2f mm of play over all; at the limits %.2f to %.2f mm along %s, %.2f to %.2f mm along %s",
					2*(s.Clearance-p.within(s)), w[0].tightest, w[0].widest, w[0].axis, w[1].tightest, w[1].widest, w[1].axis),
				Fix: "nothing, where that suits the product",
			})
		})
	},
}

var fitHeld = Rule{
	ID: "fit.held", Title: "depth of a pocket against the height of its product", Override: true,
	Run: func(p *Pass, r Rule) {
		limit := limits.Get(limits.FitHeld)
		p.fitted(func(s *body.Solid) {
			share := sunkBy(s) / s.Held.Height
			b, broken := p.first(r, func(limit float64) bool { return share < limit-1e-9 }, limit)
			if !broken {
				return
			}
			key, pos := s.Key("depth", "steps")
			got, want := tell(share, b.value, 2)
			p.say(r, s, b.on(finding.Finding{
				Pos: pos, Got: share, Unit: "x height",
				Text: fmt.Sprintf("the pocket holds %s of the product's height of %.1f mm, below %s, %s", got, s.Held.Height, want, b.word("the least")),
				Fix:  fmt.Sprintf("%s at least %s mm", key, up(b.value*s.Held.Height, 2)),
			}))
		})
	},
}

var fitGrip = Rule{
	ID: "fit.grip", Title: "what fingers take the product by", Override: true,
	Run: func(p *Pass, r Rule) {
		limit := limits.Get(limits.FitGrip)
		p.fitted(func(s *body.Solid) {
			whole := strings.TrimSuffix(s.ID, "/"+s.Suffix)
			for _, t := range p.Body.Solids {
				if t.Use == part.Grip && strings.HasPrefix(t.ID, whole+"/") {
					return
				}
			}
			out := s.Held.Height - sunkBy(s)
			b, broken := p.first(r, func(limit float64) bool { return out < limit-1e-9 }, limit)
			if !broken {
				return
			}
			_, pos := s.Key("fingers", "depth", "steps")
			got, want := tell(out, b.value, 1)
			fix := "a finger_recess across the rim"
			if s.Values.Declares("fingers") {
				fix = "fingers: pair, or " + fix
			}
			if most := s.Held.Height - b.value; most >= limits.Get(limits.FitHeld).Value.V*s.Held.Height {
				fix += fmt.Sprintf(", or depth at most %s mm", down(most, 1))
			} else {
				fix += "; no depth holds so low a product and lets it stand out far enough"
			}
			p.say(r, s, b.on(finding.Finding{
				Pos: pos, Got: out, Unit: "mm",
				Text: fmt.Sprintf("the product stands out %s mm and no recess lets fingers in, %s %s mm", got, b.word("wanted at least"), want),
				Fix:  fix,
			}))
		})
	},
}
