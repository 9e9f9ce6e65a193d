package review

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/material"
	"platen/toolgen/part"
)

// onTool returns the place on the tool of a plan point of the part, on its land.
func (p *Pass) onLand(q geom.Vec2) *geom.Vec3 {
	t := p.Body.Map.Plan(q).At(p.Body.Land())
	return &t
}

var hingeSheet = Rule{
	ID: "hinge.sheet", Title: "whether the sheet folds",
	Run: func(p *Pass, r Rule) {
		fold := p.Body.Part.Sheet.Fold
		if fold.Grade > material.FewFolds {
			return
		}
		for _, l := range closing.Of(p.Body.Part) {
			p.found = append(p.found, finding.Finding{
				ID: r.ID, Severity: finding.Warning, Feature: l.Feature.ID, Pos: l.Feature.Pos, At: p.onLand(l.At), Source: fold.Note.Cite(),
				Text: fmt.Sprintf("%s as a fold hinge: %s", p.Body.Part.Sheet.Name, fold.Grade),
				Fix:  "PP, or PETG or APET for tens of folds; or two parts without a fold line",
			})
		}
	},
}

var hingeLines = Rule{
	ID: "hinge.lines", Title: "fold lines of one part",
	Run: func(p *Pass, r Rule) {
		lines := closing.Of(p.Body.Part)
		if len(lines) < 2 {
			return
		}
		l := lines[1]
		p.found = append(p.found, finding.Finding{
			ID: r.ID, Severity: finding.Note, Feature: l.Feature.ID, Pos: l.Feature.Pos, At: p.onLand(l.At), Got: float64(len(lines)), Limit: 1,
			Source: "what this program folds",
			Text:   fmt.Sprintf("the part has %d fold lines; gap, swing, snaps and room are measured for a pack of one", len(lines)),
			Fix:    fmt.Sprintf("prove the folding on the first part, or check each of the %d lines in a job of its own", len(lines)),
		})
	},
}

var hingeAxis = Rule{
	ID: "hinge.axis", Title: "fold line on the face that meets",
	Run: func(p *Pass, r Rule) {
		for _, l := range closing.Of(p.Body.Part) {
			if l.Axis == l.Meets {
				continue
			}
			t := p.Body.Walls.Land().MM
			if p.Closed != nil {
				t = -p.Closed.Flanges.Mean / 2
			} else if t == 0 {
				t = p.Body.Part.Gauge
			}
			_, pos := l.Feature.Key("axis")
			p.found = append(p.found, finding.Finding{
				ID: r.ID, Severity: finding.Error, Feature: l.Feature.ID, Pos: pos, At: p.onLand(l.At), Got: -2 * t, Unit: "mm",
				Source: "derived: half a turn about a line one wall off the faces that meet",
				Text: fmt.Sprintf("the line it folds about lies on the %s and the %ss meet: shut, the flanges would be %.2f mm in each other, two walls of %.2f mm",
					l.Axis, l.Meets, 2*t, t),
				Fix: fmt.Sprintf("axis: %s, %.2f mm from where it lies", map[part.Face]string{part.Upper: "upper", part.Underside: "underside"}[l.Meets], t),
			})
		}
	},
}

var hingeAcross = Rule{
	ID: "hinge.across", Title: "features that lie across the fold line",
	Run: func(p *Pass, r Rule) {
		for _, l := range closing.Of(p.Body.Part) {
			for _, s := range p.Body.Solids {
				if s.Impression > 0 || s.Use == part.Hinge || s.Use.Scrap() || s.Parent != nil {
					continue
				}
				low, high := math.Inf(1), math.Inf(-1)
				for _, e := range s.Feature.Outline.Elems {
					for _, u := range [...]float64{0, 0.5} {
						d := l.Beyond(e.Point(u))
						low, high = min(low, d), max(high, d)
					}
				}
				if low > -l.Half || high < l.Half {
					if low >= l.Half || high <= -l.Half {
						continue
					}
				}
				over := min(high+l.Half, l.Half-low)
				what, pos, fix := "it", placed(s), fmt.Sprintf("move it away from the line by %s mm", up(over, 2))
				if s.Use == part.Grip && s.Suffix != "" { // comes with its pocket
					whole := strings.TrimSuffix(s.ID, "/"+s.Suffix)
					what = "its room for fingers"
					_, pos = s.Key("fingers")
					fix = fmt.Sprintf("move %s away from the line by %s mm, or fingers: none, and a finger_recess where there is room", whole, up(over, 2))
				}
				p.say(r, s, finding.Finding{
					Severity: finding.Error, Pos: pos, At: p.onLand(s.Middle), Got: over, Unit: "mm",
					Source: "derived: plan of the part",
					Text:   fmt.Sprintf("%s lies %.2f mm over the beads of the fold line %s, which can not fold there", what, over, l.Feature.ID),
					Fix:    fix,
				})
			}
		}
	},
}

// missBy is the miss of a snap that its play takes, mm: most of the room that the default undercut leaves.
const missBy = 0.05

var snapPair = Rule{
	ID: "snap.pair", Title: "buttons and the sockets they go into",
	Run: func(p *Pass, r Rule) {
		lines := closing.Of(p.Body.Part)
		if len(lines) == 0 {
			p.loose(r)
			return
		}
		for _, l := range lines {
			pairs, idle := closing.Pairs(p.Body.Part, l)
			shift := together(pairs, l)
			for _, pair := range pairs {
				p.face(r, l, pair.Button)
				p.pair(r, l, pair, shift)
			}
			for _, s := range idle {
				p.face(r, l, s)
				to := l.Mirror(s.Middle)
				p.say(r, p.solids[s], finding.Finding{
					Severity: finding.Warning, Pos: placed(p.solids[s]), At: p.onLand(s.Middle), Source: "derived: plan mirrored about the fold line",
					Text: fmt.Sprintf("no button goes into it when the pack is shut about %s", l.Feature.ID),
					Fix:  fmt.Sprintf("a button at part x %.2f, y %.2f: the place mirrored about the fold line", to.X, to.Y),
				})
			}
		}
	},
}

