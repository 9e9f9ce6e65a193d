package review

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/stack"
)

const shells = "derived: highest contact of the sides of the formed sheet, parts taken to be rigid; "

// spareClear is what a fix adds to where walls wedge so that parts come apart, mm: the middle of common
// practice, no source: 0.3 to 0.5.
const spareClear = 0.4

// asks reports whether any feature is for a use, and returns the first.
func (p *Pass) asks(use part.Use) *body.Solid {
	for _, s := range p.Body.Solids {
		if s.Use == use {
			return s
		}
	}
	return nil
}

// nests reports whether empty parts are to go into each other, and where the job says so.
func (p *Pass) nests() (bool, finding.Pos) {
	j := p.Body.Part.Job.Stack
	if j.Has("nests") {
		return j.Flag("nests"), j.Pos("nests")
	}
	if s := p.asks(part.Locating); s != nil {
		return true, s.Pos
	}
	return false, p.Body.Part.Job.Part.Pos("outline")
}

// stacks returns how loaded parts are to stand on each other, "" where nothing is said, and where the job
// says so.
func (p *Pass) stacks() (string, finding.Pos) {
	j := p.Body.Part.Job.Stack
	if j.Has("way") {
		return j.Choice("way"), j.Pos("way")
	}
	if s := p.asks(part.Carrying); s != nil {
		return "half_turn", s.Pos
	}
	return "", p.Body.Part.Job.Part.Pos("outline")
}

// walls says where the walls that stacking reckons with come from.
func (p *Pass) wallsFrom() string {
	if p.Formed != nil {
		return simulated
	}
	return "even wall"
}

// onTool returns a place of the part on the tool.
func (p *Pass) onTool(x geom.Vec3) *geom.Vec3 { return at(p.Body.Map.Point(x)) }

var nestJam = Rule{
	ID: "nest.jam", Title: "nested parts that wedge", Override: true,
	Run: func(p *Pass, r Rule) {
		if p.Stack == nil {
			return
		}
		asked, pos := p.nests()
		rest := p.Stack.Nest
		w, near := rest.Wedge()
		if way, _ := p.stacks(); way == "same_way" || !near {
			return // told as a seat
		}
		if j := p.Body.Part.Job.Stack; !asked && (j.Has("nests") || j.Has("way") && j.Choice("way") == "none") {
			return // the job says that they are not to
		}
		b, broken := p.first(r, func(limit float64) bool { return rest.Margin() < limit-slack }, limits.Get(limits.StackClear))
		if !broken {
			return
		}
		if !asked && b.severity == finding.Warning {
			b.severity = finding.Note
		}
		got, limit := tell(rest.Margin(), b.value, 2)
		text := fmt.Sprintf("nested parts touch at a pitch of %.2f mm on the %s, %.1f deg from the vertical, and wedge", w.Lift, w.Lower.Role, w.Slope.Degrees())
		if !rest.Jams() {
			text = fmt.Sprintf("nested parts rest at a pitch of %.2f mm, only %s mm above where the %s wedges, wanted %s mm", rest.Lift, got, w.Lower.Role, limit)
		}
		f := b.on(finding.Finding{Pos: pos, At: p.onTool(w.At), Got: rest.Margin(), Unit: "mm", Text: text, Fix: p.carry(rest, w.Lift+max(b.value, spareClear))})
		f.Source += "; " + shells + p.wallsFrom()
		p.sayAt(r, w.Lower.Feature, f)
	},
}

// sayAt adds a finding about a feature at the place of the job that f names.
func (p *Pass) sayAt(r Rule, feature string, f finding.Finding) {
	if f.Feature = feature; feature == "block" {
		f.Feature = "part"
	}
	p.say(r, nil, f)
}

// carry says what carries nested parts at a pitch.
func (p *Pass) carry(rest *stack.Rest, want float64) string {
	if fix, ok := p.shoulder(rest, want); ok {
		return fix
	}
	return "more draft on the walls that wedge: no cone of this gauge carries parts so far apart"
}

