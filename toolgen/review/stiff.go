package review

import (
	"fmt"
	"math"

	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/formula"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/stiff"
	"platen/toolgen/wall"
)

// cover returns the formed sheet, or the estimate by area balance where none was formed.
func (p *Pass) cover() stiff.Walls {
	if p.Cover != nil {
		return p.Cover
	}
	return stiff.NewNominal(p.Body, wall.Nominal{Gauge: p.Body.Part.Gauge, Over: p.Body.Over()})
}

// mostSkirt is the highest skirt that is advised, mm.
const mostSkirt = 40

var liftSag = Rule{
	ID: "lift.sag", Title: "sag of the part lifted by its ends with its load", Override: true,
	Run: func(p *Pass, r Rule) {
		if p.Beam == nil {
			return
		}
		modulus := p.Body.Part.Sheet.Modulus
		sag, _ := p.Beam.Sag(modulus.V)
		if math.IsInf(sag, 0) {
			return // cut through: no beam
		}
		span := p.Beam.Span()
		b, broken := p.first(r, func(limit float64) bool { return sag > limit*span }, limits.Get(limits.LiftSag))
		if !broken {
			return
		}
		b.value *= span
		fix := "ribs along it, or fewer products a part"
		folds := p.foldsAcross(p.Beam.Axis)
		if folds != "" {
			fix = fmt.Sprintf("shut it before it is lifted, or hold it at %s too: a skirt or rib can not run across the fold", folds)
		}
		for h := 1.0; h <= mostSkirt && folds == ""; h++ {
			if s, _ := p.Beam.Skirted(h).Sag(modulus.V); s <= b.value {
				fix = fmt.Sprintf("a skirt %.0f mm high down both sides along %s, or ribs along it", h, p.Beam.Axis)
				break
			}
		}
		got, limit := tell(sag, b.value, 1)
		p.say(r, nil, b.on(finding.Finding{
			Feature: "part", Pos: p.Body.Part.Job.Part.Pos("outline"), Got: sag, Unit: "mm",
			Text: fmt.Sprintf("lifted by its ends, %.0f mm apart along %s, it sags %s mm (%.1f to %.1f with creep, another sheet and flattening) under its own %.0f g and a load of %.0f g, over %s mm, %s; modulus %.0f MPa, %s",
				span, p.Beam.Axis, got, sag*limits.Get(limits.SagLow).Value.V, sag*limits.Get(limits.SagHigh).Value.V, p.Beam.Own, p.Beam.Load,
				limit, b.word("the most"), modulus.V, modulus.Cite()),
			Fix: fix,
		}))
	},
}

// foldsAcross returns the first fold line that does not run along an axis, "" where none is.
func (p *Pass) foldsAcross(axis string) string {
	for _, l := range closing.Of(p.Body.Part) {
		across := l.Dir.Y
		if axis == "Y" {
			across = l.Dir.X
		}
		if math.Abs(across) > 0.01 {
			return l.Feature.ID
		}
	}
	return ""
}

// leastPanel is the radius below which no panel is looked at, mm.
const leastPanel = 10

// doubt is by how much the strain of uneven cooling may be less than assumed: beyond it a panel is warned of.
const doubt = 6

// pressed says how far a finger presses a panel in. Beyond the wall the plate stretches and gives less than its
// bending tells.
func pressed(radius, t float64, sheet material.Sheet) string {
	d := formula.PlateStiffness(sheet.Modulus.V, t, material.Poisson().V)
	force := limits.Get(limits.PanelFinger).Value.V
	low := formula.DiscUnderForce(force, radius, d, material.Poisson().V, true)
	high := formula.DiscUnderForce(force, radius, d, material.Poisson().V, false)
	switch {
	case low > t:
		return fmt.Sprintf("a finger of %.0f N presses it in by more than its wall", force)
	case high > t:
		return fmt.Sprintf("a finger of %.0f N presses it in by %.1f mm or more", force, low)
	}
	return fmt.Sprintf("a finger of %.0f N presses it in by %.1f to %.1f mm", force, low, high)
}

var panelFlat = Rule{
	ID: "panel.flat", Title: "flat panels that snap in and out",
	Run: func(p *Pass, r Rule) {
		sheet := p.Body.Part.Sheet
		nu := material.Poisson().V
		uneven := limits.Get(limits.PanelUneven)
		strain := uneven.Value.V * sheet.Shrink.Female.V
		cover := p.cover()
		for _, q := range stiff.Panels(p.Body, leastPanel) {
			t := q.Wall(p.Body, cover)
			held := formula.DiscBuckles(t, q.Radius, nu, true)
			if held >= strain {
				continue
			}
			f := finding.Finding{
				Severity: finding.Note, Feature: "part", Pos: p.Body.Part.Job.Part.Pos("outline"),
				At: at(p.Body.MapOf(0).Point(q.Middle.At(0))), Got: 2 * q.Radius, Limit: 2 * q.Radius * math.Sqrt(held/strain), Unit: "mm",
				Source: "derived: buckling of a round plate; " + uneven.Value.Cite(),
				Text: fmt.Sprintf("flat over %.0f mm with a wall of %.2f mm: it may snap in and out: with its edge held a strain of %.3f %% buckles it, and uneven cooling may leave %.3f %%; %s",
					2*q.Radius, t, 100*held, 100*strain, pressed(q.Radius, t, sheet)),
				Fix: fmt.Sprintf("dome it by at least %s mm, ribs that leave no flat over %s mm, or a wall of %s mm",
					up(formula.Crown(2*q.Radius, strain), 1), down(2*q.Radius*math.Sqrt(held/strain), 0), up(t*math.Sqrt(strain/held), 2)),
			}
			if held < strain/doubt {
				f.Severity = finding.Warning
			}
			if q.Solid != nil {
				_, f.Pos = q.Solid.Key("size", "outline", "product")
			}
			p.say(r, q.Solid, f)
		}
	},
}
