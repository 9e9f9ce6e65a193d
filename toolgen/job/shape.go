package job

import (
	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// Shape is a plan shape about its own centre, or about the origin for a polygon. All sizes are mm.
type Shape struct {
	Kind      string      // rect, circle, slot, polygon
	Size      geom.Vec2   // overall size; a circle has its diameter twice
	Points    []geom.Vec2 // of a polygon
	Corner    float64     // plan corner radius of a rect or polygon
	HasCorner bool        // corner was given
	Pos       finding.Pos
}

// mostPoints is the largest number of points of one polygon.
const mostPoints = 10000

// shapeKeys are the keys of an outline; one shape of the first four, corner with rect and polygon.
var shapeKeys = []Param{
	{Key: "rect", Type: Point, Text: "rectangle: [width, depth]", Min: leastLength, Max: mostLength},
	{Key: "circle", Type: Length, Text: "circle: diameter", Min: leastLength, Max: mostLength},
	{Key: "slot", Type: Point, Text: "slot with round ends: [length, width]", Min: leastLength, Max: mostLength},
	{Key: "polygon", Type: Points, Text: "polygon: [[x, y], ...], three points or more", least: 3},
	{Key: "corner", Type: Length, Text: "plan corner radius of a rect or polygon", Max: mostLength},
}

// outline reads a plan shape.
func (r *reader) outline(s *scope, p *Param, n *yaml.Node) (*Shape, bool) {
	in := &scope{where: s.sub(p.Key)}
	if !r.open(n, in, shapeKeys) {
		return nil, false
	}
	bad := r.faults.total()
	v := r.fill(in, shapeKeys, r.pos(n), true)
	if r.faults.total() > bad {
		return nil, false
	}
	o := &Shape{Pos: r.pos(n)}
	for _, e := range v.list[:4] {
		switch {
		case !e.given:
			continue
		case o.Kind != "":
			r.fault(e.pos, "%s has both %s and %s; one outline has one shape", in.where, o.Kind, e.param.Key)
			return nil, false
		}
		o.Kind = e.param.Key
	}
	o.Corner, o.HasCorner = v.Length("corner"), v.Given("corner")
	switch o.Kind {
	case "":
		r.faults.add(Fault{Pos: o.Pos, Text: in.where + " has no shape", Allowed: p.takes()})
		return nil, false
	case "rect", "slot":
		o.Size = v.Point(o.Kind)
	case "circle":
		o.Size = geom.Vec2{X: v.Length("circle"), Y: v.Length("circle")}
	case "polygon":
		o.Points = v.Points("polygon")
		o.Size = sizeOf(o.Points)
	}
	return o, r.fits(o, v, in)
}

// fits checks what the keys of an outline ask of each other.
func (r *reader) fits(o *Shape, v *Values, in *scope) bool {
	switch {
	case o.HasCorner && (o.Kind == "circle" || o.Kind == "slot"):
		r.fault(v.Pos("corner"), "%s: a %s has no corners", in.of("corner"), o.Kind)
	case o.Kind == "rect" && o.Corner > min(o.Size.X, o.Size.Y)/2:
		r.fault(v.Pos("corner"), "%s: radius %s mm is over half the shorter side; %s mm at most",
			in.of("corner"), short(o.Corner), short(min(o.Size.X, o.Size.Y)/2))
	case o.Kind == "polygon" && len(o.Points) > mostPoints:
		r.fault(v.Pos("polygon"), "%s: %d points; at most %d", in.of("polygon"), len(o.Points), mostPoints)
	default:
		return true
	}
	return false
}

func sizeOf(points []geom.Vec2) geom.Vec2 {
	if len(points) == 0 {
		return origin
	}
	b := geom.EmptyBox2()
	for _, p := range points {
		b = b.Hold(p)
	}
	return b.Size()
}
