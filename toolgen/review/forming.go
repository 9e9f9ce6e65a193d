package review

import (
	"fmt"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/sheet"
)

// forming says something about how the machine forms the sheet, at a key of the section forming.
func (p *Pass) forming(r Rule, key string, f finding.Finding) {
	f.Feature, f.Pos = "forming", p.Body.Part.Job.Forming.Pos(key)
	p.say(r, nil, f)
}

// plan returns how the job forms its sheet; ok is false where that was refused.
func (p *Pass) plan() (sheet.Plan, bool) {
	if p.planned == nil {
		plan, err := sheet.PlanOf(p.Body)
		p.planned, p.refused = &plan, err != nil
	}
	return *p.planned, !p.refused
}

var frameMargin = Rule{
	ID: "frame.margin", Title: "room between a block that the sheet drapes over and the clamp frame", Override: true,
	Run: func(p *Pass, r Rule) {
		plan, ok := p.plan()
		if !ok || !p.Body.Part.Job.Forming.Has("frame") || p.Body.Part.Job.Tool.Choice("seal") != "platen" {
			return
		}
		tool, frame := p.Body.Field.Box().Plan().Size(), plan.Frame.Size()
		margin := min(frame.X-tool.X, frame.Y-tool.Y) / 2
		b, broken := p.first(r, func(limit float64) bool { return margin < limit-1e-9 }, limits.Margin(true, plan.Full))
		if !broken {
			return
		}
		got, limit := tell(margin, b.value, 1)
		p.forming(r, "frame", b.on(finding.Finding{
			Got: margin, Unit: "mm",
			Text: fmt.Sprintf("the frame stands %s mm off the block, below %s mm, %s over a block %.1f mm high: the skirt forms thin", got, limit, b.word("the least"), plan.Full),
			Fix:  fmt.Sprintf("forming.frame: [%s mm, %s mm]", up(tool.X+2*b.value, 1), up(tool.Y+2*b.value, 1)),
		}))
	},
}

var frameGrip = Rule{
	ID: "frame.grip", Title: "sheet left under the clamp", Override: true,
	Run: func(p *Pass, r Rule) {
		plan, ok := p.plan()
		s := p.Body.Part.Job.Sheet
		if !ok || !s.Has("size") {
			return
		}
		size, frame := s.Point("size"), plan.Frame.Size()
		grip := min(size.X-frame.X, size.Y-frame.Y) / 2
		l := limits.Get(limits.Grip)
		b, broken := p.first(r, func(limit float64) bool { return grip < limit-1e-9 }, l)
		if !broken {
			return
		}
		got, limit := tell(grip, b.value, 1)
		f := b.on(finding.Finding{
			Got: grip, Unit: "mm",
			Text: fmt.Sprintf("the clamp holds %s mm of the sheet on each side, below %s mm, %s", got, limit, b.word("the least")),
			Fix:  fmt.Sprintf("sheet.size: [%s mm, %s mm]", up(frame.X+2*b.value, 1), up(frame.Y+2*b.value, 1)),
		})
		if grip <= 0 {
			f.Severity, f.Limit, f.Source = finding.Error, 0, "derived: sheet against the clear inside of the frame"
			f.Text = fmt.Sprintf("the sheet of %.1f x %.1f mm does not reach the clamp: the frame is %.1f x %.1f mm inside", size.X, size.Y, frame.X, frame.Y)
		}
		f.Feature, f.Pos = "sheet", s.Pos("size")
		p.say(r, nil, f)
	},
}

var travelShort = Rule{
	ID: "travel.short", Title: "how far the tool goes into the sheet before the vacuum",
	Run: func(p *Pass, r Rule) {
		plan, ok := p.plan()
		if !ok || plan.Travel >= plan.Full-0.1 {
			return
		}
		p.forming(r, "travel", finding.Finding{
			Severity: finding.Warning, Got: plan.Travel, Limit: plan.Full, Unit: "mm", Source: "common practice, no source",
			Text: fmt.Sprintf("the tool goes %.1f mm into the sheet, of %.1f mm until the frame meets what the sheet seals on: the vacuum alone draws the rest, and leaves it thin", plan.Travel, plan.Full),
			Fix:  fmt.Sprintf("forming.travel: %s mm", down(plan.Full, 1)),
		})
	},
}

var bubbleHigh = Rule{
	ID: "bubble.high", Title: "height of the blown bubble against what the tool needs", Override: true,
	Run: func(p *Pass, r Rule) {
		plan, ok := p.plan()
		if !ok || plan.Blow == 0 {
			return
		}
		if plan.Reach <= 0 {
			p.forming(r, "bubble", finding.Finding{
				Severity: finding.Warning, Got: plan.Blow, Unit: "mm", Source: "derived: nothing of the tool goes into the sheet",
				Text: fmt.Sprintf("a bubble of %.1f mm is blown and the tool is flat: the slack sheet folds", plan.Blow),
				Fix:  "leave forming.bubble out",
			})
			return
		}
		ratio := plan.Blow / plan.Reach
		b, broken := p.first(r, func(limit float64) bool { return ratio > limit+1e-9 }, limits.Get(limits.BubbleHigh))
		if !broken {
			return
		}
		got, limit := tell(ratio, b.value, 2)
		p.forming(r, "bubble", b.on(finding.Finding{
			Got:  ratio,
			Text: fmt.Sprintf("the bubble is %s times as high as the tool goes into the sheet, over %s, %s: the slack sheet folds", got, limit, b.word("the most")),
			Fix:  fmt.Sprintf("forming.bubble: %s mm", down(b.value*plan.Reach, 1)),
		}))
	},
}