// formedSpare is taken on top of the height of a cone where the walls are simulated: a higher one forms thinner,
// and carries the next part lower than the walls of now would.
const formedSpare = 1.03

// shoulder says which cones carry parts that lie the same way at a pitch; ok is false where none does.
func (p *Pass) shoulder(rest *stack.Rest, want float64) (fix string, ok bool) {
	spare, again := 1.0, ""
	if p.Formed != nil {
		spare, again = formedSpare, "; their walls change with them: check again"
	}
	seen := map[string]bool{}
	for _, k := range rest.Peaks {
		s := p.solid(k.Lower.Feature)
		if s == nil || seen[s.ID] {
			continue
		}
		seen[s.ID] = true // its highest place says whether it is gone into
		if k.Slope < stack.Locks || k.Upper.Feature != k.Lower.Feature || s.Use != part.Locating {
			continue
		}
		across := s.Height*s.Draft.Tan() + (s.HostR+s.EndR)*((90*geom.Degree-s.Draft)/2).Tan()
		h, ok := shoulderHeight(spare*want, s.EndR, s.HostR, across/k.Slope.Cos(), s.Draft)
		if ok && h > s.Height {
			return fmt.Sprintf("%s and its like higher by %s mm, to %s mm: it carries the next part then at %.2f mm or more%s", s.ID, up(h-s.Height, 2), up(h, 2), want, again), true
		}
	}
	h, draft, ok := cone(spare*want, p.Body.Part.Gauge, geom.Angle(p.Body.Part.Sheet.Draft[material.Male].Min.V)*geom.Degree)
	return fmt.Sprintf("nesting cones %s mm high with draft %.0f, crown and root %.2f mm: too steep to go into each other, they carry the next part at %.2f mm or more%s",
		up(h, 1), draft.Degrees(), p.Body.Part.Gauge, want, again), ok
}

// The cone that a fix names: its wall as a share of the gauge, and the slope from the vertical at which its
// roundings touch, which must not lock. Common practice, no source.
const (
	coneWall  = 0.7
	coneSlope = 25 * geom.Degree
)

// cone returns the height and draft of a cone that nested parts are carried on at a pitch, crown and root
// rounded by the gauge; ok is false where none of at least a draft carries them so far apart.
func cone(want, gauge float64, least geom.Angle) (height float64, draft geom.Angle, ok bool) {
	for draft = 5 * geom.Degree; draft >= max(least, geom.Degree)-1e-9; draft -= geom.Degree {
		if h, ok := shoulderHeight(want, gauge, gauge, (2+coneWall)*gauge, draft); ok {
			return h, draft, true
		}
	}
	return 0, 0, false
}

// shoulderHeight returns how high a feature must be that carries its like at a pitch on the roundings of
// its crown and its root; sum is that of both and the wall. ok is false where they would lock.
//
// SOURCE: derived. In section the free side of the crown is an arc of crown + wall, the underside at the
// root one of the root's radius. They touch when their middles are the sum apart; across, the middles are
// the tangent lengths of both roundings and the run of the wall apart.
func shoulderHeight(want, crown, root, sum float64, draft geom.Angle) (height float64, ok bool) {
	tangents := (crown + root) * ((90*geom.Degree - draft) / 2).Tan()
	height = want
	for range 200 {
		across := height*draft.Tan() + tangents
		if across >= sum*coneSlope.Cos() {
			return 0, false
		}
		next := want + crown + root - math.Sqrt(sum*sum-across*across)
		if math.Abs(next-height) < 1e-9 {
			return next, true
		}
		height = next
	}
	return 0, false
}

