package review

import (
	"fmt"
	"strings"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/source"
	"platen/toolgen/wall"
)

// finish returns what one face of the sheet bears.
func (p *Pass) finish() material.Finish {
	f, err := material.FinishNamed(p.Body.Part.Job.Sheet.Choice("finish"))
	if err != nil {
		panic("review: " + err.Error()) // the grammar takes no other
	}
	return f
}

// finishOnTool reports whether the face with the finish touches the tool.
func (p *Pass) finishOnTool() bool {
	return p.Body.Part.Job.Sheet.Choice("finish_face") == p.Body.Part.Job.Tool.Choice("contact")
}

// grain returns the depth of grain that the tool holds the part by, mm: none where the job says that the
// grain lies on the other face.
func (p *Pass) grain() float64 {
	if p.finish().Grain && !p.finishOnTool() {
		return 0
	}
	return p.Body.Part.Job.Sheet.Length("texture")
}

// looks returns what light does in the part: as asked, else as the sheet is sold with its finish.
func (p *Pass) looks() material.Look {
	switch p.Body.Part.Job.Sheet.Choice("look") {
	case "clear":
		return material.Clear
	case "translucent":
		return material.Translucent
	case "opaque":
		return material.Opaque
	}
	return max(p.Body.Part.Sheet.Look, p.finish().Least)
}

// keeps returns how far the sheet may be stretched anywhere and keep what its grade or finish is for, and
// what it loses beyond; ok is false for plain sheet.
func (p *Pass) keeps() (l limits.Limit, loses string, ok bool) {
	sheet, f := p.Body.Part.Sheet, p.finish()
	v := f.Stretch
	loses = f.Loses
	if c, conducts := sheet.Conducts(); conducts && (v.V == 0 || c.V <= v.V) {
		v, loses = c, "its conduction"
	}
	if v.V == 0 {
		return l, "", false
	}
	if job := p.Body.Part.Job.Sheet; job.Has("most_stretch") {
		v = source.Of(job.Number("most_stretch"), source.C, "given in the job as the maker's")
	}
	return limits.Limit{Value: v, Unit: "gauge / wall", Grade: limits.Warning}, loses, true
}

var sheetStretch = Rule{
	ID: "sheet.stretch", Title: "stretch of the sheet against what its grade or finish stands", Override: true,
	Run: func(p *Pass, r Rule) {
		l, loses, ok := p.keeps()
		if !ok {
			return
		}
		gauge, name := p.Body.Part.Gauge, p.Body.Part.Sheet.Name
		if f := p.finish(); f.Name != "plain" {
			name = f.Name + " " + name
		}
		for _, s := range p.Body.Solids {
			if fine(s) {
				continue
			}
			got, where, place := wall.DrawRatio(s.Feature), "it", s.Outline.Disc().Centre.At(s.Wall.End)
			cite := "areal draw of the feature by itself, not simulated"
			if p.Formed != nil {
				a, seen := p.Formed.Least(s.ID)
				if !seen {
					continue
				}
				got, where, place, cite = gauge/a.Low, "its "+a.Role.String(), a.At, simulated
			}
			b, broken := p.first(r, func(limit float64) bool { return got > limit+1e-9 }, l)
			if !broken {
				continue
			}
			have, limit := tell(got, b.value, 2)
			f := b.on(finding.Finding{
				At: at(place), Got: got, Unit: "gauge / wall",
				Text: fmt.Sprintf("%s is stretched %s times, over %s, %s: %s loses %s there", where, have, limit, b.word("the most"), name, loses),
				Fix:  fmt.Sprintf("a shape that keeps %s mm of %.2f mm there: less depth, larger roundings, more draft, a plug or a bubble; a thicker gauge does not help", up(gauge/b.value, 2), gauge),
			})
			f.Source += "; " + cite
			p.say(r, s, f)
		}
	},
}

var sheetFace = Rule{
	ID: "sheet.face", Title: "face with the finish against the side that touches the tool",
	Run: func(p *Pass, r Rule) {
		f := p.finish()
		if f.Away == "" || !p.finishOnTool() {
			return
		}
		job := p.Body.Part.Job
		other := map[string]string{"upper": "underside", "underside": "upper"}[job.Tool.Choice("contact")]
		key := "finish"
		if job.Sheet.Given("finish_face") {
			key = "finish_face"
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Warning, Feature: "sheet", Pos: job.Sheet.Pos(key), Source: "common practice, no source",
			Text: fmt.Sprintf("the %s face is the one that touches the tool: %s", f.Name, f.Away),
			Fix:  fmt.Sprintf("tool.contact: %s, or sheet.finish_face: %s with the sheet clamped the other way up", other, other),
		})
	},
}

var sheetLook = Rule{
	ID: "sheet.look", Title: "look asked of the part against what the sheet can be",
	Run: func(p *Pass, r Rule) {
		job := p.Body.Part.Job.Sheet
		if !job.Has("look") {
			return
		}
		asked, can, f := p.looks(), p.Body.Part.Sheet.Look, p.finish()
		what := p.Body.Part.Sheet.Name + " is " + can.String() + " as it is sold"
		fix := "sheet.material: " + strings.Join(asClear(asked), ", ")
		if f.Least > can {
			can, what, fix = f.Least, "with its finish, "+f.Name+", a sheet is "+f.Least.String(), "sheet.finish: plain or capped"
		}
		if asked >= min(can, material.Opaque) {
			return
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Warning, Feature: "sheet", Pos: job.Pos("look"), Source: "common practice, no source",
			Text: fmt.Sprintf("the part is to be %s, and %s", asked, what), Fix: fix,
		})
	},
}

// asClear returns the sheets that can look so.
func asClear(l material.Look) []string {
	var out []string
	for _, s := range material.Sheets() {
		if s.Look <= l {
			out = append(out, s.Name)
		}
	}
	return out
}
