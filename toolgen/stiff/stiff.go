// Package stiff owns how a formed part bends when it is lifted by its ends, and which of its flat panels are
// wide enough to snap in and out.
//
// The part bends as a beam whose section is that of the formed sheet, cut at many places: wall, form and load
// vary along it. It keeps the form of its sections, so that a real part, whose open sections flatten and whose
// walls buckle, sags more. Start at Lift and Panels.
package stiff

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
	"platen/toolgen/wall"
)

// Walls gives the formed sheet over a point of the tool's face, as sheet.Formed does.
type Walls interface {
	// Cover returns the wall and how far the sheet stands off the tool, mm; known is false where it folds.
	Cover(p geom.Vec3) (wall, off float64, known bool)
}

// Weighed is walls that know how much sheet lies where.
type Weighed interface {
	// Volumes returns the volume of sheet in the part, mm3, before the first of some rising places along an axis
	// of the part (0 X, 1 Y), between each two of them, and beyond the last.
	Volumes(axis int, at []float64) []float64
}

// Nominal takes walls that are told by feature: until a sheet is formed those are estimates.
type Nominal struct {
	body  *body.Body
	walls wall.Walls
	by    map[string]*body.Solid
}

// NewNominal returns the walls over the face of a body.
func NewNominal(b *body.Body, w wall.Walls) *Nominal {
	n := &Nominal{b, w, make(map[string]*body.Solid, len(b.Solids))}
	for _, s := range b.Solids {
		n.by[s.ID] = s
	}
	return n
}

// Cover returns the wall of the feature that the point is of.
func (n *Nominal) Cover(p geom.Vec3) (wall, off float64, known bool) {
	what := n.body.Field.Pieces.At(n.body.Field.Face(p).Piece)
	s := n.by[what.Feature]
	if s == nil {
		return n.walls.Land().MM, 0, true
	}
	end := n.walls.End(s.Feature).MM
	switch what.Role {
	case piece.Floor, piece.Crown, piece.Fillet:
		return end, 0, true
	case piece.Edge:
		return (n.walls.Land().MM + end) / 2, 0, true
	}
	return n.walls.Side(s.Feature, s.Height/2).MM, 0, true
}

// Section is a cut across the part. Areas are mm2, heights mm in the part's frame, I mm4 about the level axis
// through the centre.
type Section struct {
	At     float64 // along the beam, part frame
	Area   float64
	Centre float64 // height
	I      float64
	Heft   float64 // volume of sheet per length of beam: more than the area where the sheet slopes along the beam
	Low    float64 // least height of the middle of the sheet
	High   float64
	edges  [2]strip // of the sheet at the two sides of the part
}

type strip struct{ z, wall float64 }

// Steps of the cuts.
const (
	across   = 0.5 // mm between the points of a cut
	stations = 41  // cuts along the part
)

// cutter cuts the first part of a tool.
type cutter struct {
	b     *body.Body
	w     Walls
	along int // axis of the beam: 0 X, 1 Y
	top   float64
	holes []hole
}

// hole is a hole punched in the first part.
type hole struct {
	edge *outline.Outline
	box  geom.Box2
}

func newCutter(b *body.Body, w Walls) *cutter {
	c := &cutter{b: b, w: w, top: b.Field.Box().Max.Z + 1}
	for _, f := range b.Part.Holes {
		if f.Impression == 0 {
			c.holes = append(c.holes, hole{f.Outline, f.Outline.Bounds()})
		}
	}
	return c
}

// away reports whether a plan point of the part is cut off or punched out.
func (c *cutter) away(q geom.Vec2) bool {
	if c.b.Part.Outline.At(q).D > 1e-6 {
		return true
	}
	for _, h := range c.holes {
		if h.box.Holds(q) && h.edge.At(q).D < 0 {
			return true
		}
	}
	return false
}

// middle returns the middle of the sheet over a plan point of the part, its wall, both of the cold part, and how many
// times longer than the cut across the beam the sheet is.
func (c *cutter) middle(q geom.Vec2) (p geom.Vec3, wall, longer float64) {
	m := c.b.MapOf(0)
	p = m.Plan(q).At(c.top)
	s := c.b.Field.Face(p)
	for range 200 { // down to the face: it is no farther than its distance
		if s.D < 1e-4 {
			break
		}
		p.Z -= s.D
		s = c.b.Field.Face(p)
	}
	wall, off, _ := c.w.Cover(p)
	slope := s.G.X
	if c.along == 1 {
		slope = s.G.Y
	}
	return m.Back(p.Add(s.G.Scale(off + wall/2))), wall, 1 / math.Sqrt(max(1-slope*slope, leastRun))
}

// leastRun is the squared sine of the angle between a wall and the cut below which they count as parallel: a draft of
// half a degree.
const leastRun = 7.6e-5

// section cuts the part at a place of its beam.
func (c *cutter) section(at float64) Section {
	box := c.b.Part.Outline.Bounds()
	lo, hi := box.Min.Y, box.Max.Y
	point := func(v float64) geom.Vec2 { return geom.Vec2{X: at, Y: v} }
	side := func(p geom.Vec3) float64 { return p.Y }
	if c.along == 1 {
		lo, hi = box.Min.X, box.Max.X
		point = func(v float64) geom.Vec2 { return geom.Vec2{X: v, Y: at} }
		side = func(p geom.Vec3) float64 { return p.X }
	}
	out := Section{At: at, Low: math.Inf(1), High: math.Inf(-1)}
	n := max(1, int(math.Ceil((hi-lo)/across)))
	var last geom.Vec3
	var lastWall, lastLonger, first, second float64
	have := false
	for i := range n + 1 {
		q := point(lo + (hi-lo)*float64(i)/float64(n))
		if c.away(q) {
			have = false
			continue
		}
		p, wall, longer := c.middle(q)
		if have {
			du, dz := side(p)-side(last), p.Z-last.Z
			l, t := math.Hypot(du, dz), (wall+lastWall)/2
			a := l * t
			out.Area += a
			out.Heft += a * (longer + lastLonger) / 2
			first += a * (p.Z + last.Z) / 2
			second += a * (p.Z*p.Z + p.Z*last.Z + last.Z*last.Z) / 3
			if l > 0 { // of the strip about its own middle line
				second += l * t * t * t / 12 * (du / l) * (du / l)
			}
		} else if out.Area == 0 {
			out.edges[0] = strip{p.Z, wall}
		}
		out.edges[1] = strip{p.Z, wall}
		out.Low, out.High = min(out.Low, p.Z), max(out.High, p.Z)
		last, lastWall, lastLonger, have = p, wall, longer, true
	}
	if out.Area > 0 {
		out.Centre = first / out.Area
		out.I = max(0, second-out.Area*out.Centre*out.Centre)
	}
	return out
}

// Skirted returns the section with a skirt hanging down from both sides, of the wall of the sheet there.
func (s Section) Skirted(height float64) Section {
	area, first := s.Area, s.Area*s.Centre
	second := s.I + s.Area*s.Centre*s.Centre
	for _, e := range s.edges {
		a, z := e.wall*height, e.z-height/2
		area += a
		s.Heft += a
		first += a * z
		second += a * (z*z + height*height/12)
	}
	s.Area, s.Centre = area, first/area
	s.I = second - area*s.Centre*s.Centre
	return s
}
