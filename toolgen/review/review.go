// Package review owns the judgements: what the tool measures against the limits of the trade. A rule
// measures nothing of its own that another package owns, and decides nothing by taste: it names what
// it measured, the limit, its source, the place and the change that mends it.
package review

import (
	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
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

// bound is a limit as it holds for this job.
type bound struct {
	value    float64
	severity finding.Severity // of going beyond it
	cite     string
	reason   string // the user's, where the job moves the limit
}

// bound returns the limit of a rule: the job's own, with its reason, or the given one.
func (p *Pass) bound(r Rule, l limits.Limit) bound {
	b := bound{value: l.Value.V, severity: finding.Severity(l.Grade), cite: l.Value.Cite()}
	for _, o := range p.Body.Part.Job.Overrides {
		if o.Rule == r.ID && r.Override {
			b.value, b.reason = o.Limit, o.Reason
		}
	}
	return b
}

// first returns the first of the limits, gravest first, that beyond reports as broken. A limit that
// the job moved stands alone.
func (p *Pass) first(r Rule, beyond func(limit float64) bool, ls ...limits.Limit) (bound, bool) {
	for _, l := range ls {
		b := p.bound(r, l)
		if beyond(b.value) {
			return b, true
		}
		if b.reason != "" {
			break
		}
	}
	return bound{}, false
}

// on fills a finding with the bound it broke.
func (b bound) on(f finding.Finding) finding.Finding {
	f.Severity, f.Limit, f.Source, f.Override = b.severity, b.value, b.cite, b.reason
	return f
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