var stackSeat = Rule{
	ID: "stack.seat", Title: "stacked parts that find no seat", Override: true,
	Run: func(p *Pass, r Rule) {
		way, pos := p.stacks()
		if p.Stack == nil || way == "" || way == "none" {
			return
		}
		rest, turn := p.Stack.Turned, "turned by half a turn"
		if way == "same_way" {
			rest, turn = p.Stack.Nest, "the same way"
		}
		if len(rest.Peaks) == 0 {
			return
		}
		top := rest.Peaks[0]
		b, broken := p.first(r, func(limit float64) bool { return rest.Margin() < limit-slack }, limits.Get(limits.StackClear))
		f := finding.Finding{Pos: pos, At: p.onTool(top.At), Got: rest.Margin(), Unit: "mm"}
		switch {
		case way == "half_turn" && !p.Stack.Stacks():
			f.Got, f.Limit, f.Severity = rest.Lift, p.Stack.Nest.Lift, finding.Warning
			f.Text = fmt.Sprintf("%s the parts come to rest at a pitch of %.2f mm, as when nested at %.2f mm: they nest and do not stack", turn, rest.Lift, p.Stack.Nest.Lift)
			f.Fix = p.apart(rest)
		case broken && rest.Jams():
			f.Text = fmt.Sprintf("%s the parts touch at a pitch of %.2f mm on the %s of %s, %.1f deg from the vertical, and wedge: nothing carries them above it",
				turn, rest.Lift, top.Lower.Role, top.Lower.Feature, top.Slope.Degrees())
			f.Fix = p.raise(rest, rest.Lift+max(b.value, spareClear))
			f = b.on(f)
		case broken:
			w, _ := rest.Wedge()
			f.Text = fmt.Sprintf("%s the parts are carried at a pitch of %.2f mm, only %.2f mm above where the %s of %s wedges", turn, rest.Lift, rest.Margin(), w.Lower.Role, w.Lower.Feature)
			f.Fix = p.raise(rest, w.Lift+max(b.value, spareClear))
			f = b.on(f)
		default:
			return
		}
		if f.Source == "" {
			f.Source = shells + p.wallsFrom()
		} else {
			f.Source += "; " + shells + p.wallsFrom()
		}
		p.sayAt(r, top.Lower.Feature, f)
	},
}

// turning is what stands parts farther apart than they nest. The same way up a lug lies under its own copy, which
// goes over it.
const turning = "turn every other part: stack.way: half_turn, with stacking lugs %s mm high that come to lie under the land of the next part"

// raise says what carries stacked parts at a pitch: cones where they lie the same way, else lugs that are higher.
func (p *Pass) raise(rest *stack.Rest, want float64) string {
	if rest == p.Stack.Nest {
		fix := fmt.Sprintf(turning, up(want, 1))
		if way, _ := p.stacks(); way == "same_way" {
			if cones, ok := p.shoulder(rest, want); ok {
				return cones + "; or " + fix
			}
			return fix
		}
		rest = p.Stack.Turned // that is how they are to stand
	}
	for _, k := range rest.Peaks {
		s := p.solid(k.Lower.Feature)
		if s == nil || s.Use != part.Carrying || k.Slope < stack.Level {
			continue
		}
		return fmt.Sprintf("%s and its like higher by %s mm, to %s mm", s.ID, up(want-k.Lift, 2), up(s.Height+want-k.Lift, 2))
	}
	return fmt.Sprintf("stacking lugs %s mm high that come to lie under the land of the next part", up(want, 1))
}