// loose tells of snaps of a part that does not fold: none of them is held against its other half.
func (p *Pass) loose(r Rule) {
	var first [2]*body.Solid
	for _, s := range p.Body.Solids {
		if i := slices.Index([]string{"snap_button", "snap_socket"}, s.Kind); i >= 0 && first[i] == nil {
			first[i] = s
		}
	}
	f := finding.Finding{Source: "what this program folds"}
	switch button, socket := first[0], first[1]; {
	case button != nil && socket != nil:
		f.Severity = finding.Warning
		f.Text = fmt.Sprintf("the part has buttons and sockets, it and %s the first of them, and no hinge_line: nothing brings them together", socket.ID)
		f.Fix = "a hinge_line between the halves, or sockets in a part and a job of their own"
		p.say(r, button, f)
	case button != nil:
		f.Severity, f.Text, f.Fix = finding.Note, "it goes into a socket of another part: how they meet is not looked at", "lay out the sockets of the other part mirrored"
		p.say(r, button, f)
	case socket != nil:
		f.Severity, f.Text, f.Fix = finding.Note, "a button of another part goes into it: how they meet is not looked at", "lay out the buttons of the other part mirrored"
		p.say(r, socket, f)
	}
}

// together returns how far the fold line would have to move so that all pairs meet that miss alike, and
// whether there is one.
func together(pairs []closing.Pair, l closing.Line) float64 {
	var first geom.Vec2
	for i, p := range pairs {
		if p.Lone() {
			return 0
		}
		if i == 0 {
			first = p.Miss
		}
		if p.Miss.Sub(first).Norm() > missBy {
			return 0
		}
	}
	if math.Abs(first.Dot(l.Dir)) > missBy {
		return 0
	}
	away := first.Dot(l.Dir.Left()) // on the half of the first socket
	return away / 2
}

// pair judges how a button meets its socket in the plan.
func (p *Pass) pair(r Rule, l closing.Line, pair closing.Pair, shift float64) {
	b := p.solids[pair.Button]
	to := l.Mirror(pair.Button.Middle)
	if pair.Lone() {
		text := fmt.Sprintf("shut, it comes to part x %.2f, y %.2f, where there is no socket", to.X, to.Y)
		if s := pair.Socket; s != nil {
			text += fmt.Sprintf("; the nearest, %s, is %.2f mm away in X and %.2f mm in Y", s.ID, pair.Miss.X, pair.Miss.Y)
		}
		p.say(r, b, finding.Finding{
			Severity: finding.Error, Pos: placed(b), At: p.onLand(pair.Button.Middle), Got: pair.Miss.Norm(), Unit: "mm",
			Source: "derived: plan mirrored about the fold line",
			Text:   text,
			Fix:    fmt.Sprintf("a socket at part x %.2f, y %.2f: the layout of the buttons mirrored about the fold line, not turned", to.X, to.Y),
		})
		return
	}
	miss := pair.Miss.Norm()
	if miss <= missBy {
		return
	}
	hold := pair.Asked()
	sev, what := finding.Warning, fmt.Sprintf("of its overlap of %.2f mm a side %.2f mm is left on one side", hold, hold-miss)
	if miss > hold {
		sev, what = finding.Error, fmt.Sprintf("its overlap is %.2f mm a side, so one side is not held and the other is forced", hold)
	}
	fix := fmt.Sprintf("move %s by %.3f, %.3f mm in X, Y", pair.Socket.ID, -pair.Miss.X, -pair.Miss.Y)
	if shift != 0 {
		d := l.Dir.Left().Scale(shift)
		fix = fmt.Sprintf("move %s, the fold line, by %.3f, %.3f mm in X, Y: all snaps miss alike; or ", l.Feature.ID, d.X, d.Y) + fix
	}
	p.say(r, b, finding.Finding{
		Severity: sev, Pos: placed(b), At: p.onLand(pair.Button.Middle), Got: miss, Limit: missBy, Unit: "mm",
		Source: "derived: plan mirrored about the fold line",
		Text:   fmt.Sprintf("shut, it misses the middle of %s by %.3f mm, X %.3f, Y %.3f: %s", pair.Socket.ID, miss, pair.Miss.X, pair.Miss.Y, what),
		Fix:    fix,
	})
}

// face refuses a half of a snap on the face that does not meet.
func (p *Pass) face(r Rule, l closing.Line, f *part.Feature) {
	if f.Face == l.Meets {
		return
	}
	_, pos := f.Key("face")
	word := map[part.Face]string{part.Upper: "upper", part.Underside: "underside"}
	p.say(r, p.solids[f], finding.Finding{
		Severity: finding.Error, Pos: pos, At: p.onLand(f.Middle), Source: "derived: the way the part folds",
		Text: fmt.Sprintf("its sizes hold on the %s and the %ss meet when the part folds %s", f.Face, l.Meets, map[part.Face]string{part.Upper: "up", part.Underside: "down"}[l.Meets]),
		Fix:  fmt.Sprintf("face: %s, or folds: %s on the fold line", word[l.Meets], map[part.Face]string{part.Upper: "up", part.Underside: "down"}[f.Face]),
	})
}
