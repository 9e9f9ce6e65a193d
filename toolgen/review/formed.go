package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/form"
	"platen/toolgen/limits"
	"platen/toolgen/sheet"
	"platen/toolgen/source"
)

// simulated is the source of what the forming simulation says.
const simulated = "forming simulation: membrane that sticks where it lands; stiffness of the hot sheet unverified"

// solid returns the solid with the given id, nil for the block.
func (p *Pass) solid(id string) *body.Solid {
	for _, s := range p.Body.Solids {
		if s.ID == id {
			return s
		}
	}
	return nil
}

// mostThicker is how many times the gauge a thicker sheet is advised; beyond it the shape is wrong.
const mostThicker = 2

// gaugeSpare is taken on top of what the wall lacks: a thicker sheet fills its corners a little less, moves
// the tool with it where the other side is measured, and meets its mesh anew.
const gaugeSpare = 1.03

// gaugeStep is the step in which sheet is commonly sold, mm.
const gaugeStep = 0.05

var wallLeast = Rule{
	ID: "wall.least", Title: "formed wall against the least wall asked", Override: true,
	Run: func(p *Pass, r Rule) {
		job := p.Body.Part.Job.Sheet
		if p.Formed == nil || !job.Has("least_wall") {
			return
		}
		asked := limits.Limit{Grade: limits.Warning, Value: source.Of(job.Length("least_wall"), source.D, "asked in the job; "+simulated)}
		for _, s := range p.Body.Solids {
			a, ok := p.Formed.Least(s.ID)
			if !ok {
				continue
			}
			b, broken := p.first(r, func(limit float64) bool { return a.Low < limit }, asked)
			if !broken {
				continue
			}
			gauge := math.Ceil(gaugeSpare*p.Body.Part.Gauge*b.value/a.Low/gaugeStep-1e-9) * gaugeStep
			fix := fmt.Sprintf("gauge %.2f mm, or larger roundings, more draft, less depth", gauge)
			if gauge > mostThicker*p.Body.Part.Gauge {
				fix = fmt.Sprintf("larger roundings, more draft, less depth: gauge alone would have to be %.2f mm", gauge)
			}
			got, limit := tell(a.Low, b.value, 2)
			p.say(r, s, b.on(finding.Finding{
				At: at(a.At), Got: a.Low, Unit: "mm",
				Text: fmt.Sprintf("its %s forms %s mm thin%s, below %s mm, %s", a.Role, got, p.band(a), limit, b.word("the least asked")),
				Fix:  fix,
			}))
		}
	},
}

// band tells how far the low wall of an area may lie from the one computed.
func (p *Pass) band(a sheet.Area) string {
	low, high, ok := p.Formed.Span(a.Feature, a.Role)
	if !ok {
		return ""
	}
	return fmt.Sprintf(" (%.2f to %.2f over the band of stiffness of hot sheet, unverified)", low, high)
}

var wallBridged = Rule{
	ID: "wall.bridged", Title: "places the sheet does not reach",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil {
			return
		}
		for _, s := range p.Body.Solids {
			worst := sheet.Area{}
			for _, a := range p.Formed.Areas {
				if a.Feature == s.ID && a.Bridged > worst.Bridged {
					worst = a
				}
			}
			if worst.Bridged <= form.Bridge {
				continue
			}
			fill := filling(p.concave(s), worst.Bridged)
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, At: at(worst.GapAt), Got: worst.Bridged, Limit: form.Bridge, Unit: "mm", Source: simulated,
				Text: fmt.Sprintf("the sheet stays %.2f mm off its %s: there it has a rounding of its own of about %.1f mm", worst.Bridged, worst.Role, fill),
				Fix:  p.filled(s, fill),
			})
		}
	},
}

// concave returns the rounding of a solid that the sheet is drawn into last, mm.
func (p *Pass) concave(s *body.Solid) float64 {
	if s.Female() {
		return s.Wall.EndR
	}
	return s.Wall.HostR
}

// filled says what brings the sheet on to a solid where it has a rounding of its own.
func (p *Pass) filled(s *body.Solid, fill float64) string {
	w, lower := s.Wall, "lower, or farther from what stands beside it"
	if s.Female() {
		w.EndR, lower = fill, "shallower or wider"
	} else {
		w.HostR = fill
	}
	if _, err := w.Profile(); err != nil || s.Female() && s.Wall.Inside < fill {
		return fmt.Sprintf("make it %s, with more draft; or a thinner gauge, or more vacuum: a rounding of %s mm, which it would fill, does not fit here", lower, up(fill, 1))
	}
	return fmt.Sprintf("a rounding there of %s mm, which it fills; or a thinner gauge, or more vacuum", up(fill, 1))
}

