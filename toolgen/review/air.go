package review

import (
	"fmt"
	"math"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/form"
	"platen/toolgen/limits"
)

var ventPullDown = Rule{
	ID: PullDownRule, Title: "time to draw the air out from under the sheet", Override: true,
	Run: func(p *Pass, r Rule) {
		a := p.Air
		if a == nil || len(a.Regions) == 0 {
			return
		}
		b, broken := p.first(r, func(limit float64) bool { return a.Time > limit }, limits.PullDown(p.Body.Part.Gauge))
		if !broken {
			return
		}
		slow, _ := a.Slowest()
		got, limit := tell(a.Time, b.value, 2)
		text := fmt.Sprintf("the air is drawn out after %s s, here last, target %s s", got, limit)
		if !a.Done {
			text = fmt.Sprintf("the air is not drawn out: after %.0f s the vacuum under the tool is %.0f kPa, and not everywhere under the sheet the %.0f kPa that it takes", a.Time, a.Vacuum, a.Enough)
		}
		f := b.on(finding.Finding{At: at(slow.At), Got: a.Time, Unit: "s", Text: text, Fix: p.faster()})
		f.Source += "; " + p.Machine + "; " + simulated
		p.sayOf(r, slow.Feature, f)
	},
}

// PullDownRule is the id of the rule whose limit is the target of the pull-down.
const PullDownRule = "vent.pull-down"

// faster says what brings the pull-down under its target.
func (p *Pass) faster() string {
	a := p.Air
	switch {
	case len(a.Add) > 0:
		var parts []string
		places, holes := len(a.Add), 0
		for i, e := range a.Add {
			if i < 3 {
				parts = append(parts, fmt.Sprintf("%d x %.2f mm at the last place of %s", e.Count, e.Dia, e.Feature))
			}
			holes += e.Count
		}
		text := "add " + strings.Join(parts, ", ")
		if places > 3 {
			text += fmt.Sprintf("; %d holes on %d features in all", holes, places)
		}
		return text
	case a.Tank > 0:
		return fmt.Sprintf("a tank of %.0f l at the same vacuum, or a vacuum nearer to that of the tank's pump", math.Ceil(a.Tank))
	case !a.Done && a.Vacuum < a.Enough:
		return fmt.Sprintf("more vacuum: %.0f kPa below the air are needed under the sheet, the machine comes to %.0f kPa", a.Enough, a.Vacuum)
	case a.Floor > a.Target:
		return fmt.Sprintf("holes do not help: hose, tank and pump alone take %.2f s; a hose of about %.0f times the area, a larger tank or more vacuum", a.Floor, math.Ceil(a.Floor/a.Target))
	}
	return "more or wider holes where the air leaves last"
}

var ventTrapped = Rule{
	ID: "vent.trapped", Title: "air that is caught with no hole left to it",
	Run: func(p *Pass, r Rule) {
		if p.Air == nil {
			return
		}
		for _, t := range p.Air.Trapped {
			if s := p.solid(t.Feature); s != nil && s.Use.Scrap() {
				continue
			}
			f := finding.Finding{
				Severity: finding.Warning, At: at(t.At), Got: t.Gap, Limit: form.Bridge, Unit: "mm", Source: "derived: volume over area of the sheet there; " + simulated,
				Text: fmt.Sprintf("%.0f mm3 of air stay under %.0f mm2 of the sheet with no hole left to them: pressed by the atmosphere they hold it %.2f mm off on average, and at most three times that", t.Volume, t.Area, t.Gap),
				Fix:  "a hole here, that the sheet covers last",
			}
			if !t.Stands() { // too thin or too small to keep the sheet off
				f.Severity = finding.Note
			}
			if t.Places > 1 {
				f.Text += fmt.Sprintf("; %d such places", t.Places)
			}
			p.sayOf(r, t.Feature, f)
		}
	},
}

// sayOf adds a finding about a feature by name; the block's are told at the block.
func (p *Pass) sayOf(r Rule, feature string, f finding.Finding) {
	var s *body.Solid
	if s = p.solid(feature); s == nil {
		f.Feature, f.Pos = feature, p.Body.Part.Job.Tool.Pos("block")
	}
	p.say(r, s, f)
}