// apart says how lugs that go into the half-turned ones above are moved off them.
func (p *Pass) apart(rest *stack.Rest) string {
	for _, s := range p.Body.Solids {
		if s.Use != part.Carrying || s.Impression != 0 {
			continue
		}
		box := s.Feature.Outline.Bounds()
		for _, o := range p.Body.Solids {
			if o.Use != part.Carrying || o.Impression != 0 {
				continue
			}
			other := o.Feature.Outline.Bounds()
			off := box.Centre().Sub(rest.Place.Plan(other.Centre()))
			// Both feet with their roundings must clear each other along X or Y.
			run := s.Height*s.Draft.Tan() + s.HostR + o.Height*o.Draft.Tan() + o.HostR
			x := (box.Size().X+other.Size().X)/2 + run - math.Abs(off.X)
			y := (box.Size().Y+other.Size().Y)/2 + run - math.Abs(off.Y)
			if x <= 0 || y <= 0 {
				continue
			}
			way, by := "X", x
			if y < x {
				way, by = "Y", y
			}
			if s == o {
				by /= 2 // moved itself, it moves above too
			}
			return fmt.Sprintf("move %s by %s mm along %s: turned, %s comes to lie over it", s.ID, up(by, 1), way, o.ID)
		}
	}
	return p.raise(rest, rest.Lift+spareClear)
}

var stackTip = Rule{
	ID: "stack.tip", Title: "load that is centred outside what carries",
	Run: func(p *Pass, r Rule) {
		way, pos := p.stacks()
		if p.Stack == nil || way == "" || way == "none" || p.Stack.Stack.Jams() {
			return
		}
		rest, s := p.Stack.Stack, p.Stack.Stack.Settled
		b, ok := p.Stack.Stand.Worst()
		if !ok || math.IsInf(b.Margin, 0) {
			return
		}
		outside := fmt.Sprintf("the load over layer %d is centred at part x %.1f, y %.1f, ", b.Layer, b.Centre.X, b.Centre.Y)
		f := finding.Finding{
			Severity: finding.Warning, Pos: pos, Got: b.Margin, Unit: "mm", Source: shells + p.wallsFrom(),
			At: p.onTool(b.Centre.At(rest.Peaks[0].At.Z)),
		}
		switch {
		case s.Held && s.Off > 0:
			b = stack.Balance{Layer: len(p.Stack.Stand.Layers), Centre: s.Centre, Edge: s.Edge, Margin: -s.Off}
			f.Got, f.At = b.Margin, p.onTool(s.Low)
			f.Text = fmt.Sprintf("the load of the upper part is centred at part x %.1f, y %.1f, %s mm outside what touches first: it tips by %.1f deg, until it lies at part x %.1f, y %.1f, where it touches %.2f mm lower",
				b.Centre.X, b.Centre.Y, down(s.Off, 1), s.Tilt().Degrees(), s.Low.X, s.Low.Y, s.Sinks)
		case b.Margin >= 0:
			return
		case s.Unknown != "":
			f.Text = outside + fmt.Sprintf("%s mm outside what carries: how it settles is not known: %s", down(-b.Margin, 1), s.Unknown)
		default:
			f.Text = outside + fmt.Sprintf("%s mm outside what carries: it tips", down(-b.Margin, 1))
		}
		f.Fix = p.level(s)
		if f.Fix == "" {
			f.Fix = p.counter(b)
		}
		p.sayAt(r, "block", f)
	},
}

// level says how much higher the lug is to be on which a part settles that tips; "" where it is none.
func (p *Pass) level(s stack.Settled) string {
	if !s.Held || s.Off == 0 {
		return ""
	}
	for _, lug := range p.Body.Solids {
		if lug.Use == part.Carrying && lug.Impression == 0 && lug.Feature.Outline.At(s.Low.Plan()).D < 0 {
			return fmt.Sprintf("%s higher by %s mm, to %s mm", lug.ID, up(s.Sinks, 2), up(lug.Height+s.Sinks, 2))
		}
	}
	return ""
}

// counter says where one more lug takes a load that tips: as far beyond its middle as what carries is short
// of it.
func (p *Pass) counter(b stack.Balance) string {
	q := b.Centre.Scale(2).Sub(b.Edge)
	where := "there"
	if p.Body.Part.Outline.At(q).D > 0 {
		where = "as far towards there as the part goes"
	}
	if p.Stack.Stack == p.Stack.Nest {
		return fmt.Sprintf("one more nesting cone like those that carry, at part x %.1f, y %.1f or beyond, %s; or stack.way: half_turn with lugs", q.X, q.Y, where)
	}
	return fmt.Sprintf("one more lug at part x %.1f, y %.1f or beyond, %s, that comes to lie under land", q.X, q.Y, where)
}

