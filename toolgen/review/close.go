package review

import (
	"fmt"
	"math"

	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/limits"
)

// closedBy stands behind what is measured on the closed pack.
const closedBy = "derived: formed halves turned on each other, walls of the forming simulation"

// Limits of the closed pack, mm: no source was found, they are what a pack of this kind shows and a hand
// feels (common practice).
const (
	flangeBy  = 0.1  // that flanges may gape or be in each other
	overlapBy = 0.03 // that an overlap may miss what is asked without a word
	overlapOf = 0.1  // and before the pair is no longer what was asked
)

var closeGap = Rule{
	ID: "close.gap", Title: "gap between closed flanges",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil || p.Closed.Line.Axis != p.Closed.Line.Meets { // told by hinge.axis
			return
		}
		g := p.Closed.Flanges
		got, where := g.High, g.AtHigh
		if -g.Low > got {
			got, where = g.Low, g.AtLow
		}
		if math.Abs(got) <= flangeBy {
			return
		}
		f := p.Closed.Line.Feature
		tool := p.Body.Map.Point(where)
		p.found = append(p.found, finding.Finding{
			ID: r.ID, Severity: finding.Warning, Feature: f.ID, Pos: f.Pos, At: &tool, Got: got, Limit: flangeBy, Unit: "mm", Source: closedBy,
			Text: fmt.Sprintf("shut, the flanges are %.2f to %.2f mm apart, %.2f mm in the mean, but for a hundredth of their area at either end", g.Low, g.High, g.Mean),
			Fix:  fmt.Sprintf("even out the land by %.2f mm there: thinner sheet gapes, thicker presses; move deep features away from the flange", math.Abs(got-g.Mean)),
		})
	},
}

var closeOpen = Rule{
	ID: "close.unknown", Title: "packs that could not be folded shut",
	Run: func(p *Pass, r Rule) {
		lines := closing.Of(p.Body.Part)
		if p.Open == "" || len(lines) == 0 {
			return
		}
		f := lines[0].Feature
		p.found = append(p.found, finding.Finding{
			ID: r.ID, Severity: finding.Warning, Feature: f.ID, Pos: f.Pos, At: p.onLand(lines[0].At), Source: closedBy,
			Text: "how the pack closes is not known: " + p.Open,
			Fix:  "two halves with a flange on each other, a sheet without webs; or a hinge_line only where the part folds",
		})
	},
}

var closeStrikes = Rule{
	ID: "close.strikes", Title: "what meets before the pack is shut",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil {
			return
		}
		t, g := p.Closed.Touch, p.Closed.Flanges
		if t.Clear || t.Deep <= -g.Low+flangeBy { // the flanges meet no later
			return
		}
		name := func(id string) string {
			if id == "" {
				return "the flange"
			}
			return id
		}
		f := p.Closed.Line.Feature
		tool := p.Body.Map.Point(t.At)
		p.found = append(p.found, finding.Finding{
			ID: r.ID, Severity: finding.Error, Feature: f.ID, Pos: f.Pos, At: &tool, Got: t.Angle.Degrees(), Limit: 180, Unit: "deg", Source: closedBy,
			Text: fmt.Sprintf("turned by %.2f deg %s of the base meets %s of the lid; to be shut it would have to turn %.2f mm further there",
				t.Angle.Degrees(), name(t.Base), name(t.Lid), t.Deep),
			Fix: fmt.Sprintf("%s mm of room: lower or sink the one, or deepen or move the other", up(t.Deep, 2)),
		})
	},
}

