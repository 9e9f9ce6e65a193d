// Package review owns the judgements: what the tool measures against the limits of the trade. A rule
// measures nothing of its own that another package owns, and decides nothing by taste: it names what
// it measured, the limit, its source, the place and the change that mends it.
package review

import (
	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/source"
	"platen/toolgen/vent"
)

// Pass is what the rules look at.
type Pass struct {
	Body   *body.Body
	Vents  []vent.Hole
	points []Point // of the face, made once
	found  []finding.Finding
}

// Rule is one judgement.
type Rule struct {
	ID       string // as printed
	Title    string // one line
	Override bool   // the job may move its limit, with a reason; computed facts may not
	Run      func(*Pass, Rule)
}

// Run applies all rules and returns what they found, in the order of the rules.
func Run(p *Pass) []finding.Finding {
	p.points = survey(p.Body)
	for _, r := range Rules() {
		r.Run(p, r)
	}
	return p.found
}

// limit returns the limit of a rule: the job's own, with its reason, or the given one.
func (p *Pass) limit(r Rule, v source.Value) (value float64, cite, reason string) {
	for _, o := range p.Body.Part.Job.Overrides {
		if o.Rule == r.ID && r.Override {
			return o.Limit, v.Cite(), o.Reason
		}
	}
	return v.V, v.Cite(), ""
}

// grade returns Error where the limit's source is firm enough for one, else Warning.
func grade(v source.Value) finding.Severity {
	if v.Mark.Firm() {
		return finding.Error
	}
	return finding.Warning
}

// say adds a finding about a solid of the tool; the caller fills what was measured.
func (p *Pass) say(r Rule, s *body.Solid, f finding.Finding) {
	f.ID = r.ID
	if s != nil {
		f.Feature, f.Pos = s.ID, s.Pos
	}
	p.found = append(p.found, f)
}

// at returns a place on the tool for a finding.
func at(p geom.Vec3) *geom.Vec3 { return &p }
