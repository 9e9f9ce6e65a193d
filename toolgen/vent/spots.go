package vent

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// foot is the flat kept between the foot of a fillet and the rim of a hole, mm.
const foot = 0.15

// spot is a place that wants a hole.
type spot struct {
	solid  *body.Solid // nil: the block's land
	reason string
	first  int       // 0 is placed before 1, and so on: corners, middles, the rest
	root   bool      // at the foot of a raised feature, on its host level
	from   geom.Vec2 // on the outline
	in     geom.Vec2 // away from the wall
	fixed  bool      // from is the very place, not on the outline
	around []float64 // of a fixed place: radii of the circles to try next, mm
	free   bool      // of a fixed place: its height is that of the face there
	spare  bool      // tried, not asked for: nothing is said where it does not fit
	z      float64
}

// places returns the centres to try for a hole of diameter dia, the best first.
func (s spot) places(dia float64) []geom.Vec3 {
	if s.fixed {
		out := []geom.Vec3{s.from.At(s.z)}
		for _, r := range s.around {
			for k := range rims {
				out = append(out, s.from.Add(around(k, r)).At(s.z))
			}
		}
		return out
	}
	p, _ := s.solid.Wall.Profile()
	var out []geom.Vec3
	for _, back := range [...]float64{0, 0.5, 1, 2, 3, 5} {
		// On a floor too narrow for that, such as the bottom of a trough, the middle line is left.
		off := max(p.Inner()-dia/2-foot-back, -s.solid.Wall.Inside)
		if s.root {
			off = p.Reach() + dia/2 + foot + back
		}
		if at, ok := s.atDistance(off); ok {
			out = append(out, at.At(s.z))
		}
	}
	if len(out) == 0 {
		out = append(out, s.from.At(s.z))
	}
	return out
}

// atDistance walks from the outline along in until the outline's distance is d.
func (s spot) atDistance(d float64) (geom.Vec2, bool) {
	q := s.from
	for range 60 {
		gap := math.Abs(d - s.solid.Outline.At(q).D)
		if gap < 1e-6 {
			return q, true
		}
		q = q.Add(s.in.Scale(gap)) // distance has slope 1, so this never steps past
	}
	return q, false
}

// spots lists where holes are wanted, best first: by rule, feature by feature.
func (p *planner) spots() []spot {
	clear := p.job.Texts("keep_clear")
	var out []spot
	for _, s := range p.b.Solids {
		if name, ok := keptClear(s.ID, clear); ok {
			p.note(finding.Finding{ID: "vent.kept-clear", Severity: finding.Note, Feature: s.ID, Pos: s.Pos, Unit: "holes",
				Text: fmt.Sprintf("no holes are placed here: tool.vents.keep_clear names %q", name),
				Fix:  "make sure that the air leaves elsewhere"})
			continue
		}
		switch {
		case s.Use == part.Lettering:
			out = append(out, p.closed(s)...)
		case s.Use.Scrap():
		case s.Use == part.Hinge && !s.Female(): // a bead on the tool traps nothing
		case s.Female():
			out = append(out, p.ring(s, "floor", false)...)
			out = append(out, p.middle(s)...)
		default:
			out = append(out, p.onHost(s, p.ring(s, "root", true))...)
		}
	}
	out = p.last(out)
	slices.SortStableFunc(out, func(a, b spot) int { return cmp.Compare(a.first, b.first) })
	return out
}

// lastReach is how far from a place of last landing a hole still takes its air, in plan, mm.
const lastReach = 12

// last moves the spots nearest to where the sheet lands last to the head of the list, in the order of
// landing, last first, and adds spots of their own for places that no rule serves.
func (p *planner) last(spots []spot) []spot {
	n := len(p.sheet.Last)
	clear := p.job.Texts("keep_clear")
	for i, l := range p.sheet.Last {
		best, at, served := float64(lastReach), -1, false
		for k := range spots {
			s := &spots[k]
			d := s.from.Sub(l.At.Plan()).Norm()
			served = served || d < lastReach
			if s.name() == l.Feature && s.first >= 0 && d < best {
				best, at = d, k
			}
		}
		solid := p.solid(l.Feature)
		switch {
		case solid != nil && solid.Use.Scrap():
		case at >= 0:
			spots[at].first, spots[at].reason = i-n, "last-"+spots[at].reason
		case !served && !KeptClear(l.Feature, clear):
			spots = append(spots, spot{
				solid: solid, reason: "last-landing", first: i - n,
				from: l.At.Plan(), fixed: true, around: []float64{1, 2, 3, 4.5, 6}, free: true, spare: true, z: l.At.Z,
			})
		}
	}
	return spots
}

// solid returns the solid of a feature, nil for the block's own land.
func (p *planner) solid(id string) *body.Solid {
	for _, s := range p.b.Solids {
		if s.ID == id {
			return s
		}
	}
	return nil
}

// name returns the feature that the spot serves.
func (s *spot) name() string {
	if s.solid == nil {
		return "block"
	}
	return s.solid.ID
}

// pos returns its place in the job.
func (p *planner) pos(s *spot) finding.Pos {
	if s.solid == nil {
		return p.b.Part.Job.Tool.Pos("block")
	}
	return s.solid.Pos
}

// drop returns the point of the face straight below or above q.
func (p *planner) drop(q geom.Vec3) geom.Vec3 {
	q.Z = p.b.Field.Box().Max.Z + 1
	for range 200 { // sphere tracing: the field never says more than the distance
		d := p.b.Field.Face(q).D
		if d < onFace/10 {
			break
		}
		q.Z -= d
	}
	return q
}

