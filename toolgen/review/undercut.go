package review

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/piece"
)

// overhang is the slope beyond which the face counts as undercut: far above the noise of the field,
// far below anything a machine cuts.
const overhang = -1e-4

var undercut = Rule{
	ID: "wall.undercut", Title: "undercut, measured on the face",
	Run: func(p *Pass, r Rule) {
		for i, s := range p.Body.Solids {
			q, ok := p.steepest(i, piece.Wall, piece.Corner, piece.Edge, piece.Fillet, piece.Blend)
			if !ok || float64(q.Draft()) >= overhang || p.declared(i, r) {
				continue
			}
			_, pos := s.Key("draft")
			p.say(r, s, finding.Finding{
				Severity: finding.Error, Pos: pos, At: at(q.At), Got: q.Draft().Degrees(), Unit: "deg",
				Source: "derived: slope of the distance field",
				Text:   fmt.Sprintf("its %s overhangs by %.2f deg: the part can not leave the tool", q.Piece.Role, -q.Draft().Degrees()),
				Fix:    fmt.Sprintf("%s deg more draft, or move it off its neighbour", up(-q.Draft().Degrees(), 2)),
			})
		}
	},
}

// declaredBy is how far an undercut measured on the face may go beyond the declared one, mm.
const declaredBy = 1e-3

// declared reports whether a solid's face overhangs by the undercut that its feature declares and no more;
// where it is more, that is told.
func (p *Pass) declared(i int, r Rule) bool {
	s := p.Body.Solids[i]
	asked := s.Wall.Undercut.Depth
	if asked <= 0 {
		return false
	}
	got, where := p.overhung(i)
	if got <= asked+declaredBy {
		return true
	}
	_, pos := s.Key("undercut")
	p.say(r, s, finding.Finding{
		Severity: finding.Error, Pos: pos, At: at(where), Got: got, Limit: asked, Unit: "mm",
		Source: "derived: distance field of the face",
		Text:   fmt.Sprintf("its undercut is %.3f mm a side, measured on the face, and %.3f mm is declared on the tool", got, asked),
		Fix:    fmt.Sprintf("undercut at least %s mm, if it is meant", up(s.Undercut.Depth+got-asked, 3)),
	})
	return true
}

// overhung returns how far the face of a solid hides behind itself along the pull, mm a side, and where it
// hides most: the outline distance of a point against that of points farther along the pull.
func (p *Pass) overhung(i int) (mm float64, where geom.Vec3) {
	s := p.Body.Solids[i]
	out := 1.0 // away from the material
	if s.Female() {
		out = -1
	}
	type point struct {
		at  geom.Vec3
		out float64
	}
	points := make([]point, 0, len(p.faces[i]))
	for _, q := range p.faces[i] {
		points = append(points, point{q.At, out * s.Outline.At(q.At.Plan()).D})
	}
	slices.SortStableFunc(points, func(a, b point) int { return cmp.Compare(b.at.Z, a.at.Z) })
	// most is the farthest of all points above the level that starts at first.
	most := math.Inf(-1)
	for first := 0; first < len(points); {
		level := most
		k := first
		for ; k < len(points) && points[k].at.Z == points[first].at.Z; k++ {
			q := points[k]
			if most-q.out > mm {
				mm, where = most-q.out, q.at
			}
			level = max(level, q.out)
		}
		most, first = level, k
	}
	return mm, where
}

var snapStrip = Rule{
	ID: "snap.strip", Title: "strain of a formed wall that is stripped off its undercut", Override: true,
	Run: func(p *Pass, r Rule) {
		data := p.Body.Part.Sheet.Strip
		for _, s := range p.Body.Solids {
			u := s.Wall.Undercut.Depth
			if u <= 0 {
				continue
			}
			strain := stripped(s)
			if b, broken := p.first(r, func(limit float64) bool { return strain > limit+1e-9 }, limits.Limit{Value: data.Strain, Grade: limits.Warning}); broken {
				_, pos := s.Key("undercut")
				p.say(r, s, b.on(finding.Finding{
					Pos: pos, Got: strain, Unit: "ratio",
					Text: fmt.Sprintf("to come off the tool its wall is %s by %.1f %% over an undercut of %.2f mm a side (difference of girths over the girth that gives way), over %.1f %%, %s for %s",
						map[bool]string{true: "pressed in", false: "stretched"}[s.Female()], 100*strain, u, 100*b.value, b.word("the most"), p.Body.Part.Sheet.Name),
					Fix: fmt.Sprintf("undercut at most %s mm, or a larger diameter", down(u*b.value/strain, 2)),
				}))
			}
			if most := data.Depth; u > most.V+1e-9 {
				_, pos := s.Key("undercut")
				p.say(r, s, finding.Finding{
					Severity: finding.Warning, Pos: pos, Got: u, Limit: most.V, Unit: "mm", Source: most.Cite(),
					Text: fmt.Sprintf("its undercut of %.2f mm a side is over %.2f mm, the most that %s is stripped off without slides", u, most.V, p.Body.Part.Sheet.Name),
					Fix:  fmt.Sprintf("undercut at most %s mm", down(most.V, 2)),
				})
			}
		}
	},
}

var toolUndercut = Rule{
	ID: "tool.undercut", Title: "walls that a cutter can not reach from straight above",
	Run: func(p *Pass, r Rule) {
		for _, s := range p.Body.Solids {
			w := s.Wall
			if w.Undercut.Depth <= 0 {
				continue
			}
			_, pos := s.Key("undercut")
			waist := s.Outline.Inside() - w.Undercut.Depth
			how := fmt.Sprintf("a disc or ball cutter on a neck at least %s mm slimmer in radius, or an insert turned to %.2f mm at its waist", up(w.Undercut.Depth, 2), 2*waist)
			if s.Female() {
				how = fmt.Sprintf("a disc or ball cutter of less than %s mm over all that goes through the lip of %.2f mm, or a turned insert", down(2*waist-0.5, 1), 2*waist)
			}
			p.say(r, s, finding.Finding{
				Severity: finding.Note, Pos: pos, At: p.onLand(s.Middle), Got: w.Undercut.Depth, Unit: "mm", Source: "derived: section of the wall",
				Text: fmt.Sprintf("between its level and %.2f mm from it the wall leans back by up to %.1f deg, %.2f mm a side: no end mill reaches it from straight above",
					math.Abs(w.Undercut.At-w.Host), w.Overhang().Degrees(), w.Undercut.Depth),
				Fix: how,
			})
		}
	},
}

// stripped returns the hoop strain of the formed wall while it passes the undercut of its tool. Over a
// block its waist opens to the widest; out of a recess its widest closes to the lip.
//
// SOURCE: derived, difference of the girths over the girth that gives way; the annular snap joint of
// textbooks has the same, difference of diameters over the diameter (from memory, unverified).
func stripped(s *body.Solid) float64 {
	wide := s.Outline.Length()
	diff := 2 * math.Pi * s.Wall.Undercut.Depth
	if s.Female() {
		return diff / wide
	}
	return diff / (wide - diff)
}