var closeRoom = Rule{
	ID: "close.room", Title: "height of products under the closed half",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil {
			return
		}
		for _, m := range p.Closed.Rooms {
			if m.Product == 0 || m.Product <= m.Free {
				continue
			}
			over := "the flange of the other half"
			if m.Over != "" {
				over = m.Over
			}
			tool := p.Body.Map.Point(m.At)
			_, pos := m.Solid.Key("product", "depth")
			p.say(r, m.Solid, finding.Finding{
				Severity: finding.Error, Pos: pos, At: &tool, Got: m.Product, Limit: m.Free, Unit: "mm", Source: closedBy,
				Text: fmt.Sprintf("its product is %.2f mm high and %s leaves %.2f mm over its floor when the pack is shut: %.2f mm too tall", m.Product, over, m.Free, m.Product-m.Free),
				Fix:  fmt.Sprintf("%s mm more depth here or in %s, or a product of at most %s mm", up(m.Product-m.Free, 2), over, down(m.Free, 2)),
			})
		}
	},
}

var snapOverlap = Rule{
	ID: "snap.overlap", Title: "overlap of a snap on the formed faces",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil {
			return
		}
		for _, s := range p.Closed.Snaps {
			off := s.Overlap - s.Asked
			if s.Socket == nil || s.Lone() || s.Known && math.Abs(off) <= overlapBy {
				continue
			}
			b := p.solids[s.Button]
			if !s.Known {
				p.say(r, b, finding.Finding{
					Severity: finding.Warning, At: p.onLand(s.Button.Middle), Limit: s.Asked, Unit: "mm", Source: closedBy,
					Text: fmt.Sprintf("how it holds in %s is not known: the sheet folds on one of them and no wall is given there", s.Socket.ID),
					Fix:  "a larger diameter, or more room round both",
				})
				continue
			}
			sev := finding.Warning
			if math.Abs(off) > overlapOf || s.Overlap <= 0 {
				sev = finding.Error
			}
			key, pos := b.Key("interference")
			p.say(r, b, finding.Finding{
				Severity: sev, Pos: pos, At: p.onLand(s.Button.Middle), Got: s.Overlap, Limit: s.Asked, Unit: "mm", Source: closedBy,
				Text: fmt.Sprintf("formed, it is %.3f mm wide and the lip of %s %.3f mm: %.3f mm overlap a side, %.3f asked%s%s",
					2*s.Wide.Mean, s.Socket.ID, 2*s.Lip.Mean, s.Overlap, s.Asked, p.allowance(), bridging(s)),
				Fix: p.overlapFix(s, key, off),
			})
		}
	},
}

// allowance names the cause of a wrong overlap where the tool is not moved by the wall.
func (p *Pass) allowance() string {
	if p.Body.Part.Job.Tool.Choice("wall_allowance") == "none" {
		return "; the tool is cut without allowance for the wall"
	}
	return ""
}

// bridging says that the sheet does not reach the tool at a snap.
func bridging(s closing.Snap) string {
	if s.Off == 0 {
		return ""
	}
	return fmt.Sprintf("; the sheet stands up to %.2f mm off the tool there", s.Off)
}

// overlapFix names what brings the overlap back that is off too large.
func (p *Pass) overlapFix(s closing.Snap, key string, off float64) string {
	if s.Off > 0 { // the tool has the size
		return fmt.Sprintf("a larger diameter or rounding, or more room round both, so that the sheet comes %.2f mm nearer the tool", s.Off)
	}
	if p.allowance() != "" {
		return "tool.wall_allowance: formed; or " + fmt.Sprintf("%s %.3f mm less on both", key, 2*off)
	}
	return fmt.Sprintf("%s %.3f mm less on both", key, 2*off)
}

var snapStrain = Rule{
	ID: "snap.strain", Title: "strain of a socket's lip while the button passes", Override: true,
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil {
			return
		}
		for _, s := range p.Closed.Snaps {
			b, broken := p.first(r, func(limit float64) bool { return s.Strain > limit+1e-9 },
				limits.Limit{Value: p.Body.Part.Sheet.Strip.Strain, Grade: limits.Warning})
			if !broken || s.Lone() {
				continue
			}
			solid := p.solids[s.Button]
			_, pos := solid.Key("interference")
			p.say(r, solid, b.on(finding.Finding{
				Pos: pos, At: p.onLand(s.Button.Middle), Got: s.Strain, Unit: "ratio",
				Text: fmt.Sprintf("the lip of %s is stretched by %.1f %% while it passes, the button taken as rigid, over %.1f %%, %s for %s",
					s.Socket.ID, 100*s.Strain, 100*b.value, b.word("the most"), p.Body.Part.Sheet.Name),
				Fix: fmt.Sprintf("interference at most %s mm, or a larger diameter", down(2*b.value*s.Lip.Mean, 2)),
			}))
		}
	},
}

