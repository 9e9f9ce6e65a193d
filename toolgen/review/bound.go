package review

import (
	"fmt"
	"math"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
)

// bound is a limit that is broken.
type bound struct {
	value    float64
	severity finding.Severity // of breaking it
	stands   standing
	cite     string
	reason   string // the user's, where the job moves the limit
}

// standing says whose a limit is.
type standing uint8

const (
	firm standing = iota // the gravest limit of the rule
	good                 // of good practice
	own                  // set in the job
)

// word returns the word for the limit; the gravest is called as given.
func (b bound) word(gravest string) string {
	switch b.stands {
	case good:
		return "good practice"
	case own:
		return "the limit set in this job"
	}
	return gravest
}

// moved returns the job's own limit of a rule and its reason.
func (p *Pass) moved(r Rule) (limit float64, reason string, ok bool) {
	for _, o := range p.Body.Part.Job.Overrides {
		if o.Rule == r.ID && r.Override {
			return o.Limit, o.Reason, true
		}
	}
	return 0, "", false
}

// first returns the first of the limits, gravest first, that beyond reports as broken. Where the job
// moves the limit its own stands alone: broken, it is as grave as the published limit that is broken
// with it, else a warning. A published limit that is broken and so lifted is told as a note, for the
// reason to be read.
func (p *Pass) first(r Rule, beyond func(limit float64) bool, ls ...limits.Limit) (bound, bool) {
	var b bound
	broken := false
	for i, l := range ls {
		if beyond(l.Value.V) {
			b = bound{value: l.Value.V, severity: finding.Severity(l.Grade), cite: l.Value.Cite()}
			if i > 0 {
				b.stands = good
			}
			broken = true
			break
		}
	}
	limit, reason, moved := p.moved(r)
	switch {
	case !moved:
	case beyond(limit):
		if !broken {
			b.severity, b.cite = finding.Warning, "set in the job"
		}
		b.value, b.stands, b.reason = limit, own, reason
		broken = true
	case broken:
		b.severity, b.reason = finding.Note, reason
	}
	return b, broken
}

// on fills a finding with the bound it broke.
func (b bound) on(f finding.Finding) finding.Finding {
	f.Severity, f.Limit, f.Source, f.Override = b.severity, b.value, b.cite, b.reason
	return f
}

// mend says what change meets the broken limit and, where that is another, the last of the limits that
// hold: that of good practice.
func (b bound) mend(last limits.Limit, change func(limit float64) string) string {
	if b.stands == own || last.Value.V == b.value {
		return change(b.value)
	}
	return fmt.Sprintf("%s; for good practice %s", change(b.value), change(last.Value.V))
}

// slack is what numbers in fixes are rounded by without changing them.
const slack = 1e-7

// up and down round a number that a fix names to the safe side, so that taking it mends the fault.
func up(x float64, digits int) string   { return rounded(x-slack, digits, math.Ceil) }
func down(x float64, digits int) string { return rounded(x+slack, digits, math.Floor) }

func rounded(x float64, digits int, to func(float64) float64) string {
	unit := math.Pow10(digits)
	return fmt.Sprintf("%.*f", digits, max(0, to(x*unit)/unit))
}

// tell writes a measured number and its limit with as many digits as tell them apart.
func tell(got, limit float64, digits int) (string, string) {
	for ; ; digits++ {
		if math.Abs(got) < 0.5*math.Pow10(-digits) {
			got = 0 // without a sign
		}
		g, l := fmt.Sprintf("%.*f", digits, got), fmt.Sprintf("%.*f", digits, limit)
		if g != l || digits > 6 {
			return g, l
		}
	}
}
