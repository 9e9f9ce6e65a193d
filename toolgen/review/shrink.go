package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/material"
)

// span returns the size of the box round all features on the part, mm: the longest sizes that
// shrinkage can spoil.
func (p *Pass) span() geom.Vec2 {
	box := geom.EmptyBox2()
	for _, f := range p.Body.Part.Features {
		box = box.Join(f.Outline.Bounds())
	}
	if len(p.Body.Part.Features) == 0 {
		box = p.Body.Part.Outline.Bounds()
	}
	return box.Size()
}

// tall returns the height of the part from its lowest level to its highest, mm.
func (p *Pass) tall() float64 {
	low, high := 0.0, 0.0
	for _, f := range p.Body.Part.Features {
		low, high = min(low, f.ZEnd), max(high, f.ZEnd)
	}
	return high - low
}

var shrinkSpread = Rule{
	ID: "shrink.spread", Title: "size error over the spread of the shrinkage",
	Run: func(p *Pass, r Rule) {
		s := p.Body.Shrink
		if s.Off {
			return
		}
		size := p.span()
		worst, length, axis := 0.0, 0.0, ""
		for _, a := range []struct {
			name              string
			length            float64
			factor, low, high float64
		}{
			{"X", size.X, s.X.Factor, s.X.Low, s.X.High},
			{"Y", size.Y, s.Y.Factor, s.Y.Low, s.Y.High},
			{"Z", p.tall(), s.Z.Factor, s.Z.Low, s.Z.High},
		} {
			if e := a.length * max(abs(a.high/a.factor-1), abs(a.low/a.factor-1)); e > worst {
				worst, length, axis = e, a.length, a.name
			}
		}
		if worst == 0 {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Note, Feature: "part", Pos: p.Body.Part.Job.Shrink.Pos("basis"), Got: worst, Unit: "mm",
			Source: p.Body.Part.Sheet.Shrink.Spread.Cite(),
			Text: fmt.Sprintf("guessing the shrinkage of %s may cost %.2f mm over the %.0f mm between the outermost features along %s",
				p.Body.Part.Sheet.Name, worst, length, axis),
			Fix: "form a trial, measure it, and write the shop's own x, y, z into shrink",
		})
	},
}

var shrinkKind = Rule{
	ID: "shrink.kind", Title: "size error left on features of the other kind than the factors'",
	Run: func(p *Pass, r Rule) {
		s := p.Body.Shrink
		if s.Off || s.X.Given || s.Y.Given {
			return
		}
		sheet := p.Body.Part.Sheet
		other := sheet.Shrink.Female.V
		if s.Basis == material.Female {
			other = sheet.Shrink.Male.V
		}
		// The factor used, lean and all, against the middle value of the other kind.
		dx, dy := abs(s.X.Shrinkage.S.V-other), abs(s.Y.Shrinkage.S.V-other)
		worst, of := 0.0, -1
		for i, t := range p.Body.Solids {
			if t.Female() == (s.Basis == material.Female) || fine(t) {
				continue
			}
			size := t.Feature.Outline.Bounds().Size()
			if e := max(dx*size.X, dy*size.Y); e > worst {
				worst, of = e, i
			}
		}
		if of < 0 || worst < 0.01 {
			return
		}
		p.say(r, p.Body.Solids[of], finding.Finding{
			Severity: finding.Note, Got: worst, Unit: "mm", Source: sheet.Shrink.Male.Cite(),
			Text: fmt.Sprintf("the part is scaled as %s throughout so that the layout holds; this feature is of the other kind and comes out about %.2f mm off", s.Basis, worst),
			Fix:  "allow for it in the feature's size where it must fit",
		})
	},
}

var shrinkTrial = Rule{
	ID: "shrink.trial", Title: "sheets whose shrinkage must be tried first",
	Run: func(p *Pass, r Rule) {
		trial := p.Body.Part.Sheet.Trial
		if !p.Body.Part.Sheet.NeedsTrial() || p.Body.Shrink.Off || p.Body.Shrink.X.Given {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Warning, Feature: "part", Pos: p.Body.Part.Job.Sheet.Pos("material"),
			Source: trial.Cite(), Text: trial.Text, Fix: "form a trial shot and write the measured x, y, z into shrink",
		})
	},
}

var shrinkSkin = Rule{
	ID: "shrink.skin", Title: "tools that warm only in the skin",
	Run: func(p *Pass, r Rule) {
		t := p.Body.Tool
		if p.Body.Shrink.Off || t.WarmsThrough() {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Note, Feature: "tool", Pos: p.Body.Part.Job.Tool.Pos("material"), Source: t.Movement.Cite(),
			Text: fmt.Sprintf("the shrink factors take a tool that is warm throughout; %s %s", t.Name, t.Movement.Text),
			Fix:  "measure the first part",
		})
	},
}
