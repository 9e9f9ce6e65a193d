package body

import (
	"platen/toolgen/geom"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/source"
)

// Axis is the shrink allowance along one axis.
type Axis struct {
	Shrinkage material.Shrinkage
	Factor    float64 // tool size at 20 deg C / part size
	Low, High float64 // factors at the ends of the spread
	Given     bool    // the job overrides the table
}

// Shrink is the shrink allowance of a build.
type Shrink struct {
	Off      bool
	Basis    material.Kind // the kind of wall that holds the part while it cools
	Cut      material.Cut
	X, Y, Z  Axis
	ToolTemp float64 // while forming, deg C
	Alpha    float64 // expansion of the tool material, 1/K
}

// Scale returns tool size / part size along the axes.
func (s Shrink) Scale() geom.Vec3 { return geom.Vec3{X: s.X.Factor, Y: s.Y.Factor, Z: s.Z.Factor} }

// Own returns the shrinkage that a job must give along an axis so that its factor is f.
func (s Shrink) Own(f float64) float64 {
	lo, hi := -0.2, 0.3
	for range 60 {
		mid := (lo + hi) / 2
		own := material.Shrinkage{S: source.Of(mid, source.D, ""), RefTool: s.ToolTemp, RefAlpha: s.Alpha}
		if own.ToolFactor(s.Alpha, s.ToolTemp) < f {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// shrinkage chooses one factor per axis for the whole part, so that the layout is never torn.
func shrinkage(p *part.Part, tool material.Tool) Shrink {
	j := p.Job
	s := Shrink{Off: j.Shrink.Flag("off"), Basis: basis(p), Alpha: tool.Alpha(), ToolTemp: p.Sheet.ToolAt.V}
	if j.Tool.Has("temperature") {
		s.ToolTemp = j.Tool.Temperature("temperature")
	}
	if j.Tool.Choice("cut") == "leave_stock" {
		s.Cut = material.LeaveStock
	}
	along := j.Sheet.Choice("extrusion")
	s.X = s.axis(p, "x", along)
	s.Y = s.axis(p, "y", along)
	s.Z = s.axis(p, "z", along)
	return s
}

func (s Shrink) axis(p *part.Part, key, along string) Axis {
	if s.Off {
		return Axis{Factor: 1, Low: 1, High: 1}
	}
	a := Axis{Shrinkage: material.Guess(s.Basis, s.Cut, p.Sheet)}
	if key == along {
		a.Shrinkage = a.Shrinkage.Plus(p.Sheet.Shrink.Along)
	}
	if v := p.Job.Shrink; v.Has(key) {
		// A shop measures on the tool it uses, at the temperature it runs.
		own := v.Number(key) / 100
		a.Shrinkage = material.Shrinkage{
			S:       source.Of(own, source.D, "the shop's own value: "+v.Text("reason")),
			RefTool: s.ToolTemp, RefAlpha: s.Alpha, Low: own, High: own,
		}
		a.Given = true
	}
	a.Factor = a.Shrinkage.ToolFactor(s.Alpha, s.ToolTemp)
	a.Low, a.High = a.Shrinkage.FactorSpread(s.Alpha, s.ToolTemp)
	return a
}

// basis returns the kind of wall by which the part is scaled: as asked, or the kind that more of the
// features' floor and top area has on this side of the sheet.
func basis(p *part.Part) material.Kind {
	switch p.Job.Shrink.Choice("basis") {
	case "female":
		return material.Female
	case "male":
		return material.Male
	}
	over := p.Job.Tool.Choice("contact") == "upper"
	female, male := 0.0, 0.0
	for _, f := range p.Features {
		if f.Sunk != over {
			female += f.Outline.Area()
		} else {
			male += f.Outline.Area()
		}
	}
	if male > female {
		return material.Male
	}
	return material.Female
}