var stackGap = Rule{
	ID: "stack.gap", Title: "room over the floor for the product in a stack",
	Run: func(p *Pass, r Rule) {
		j := p.Body.Part.Job.Stack
		if way, _ := p.stacks(); p.Stack == nil || way == "none" || way == "" && !j.Has("product") {
			return
		}
		for _, m := range p.Stack.Rooms {
			s, tall, pos := p.solid(m.Feature.ID), 0.0, finding.Pos{}
			switch {
			case m.Feature.Held != nil:
				tall = m.Feature.Held.Height
				_, pos = s.Key("product")
			case j.Has("product"):
				tall, pos = j.Length("product"), j.Pos("product")
			}
			if m.Free >= tall-slack || math.IsInf(m.Free, 0) {
				continue
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Warning, Pos: pos, At: p.onTool(m.At), Got: m.Free, Limit: tall, Unit: "mm", Source: shells + p.wallsFrom(),
				Text: fmt.Sprintf("stacked, %s mm are free over its floor and the product stands %.2f mm high: the next part rests on the product", down(m.Free, 2), tall),
				Fix:  p.raise(p.Stack.Stack, p.Stack.Stack.Lift+tall-m.Free),
			})
		}
	},
}

var stackHeight = Rule{
	ID: "stack.height", Title: "parts of a stack in the inner height of what it is packed in",
	Run: func(p *Pass, r Rule) {
		way, _ := p.stacks()
		j := p.Body.Part.Job.Stack
		if p.Stack == nil || way == "none" || p.Stack.Asked.Inner == 0 || !j.Given("layers") && p.Stack.Asked.Layers == j.Count("layers") {
			return
		}
		rest, wanted, inner := p.Stack.Stack, p.Stack.Asked.Layers, p.Stack.Asked.Inner
		fit := rest.Fits(inner)
		if fit >= wanted {
			return
		}
		fix := fmt.Sprintf("inner_height at least %s mm", up(rest.StackHeight(wanted), 1))
		if fit > 0 {
			fix = fmt.Sprintf("stack.layers: %d, or %s", fit, fix)
		}
		if pitch := (inner - rest.Lower.Height()) / float64(wanted-1); pitch > 0 {
			fix += fmt.Sprintf(", or a pitch of at most %s mm", down(pitch, 2))
		}
		pos := j.Pos("layers")
		if j.Has("inner_height") {
			pos = j.Pos("inner_height")
		}
		p.sayAt(r, "block", finding.Finding{
			Severity: finding.Warning, Pos: pos, Got: float64(fit), Limit: float64(wanted), Unit: "parts", Source: shells + p.wallsFrom(),
			Text: fmt.Sprintf("%d of the %d parts fit the inner height of %.1f mm: at a pitch of %.2f mm they stand %.1f mm high", fit, wanted, inner, rest.Lift, rest.StackHeight(wanted)),
			Fix:  fix,
		})
	},
}

var stackUnknown = Rule{
	ID: "stack.unknown", Title: "stacking of parts whose walls are not known",
	Run: func(p *Pass, r Rule) {
		nests, pos := p.nests()
		way, where := p.stacks()
		if p.Stack != nil || !nests && (way == "" || way == "none") {
			return
		}
		if !nests {
			pos = where
		}
		p.say(r, nil, finding.Finding{
			Severity: finding.Note, Feature: "part", Pos: pos, Source: "derived: pitch is wall over sine of the draft",
			Text: "how the parts nest and stack is not known: their walls are not, without forming the sheet",
			Fix:  "let the sheet be formed: leave out --no-sheet",
		})
	},
}