// KeptClear reports whether the job keeps a feature clear of holes.
func KeptClear(id string, names []string) bool {
	_, ok := keptClear(id, names)
	return ok
}

// keptClear reports whether a name of the list is a part of the feature's path.
func keptClear(id string, names []string) (string, bool) {
	path := strings.Split(id, "/")
	for _, n := range names {
		if slices.Contains(path, n) {
			return n, true
		}
	}
	return "", false
}

// closed returns a spot in every closed recess that lettering makes in the tool: each letter where
// letters are sunk in it, each counter where they stand up.
func (p *planner) closed(s *body.Solid) []spot {
	var out []spot
	add := func(o *outline.Outline, reason string, z float64) {
		out = append(out, spot{solid: s, reason: reason, from: o.Disc().Centre, fixed: true, z: z})
	}
	if s.Female() {
		for _, part := range s.Outline.Parts() {
			add(part, "stroke", s.Wall.End)
		}
		return out
	}
	for i, depth := range s.Outline.Depths() {
		if depth%2 == 1 {
			add(s.Outline.Hole(i), "counter", s.Wall.Host)
		}
	}
	return out
}

// ring returns spots along the foot of a feature's wall: its corners, the middles of its straights,
// then more at the pitch.
func (p *planner) ring(s *body.Solid, name string, root bool) []spot {
	z := s.Wall.End
	if root {
		z = s.Wall.Host
	}
	add := func(out []spot, e outline.Elem, t float64, reason string, first int) []spot {
		n := e.Out(t)
		if !root {
			n = n.Scale(-1)
		}
		return append(out, spot{solid: s, reason: reason, first: first, root: root, from: e.Point(t), in: n, z: z})
	}
	var out []spot
	for _, e := range s.Outline.Elems {
		if e.IsArc() {
			n := max(1, int(e.Length()/p.pitch))
			for k := range n {
				out = add(out, e, (float64(k)+0.5)/float64(n), name+"-corner", 0)
			}
			continue
		}
		if e.Length() < p.pitch/2 {
			continue
		}
		out = add(out, e, 0.5, name+"-side", 1)
		n := int(e.Length() / p.pitch)
		for k := range n {
			if t := (float64(k) + 0.5) / float64(n); math.Abs(t-0.5) > 1e-9 {
				out = add(out, e, t, name+"-side", 2)
			}
		}
	}
	return out
}

// onHost keeps the spots whose holes stand on the level a feature stands on: of a rib on a pocket's wall
// the others are buried in the wall, or on the pocket's own fillet, which has spots of its own.
func (p *planner) onHost(s *body.Solid, spots []spot) []spot {
	for _, host := range p.b.Solids {
		if host.Feature == s.Parent {
			prof, _ := host.Wall.Profile()
			dia := p.drills[0].D
			return slices.DeleteFunc(spots, func(sp spot) bool {
				return host.Outline.At(sp.places(dia)[0].Plan()).D > prof.Inner()-dia/2
			})
		}
	}
	return spots
}

// wideFloor is the floor that gets a hole of its own in the middle, mm across: one hole serves about
// 20 cm2 (common practice, no source).
const wideFloor = 45

// middle returns a spot in the middle of a floor that is wide, or too narrow for a ring.
func (p *planner) middle(s *body.Solid) []spot {
	prof, _ := s.Wall.Profile()
	flat := s.Wall.Inside + prof.Inner() // radius of the largest disc on the floor
	centre := s.Outline.Disc().Centre
	if 2*flat < wideFloor && flat > 2 {
		return nil
	}
	return []spot{{solid: s, reason: "floor-middle", first: 2, from: centre, fixed: true, around: []float64{3, 6, 10}, spare: true, z: s.Wall.End}}
}

// budget keeps the best spots within tool.vents.most.
func (p *planner) budget(spots *[]spot) {
	if !p.job.Has("most") || len(*spots) <= p.job.Count("most") {
		return
	}
	most := p.job.Count("most")
	p.note(finding.Finding{ID: "vent.budget", Severity: finding.Note, Feature: "block", Pos: p.job.Pos("most"),
		Got: float64(len(*spots)), Limit: float64(most), Unit: "holes",
		Text: fmt.Sprintf("%d places want a hole and the budget is %d: corners first, then the middles of sides", len(*spots), most),
		Fix:  fmt.Sprintf("raise tool.vents.most to %d for all of them", len(*spots))})
	*spots = (*spots)[:most]
}

// sort brings the holes into drilling order: from the face before from the back, one drill at a
// time, rows away from the person with the lanes taken in turn to and fro.
func (p *planner) sort() {
	const lane = 20.0 // mm
	row := func(h Hole) int { return int(math.Floor(h.At.Y / lane)) }
	slices.SortStableFunc(p.holes, func(a, b Hole) int {
		x := cmp.Compare(a.At.X, b.At.X)
		if row(a)%2 != 0 {
			x = -x
		}
		back := 0
		if a.FromBack != b.FromBack {
			back = 1
			if b.FromBack {
				back = -1
			}
		}
		return cmp.Or(back, cmp.Compare(a.Dia, b.Dia), cmp.Compare(a.BackDia, b.BackDia), cmp.Compare(row(a), row(b)), x, cmp.Compare(a.ID, b.ID))
	})
}
