package job

import (
	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// Shape is a plan shape about its own centre, or about the origin for a polygon and for a drawing that
// is not centred. All sizes are mm.
type Shape struct {
	Kind      string      // rect, circle, slot, polygon, dxf, svg
	Size      geom.Vec2   // overall size; a circle has its diameter twice; zero for a drawing
	Points    []geom.Vec2 // of a polygon
	File      string      // of a drawing
	Layer     string      // of the drawing that is read; "": all
	Unit      string      // "mm" or "inch", of a drawing that does not say its own; "": refuse or guess as its reader does
	Centre    bool        // of a drawing: the centre of its bounding box comes to the origin
	Corner    float64     // plan corner radius of a rect or polygon, of the sharp corners of a drawing
	HasCorner bool        // corner was given
	Pos       finding.Pos
}

// Drawn reports whether the shape stands in a drawing.
func (s *Shape) Drawn() bool { return s.Kind == "dxf" || s.Kind == "svg" }

// mostPoints is the largest number of points of one polygon.
const mostPoints = 10000

// shapes is how many of shapeKeys are shapes, of which an outline has one.
const shapes = 6

// shapeKeys are the keys of an outline, shapes first.
var shapeKeys = []Param{
	{Key: "rect", Type: Point, Text: "rectangle: [width, depth]", Min: leastLength, Max: mostLength},
	{Key: "circle", Type: Length, Text: "circle: diameter", Min: leastLength, Max: mostLength},
	{Key: "slot", Type: Point, Text: "slot with round ends: [length, width]", Min: leastLength, Max: mostLength},
	{Key: "polygon", Type: Points, Text: "polygon: [[x, y], ...], three points or more", least: 3},
	{Key: "dxf", Type: Text, Text: "DXF drawing beside the job: closed loops of lines, arcs and curves"},
	{Key: "svg", Type: Text, Text: "SVG drawing beside the job: closed loops of lines, arcs and curves"},
	{Key: "corner", Type: Length, Text: "plan corner radius of a rect or polygon, and of the sharp corners of a drawing", Max: mostLength},
	{Key: "layer", Type: Text, Text: "layer of the drawing to read; not given: all"},
	{Key: "unit", Type: Choice, Choices: []string{"mm", "inch"}, Text: "unit of a drawing that does not say its own"},
	{Key: "centre", Type: Flag, Default: true, Text: "the centre of the drawing's bounding box comes to the origin; false: the drawing's own origin stays"},
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
	for _, e := range v.list[:shapes] {
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
	default:
		o.File, o.Layer, o.Unit, o.Centre = v.Text(o.Kind), v.Text("layer"), v.Choice("unit"), v.Flag("centre")
	}
	return o, r.fits(o, v, in)
}

// fits checks what the keys of an outline ask of each other.
func (r *reader) fits(o *Shape, v *Values, in *scope) bool {
	for _, key := range [...]string{"layer", "unit", "centre"} {
		if v.Given(key) && !o.Drawn() {
			r.fault(v.Pos(key), "%s: it goes with dxf or svg, a %s has none", in.of(key), o.Kind)
			return false
		}
	}
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
