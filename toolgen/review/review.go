// Package review owns the judgements: what the tool measures against the limits of the trade. A rule
// measures nothing of its own that another package owns, and decides nothing by taste: it names what
// it measured, the limit, its source, the place and the change that mends it.
package review

import (
	"platen/toolgen/air"
	"platen/toolgen/body"
	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
	"platen/toolgen/sheet"
	"platen/toolgen/stack"
	"platen/toolgen/stiff"
	"platen/toolgen/vent"
)

// Pass is what the rules look at.
type Pass struct {
	Body    *body.Body
	Vents   []vent.Hole
	Formed  *sheet.Formed   // the formed sheet; nil where none was formed
	Air     *air.Pulled     // the air drawn out from under it; nil where none was formed
	Stack   *stack.Study    // how the formed part nests and stacks; nil where no wall is known
	Machine string          // what draws it out, in words
	Closed  *closing.Closed // the pack folded shut; nil for a part that does not fold, or none was formed
	Open    string          // why a part that folds could not be folded shut; empty: it was, or none was formed
	faces   [][]Point       // of the face, by the solid they belong to
	boxes   []geom.Box2     // of the solids' outlines
	Beam    *stiff.Beam     // the part lifted by its ends; nil where it was not cut
	Cover   stiff.Walls     // the formed sheet over the tool; nil: walls by area balance
	Stop    func() bool     // asked between rules; nil: never. What a run that stops has found is not all
	solids  map[*part.Feature]*body.Solid
	found   []finding.Finding
	planned *sheet.Plan // how the job forms its sheet, once asked for
	refused bool        // it can not be formed so
}

// Rule is one judgement.
type Rule struct {
	ID       string // as printed
	Title    string // one line
	Override bool   // the job may move its limit, with a reason; computed facts may not
	Run      func(*Pass, Rule)
}

// Run applies all rules and returns what they found, in the order of the rules. What a rule finds alike
// at several places of one feature is one finding.
func Run(p *Pass) []finding.Finding {
	p.found, p.planned = nil, nil
	p.faces = survey(p.Body)
	p.boxes = make([]geom.Box2, len(p.Body.Solids))
	p.solids = map[*part.Feature]*body.Solid{}
	for i, s := range p.Body.Solids {
		p.boxes[i], p.solids[s.Feature] = s.Outline.Bounds(), s
	}
	for _, r := range Rules() {
		if p.Stop != nil && p.Stop() {
			break
		}
		r.Run(p, r)
	}
	return alike(p.found)
}

// say adds a finding about a solid of the tool, in the job at the solid's feature unless the caller
// knows the key; the caller fills what was measured.
func (p *Pass) say(r Rule, s *body.Solid, f finding.Finding) {
	f.ID = r.ID
	if s != nil {
		f.Feature = s.ID
		if f.Pos.Line == 0 {
			f.Pos = s.Pos
		}
	}
	p.found = append(p.found, f)
}

// placed returns where the job says where a solid's feature stands.
func placed(s *body.Solid) finding.Pos {
	for _, key := range [...]string{"repeat", "at"} {
		if s.Values != nil && s.Values.Given(key) {
			return s.Values.Pos(key)
		}
	}
	return s.Pos
}

// at returns a place on the tool for a finding.
func at(p geom.Vec3) *geom.Vec3 { return &p }