var snapShut = Rule{
	ID: "snap.shut", Title: "room of a snap that is shut",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil || p.Closed.Line.Axis != p.Closed.Line.Meets { // told by hinge.axis
			return
		}
		for _, s := range p.Closed.Snaps {
			if s.Socket == nil || s.Lone() || !s.Known {
				continue
			}
			b := p.solids[s.Button]
			if s.Top < 0 {
				_, pos := b.Key("height")
				p.say(r, b, finding.Finding{
					Severity: finding.Error, Pos: pos, At: p.onLand(s.Button.Middle), Got: s.Top, Unit: "mm", Source: closedBy,
					Text: fmt.Sprintf("its top meets the floor of %s %.2f mm before the pack is shut%s", s.Socket.ID, -s.Top, bridging(s)),
					Fix:  fmt.Sprintf("depth of %s %s mm more", s.Socket.ID, up(-s.Top, 2)),
				})
			}
			if s.Play < -overlapBy {
				_, pos := b.Key("undercut")
				p.say(r, b, finding.Finding{
					Severity: finding.Warning, Pos: pos, At: p.onLand(s.Button.Middle), Got: s.Play, Unit: "mm", Source: closedBy,
					Text: fmt.Sprintf("shut, it stays strained in %s: the faces are %.2f mm in each other%s", s.Socket.ID, -s.Play, bridging(s)),
					Fix:  p.deeper(s),
				})
			}
		}
	},
}

// deeper says what undercuts leave a closed snap free of strain.
func (p *Pass) deeper(s closing.Snap) string {
	button, socket := up(s.Button.Undercut.Depth-s.Play, 2), up(s.Socket.Undercut.Depth-s.Play, 2)
	if button == socket {
		return fmt.Sprintf("undercut: %s mm on both", button)
	}
	return fmt.Sprintf("undercut: %s mm on it and %s mm on %s", button, socket, s.Socket.ID)
}

var closeDrift = Rule{
	ID: "close.drift", Title: "what unlike shrinkage of both halves does to the snaps",
	Run: func(p *Pass, r Rule) {
		if p.Closed == nil {
			return
		}
		worst := closing.Snap{}
		for _, s := range p.Closed.Snaps {
			if s.Socket != nil && s.Known && p.Closed.Drift(s) > max(s.Overlap, p.Closed.Drift(worst)) {
				worst = s
			}
		}
		if worst.Button == nil {
			return
		}
		b := p.solids[worst.Button]
		drift := p.Closed.Drift(worst)
		p.say(r, b, finding.Finding{
			Severity: finding.Note, Pos: placed(b), At: p.onLand(worst.Button.Middle), Got: drift, Limit: worst.Overlap, Unit: "mm",
			Source: p.Body.Part.Sheet.Shrink.Spread.Cite(),
			Text: fmt.Sprintf("if one half shrank at the low and one at the high end of the spread of %s, %.1f %% apart, it would miss its socket by %.2f mm over the %.0f mm to the fold line, more than its overlap of %.2f mm; what both shrink alike does nothing",
				p.Body.Part.Sheet.Name, 100*p.Closed.Spread, drift, worst.Far, worst.Overlap),
			Fix: fmt.Sprintf("cool both halves alike; snaps within %.0f mm of the line hold at any spread; measure the first part", worst.Overlap/p.Closed.Spread),
		})
	},
}