// filling returns the radius that the sheet has of itself where it stays off a rounding between two planes at
// right angles, and which it would fill. Derived: the middle of an arc of radius rho that touches both planes
// is (rho - R)(sqrt 2 - 1) off a rounding R, or rho (1 - 1/sqrt 2) off the planes where that is nearer.
func filling(r, gap float64) float64 {
	return max(r+gap/(math.Sqrt2-1), gap/(1-1/math.Sqrt2))
}

// Area under compression that counts: less is a few triangles of the mesh.
const (
	leastWrinkle = 50.0 // mm2
	shareWrinkle = 0.02 // of the area
)

var wallWrinkle = Rule{
	ID: "wall.wrinkle", Title: "places where the sheet is pressed together and may wrinkle",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil {
			return
		}
		for _, a := range p.Formed.Areas {
			limit := max(leastWrinkle, shareWrinkle*a.Size)
			if a.Wrinkle <= limit {
				continue
			}
			fix := "what stands up lower, farther apart, with more draft or a larger rounding at its top"
			if plan, ok := p.plan(); ok && plan.Blow > 0 {
				fix += ", or a lower bubble"
			}
			f := finding.Finding{
				Severity: finding.Warning, Feature: a.Feature, Pos: p.Body.Part.Job.Tool.Pos("block"), Got: a.Wrinkle, Limit: limit, Unit: "mm2",
				Source: "derived: the sheet carries no compression, so it is across wider than plain tension along would leave it; " + simulated,
				Text:   fmt.Sprintf("the sheet is pressed together over %.0f mm2 of its %s: it may wrinkle there", a.Wrinkle, a.Role),
				Fix:    fix,
			}
			if a.Size > 0 {
				f.At = at(a.At)
			}
			p.say(r, p.solid(a.Feature), f)
		}
	},
}

var wallWeb = Rule{
	ID: "wall.web", Title: "places where the sheet folds into webs",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil {
			return
		}
		for _, a := range p.Formed.Areas {
			if a.Webbing <= 0 {
				continue
			}
			s, fix := p.solid(a.Feature), "more room between what stands up, more draft, larger roundings, lower features"
			if p.Body.Part.Plug != nil {
				fix += "; under the plug a larger plug or more travel"
			}
			f := finding.Finding{
				Severity: finding.Warning, Feature: a.Feature, Pos: p.Body.Part.Job.Tool.Pos("block"), Got: a.Webbing, Unit: "mm2", Source: simulated,
				Text: fmt.Sprintf("the sheet folds over %.0f mm2 of its %s; no wall is given there", a.Webbing, a.Role),
				Fix:  fix,
			}
			if a.Size > 0 {
				f.At = at(a.At)
			}
			p.say(r, s, f)
		}
	},
}

// evenEnough is how far the measured side of a floor or top may be off its middle without a word, mm: what
// depths are held to there.
const evenEnough = 0.05

var wallUneven = Rule{
	ID: "wall.uneven", Title: "where on a floor or top its depth holds",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil || !p.freeSide() || p.Body.Part.Job.Tool.Choice("wall_allowance") != "formed" {
			return
		}
		worst, off := sheet.Level{}, evenEnough
		for _, l := range p.Formed.Levels {
			if d := max(l.High-l.Middle, l.Middle-l.Low); d > off {
				worst, off = l, d
			}
		}
		s := p.solid(worst.Feature)
		if s == nil {
			return
		}
		level := "top"
		if s.Female() {
			level = "floor"
		}
		p.say(r, s, finding.Finding{
			Severity: finding.Note, Got: off, Limit: evenEnough, Unit: "mm", Source: simulated,
			Text: fmt.Sprintf("depths and heights hold over the middle of floors and tops: the tool is flat, and the wall on its %s is %.2f mm in the middle and %.2f to %.2f mm over all of it, so the measured side is off by up to %.2f mm towards its edge",
				level, worst.Middle, worst.Low, worst.High, off),
			Fix: fmt.Sprintf("gauge depths in the middle; where all of it must be level, tool.measured: %s, the side that touches the tool", p.Body.Part.Job.Tool.Choice("contact")),
		})
	},
}

var wallModel = Rule{
	ID: "wall.model", Title: "what the forming simulation leaves out",
	Run: func(p *Pass, r Rule) {
		if p.Formed == nil {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Note, Feature: "part", Pos: p.Body.Part.Job.Sheet.Pos("gauge"), Source: simulated,
			Text: "formed walls leave out sag, uneven heat, chill and slip; no published experiment with usable numbers was found to hold them against",
			Fix:  "gauge the first part at its thinnest places",
		})
	},
}
