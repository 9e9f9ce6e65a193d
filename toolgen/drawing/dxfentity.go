package drawing

import (
	"math"
	"strings"

	"platen/toolgen/geom"
)

// refusedKinds says why entities of other kinds are not read.
var refusedKinds = map[string]string{
	"TEXT": isText, "MTEXT": isText, "ATTRIB": isText, "ATTDEF": isText, "SHAPE": isText, "RTEXT": isText,
	"DIMENSION": isText, "LEADER": isText, "MLEADER": isText, "MULTILEADER": isText, "TOLERANCE": isText,
	"POINT": "is a point, no part of an outline: " + elsewhere,
	"HATCH": "is a filling: " + elsewhere, "SOLID": "is a filling: " + elsewhere, "TRACE": "is a filling: " + elsewhere,
	"3DFACE": isSolid, "3DSOLID": isSolid, "BODY": isSolid, "REGION": isSolid, "MESH": isSolid, "SURFACE": isSolid,
	"HELIX": isSolid, "POLYFACE": isSolid,
	"XLINE": "is endless: " + elsewhere, "RAY": "is endless: " + elsewhere,
	"MLINE": "is a bundle of lines: break it up into lines", "IMAGE": "is a picture: " + elsewhere,
	"VERTEX": "stands outside a polyline", "SEQEND": "stands outside a polyline",
}

const (
	elsewhere = "put it on a layer of its own and name the layers to read"
	isText    = "is text or a dimension: " + elsewhere
	isSolid   = "is three-dimensional: only plane drawings are read"
)

// draw adds what an entity draws. m maps its plane to mm; an entity of layer 0 in a block takes the layer
// of the insert.
func (d *dxf) draw(e *entity, m geom.Affine, inherited string, depth int) {
	if d.stopped {
		return
	}
	p := d.placeOf(e)
	if p.Layer == "0" && inherited != "" {
		p.Layer = inherited
	}
	if d.leavesOut(e, p) {
		return
	}
	m, ok := d.plane(e, p, m)
	if !ok {
		return
	}
	var segs []seg
	closed := false
	switch e.kind {
	case "LINE":
		segs = d.lineSegs(e, p)
	case "CIRCLE":
		segs, closed = d.circleSegs(e, p), true
	case "ARC":
		segs, closed = d.arcSegs(e, p)
	case "LWPOLYLINE":
		segs, closed = d.lightSegs(e, p)
	case "POLYLINE":
		segs, closed = d.heavySegs(e, p)
	case "ELLIPSE":
		d.addEllipse(e, p, m)
		return
	case "SPLINE":
		d.addSpline(e, p, m)
		return
	case "INSERT":
		d.insert(e, p, m, depth)
		return
	default:
		why, known := refusedKinds[e.kind]
		if !known {
			why = "is of a kind that is not read: lines, arcs, circles, polylines, ellipses, splines and blocks of these are"
		}
		d.fault(p, "%s", why)
		return
	}
	for i := range segs {
		segs[i] = segs[i].mapped(m)
	}
	d.add(p, segs, closed)
}

// leavesOut reports whether an entity is not meant to be read, and notes why where it may surprise.
func (d *dxf) leavesOut(e *entity, p Place) bool {
	switch {
	case e.kind == "VIEWPORT", e.kind != "INSERT" && !d.o.wants(p.Layer):
	case len(d.o.Layers) == 0 && d.hidden[strings.ToUpper(p.Layer)]:
		d.note("entities on layer %q, which is off or frozen, are left out", p.Layer)
	case e.int(67) == 1:
		d.note("entities of the paper space are left out")
	case e.int(60) == 1:
		d.note("invisible entities are left out")
	default:
		return false
	}
	return true
}

// plane takes the extrusion direction into the map: arcs, circles, polylines and inserts are drawn in its
// plane, which seen from below has X reversed.
func (d *dxf) plane(e *entity, p Place, m geom.Affine) (geom.Affine, bool) {
	n := [3]float64{e.float(210, 0), e.float(220, 0), e.float(230, 1)}
	size := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	if !(math.Abs(n[2]) >= size*(1-1e-9)) || n[2] == 0 {
		d.fault(p, "lies in a plane that is not seen from above: only plane drawings are read")
		return m, false
	}
	switch e.kind {
	case "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "INSERT":
		if n[2] < 0 {
			return geom.Scaled(-1, 1).Then(m), true
		}
	}
	return m, true
}

// level refuses an entity whose points have several heights.
func (d *dxf) level(p Place, z0, z1 float64) bool {
	if math.Abs(z1-z0)*d.unit.MM > same {
		d.fault(p, "rises from %g to %g: only plane drawings are read", z0, z1)
		return false
	}
	return true
}

func (d *dxf) lineSegs(e *entity, p Place) []seg {
	if !d.level(p, e.float(30, 0), e.float(31, 0)) {
		return nil
	}
	return []seg{{a: e.point(10), b: e.point(11)}}
}

func (d *dxf) radius(e *entity, p Place) (float64, bool) {
	r := e.float(40, 0)
	if !(r > 0) {
		d.fault(p, "has the radius %g; it must be above 0", r)
		return 0, false
	}
	return r, true
}

func (d *dxf) circleSegs(e *entity, p Place) []seg {
	if r, ok := d.radius(e, p); ok {
		return circle(e.point(10), r)
	}
	return nil
}

func (d *dxf) arcSegs(e *entity, p Place) (segs []seg, closed bool) {
	r, ok := d.radius(e, p)
	if !ok {
		return nil, false
	}
	c, from, to := e.point(10), e.float(50, 0), e.float(51, 360)
	sweep := math.Mod(to-from, 360)
	if sweep < 0 {
		sweep += 360
	}
	if to-from != 0 && sweep == 0 {
		return circle(c, r), true
	}
	at := func(deg float64) geom.Vec2 {
		return c.Add(geom.Vec2{X: r}.Turn(geom.Angle(math.Mod(deg, 360)) * geom.Degree))
	}
	half := sweep / 2 * float64(geom.Degree)
	mid := at(from + sweep/2)
	return []seg{{at(from), mid, half}, {mid, at(to), half}}, false
}

// knee is a vertex of a polyline with the bulge of what follows it.
type knee struct {
	at    geom.Vec2
	bulge float64
}

// rowSegs returns the segments of a polyline.
func (d *dxf) rowSegs(p Place, knees []knee, closed bool) []seg {
	var segs []seg
	n := len(knees)
	if n < 2 {
		d.fault(p, "a polyline of %d vertices", n)
		return nil
	}
	for i, k := range knees {
		if i == n-1 && !closed {
			break
		}
		next := knees[(i+1)%n].at
		sweep := 4 * math.Atan(k.bulge)
		if math.Abs(sweep) > 2*math.Pi-1e-3 {
			d.fault(p, "has the bulge %g at vertex %d: more than a full turn less 0.06 deg", k.bulge, i+1)
			return nil
		}
		segs = append(segs, seg{k.at, next, sweep})
	}
	return segs
}

func (d *dxf) lightSegs(e *entity, p Place) ([]seg, bool) {
	var knees []knee
	seenY := true
	for _, g := range e.groups {
		switch {
		case g.code == 10:
			if !seenY {
				panic(badNumber{"has a vertex without Y (group 20)"})
			}
			knees = append(knees, knee{at: geom.Vec2{X: g.float()}})
			seenY = false
		case g.code == 20 && !seenY:
			knees[len(knees)-1].at.Y = g.float()
			seenY = true
		case g.code == 42 && len(knees) > 0:
			knees[len(knees)-1].bulge = g.float()
		}
	}
	if !seenY {
		panic(badNumber{"has a vertex without Y (group 20)"})
	}
	closed := e.int(70)&1 != 0
	return d.rowSegs(p, knees, closed), closed
}

// Flags of polylines and of their vertices, group 70.
const (
	flagClosed  = 1
	flagSolid   = 8 | 16 | 64 // a polyline in space, a net, a body of faces
	flagControl = 16          // a vertex that only steers the spline
)

func (d *dxf) heavySegs(e *entity, p Place) ([]seg, bool) {
	flags := e.int(70)
	if flags&flagSolid != 0 {
		d.fault(p, "%s", isSolid)
		return nil, false
	}
	var knees []knee
	for i := range e.vertices {
		v := &e.vertices[i]
		if v.int(70)&flagControl != 0 {
			continue
		}
		if !d.level(p, e.vertices[0].float(30, 0), v.float(30, 0)) {
			return nil, false
		}
		knees = append(knees, knee{v.point(10), v.float(42, 0)})
	}
	closed := flags&flagClosed != 0
	return d.rowSegs(p, knees, closed), closed
}

func (d *dxf) addEllipse(e *entity, p Place, m geom.Affine) {
	c, u, ratio := e.point(10), e.point(11), e.float(40, 1)
	if !d.level(p, 0, e.float(31, 0)) {
		return
	}
	if !(ratio > 0 && ratio <= 1) || u.Norm() == 0 {
		d.fault(p, "an ellipse with the ratio %g of its axes; above 0 and up to 1 is read", ratio)
		return
	}
	v := u.Left().Scale(ratio)
	if e.float(230, 1) < 0 {
		v = v.Scale(-1)
	}
	from, to := e.float(41, 0), e.float(42, 2*math.Pi)
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep < 0 {
		sweep += 2 * math.Pi
	}
	// Full turns are written with as many digits as the writer cared for.
	closed := to != from && (sweep < 1e-6 || sweep > 2*math.Pi-1e-6)
	if closed {
		sweep = 2 * math.Pi
	}
	d.addCurve(p, closed, func() ([]seg, error) { return ellipse{c, u, v, from, sweep}.mapped(m).segs() })
}

func (d *dxf) addSpline(e *entity, p Place, m geom.Affine) {
	s := spline{degree: e.int(71)}
	var z []float64
	for _, g := range e.groups {
		switch g.code {
		case 40:
			s.knots = append(s.knots, g.float())
		case 41:
			s.weights = append(s.weights, g.float())
		case 10:
			s.points = append(s.points, geom.Vec2{X: g.float()})
		case 20:
			if len(s.points) > 0 {
				s.points[len(s.points)-1].Y = g.float()
			}
		case 30:
			z = append(z, g.float())
		}
	}
	if len(s.points) == 0 {
		d.fault(p, "a spline by fit points alone: save it with its control points")
		return
	}
	for _, h := range z {
		if !d.level(p, z[0], h) {
			return
		}
	}
	for i := range s.points {
		s.points[i] = m.Point(s.points[i])
	}
	d.addCurve(p, false, s.segs)
}

// addCurve adds a curve that arcs stand for.
func (c *collector) addCurve(p Place, closed bool, segs func() ([]seg, error)) {
	if c.stopped {
		return
	}
	got, err := segs()
	if err != nil {
		c.fault(p, "%v", err)
		return
	}
	c.add(p, got, closed)
}

// insert draws a block at its place.
func (d *dxf) insert(e *entity, p Place, m geom.Affine, depth int) {
	name := e.text(2)
	b := d.blocks[strings.ToUpper(name)]
	x, y := e.float(41, 1), e.float(42, 1)
	switch {
	case b == nil:
		d.fault(p, "inserts the block %s, which is not in the file", quoted([]byte(name)))
		return
	case b.open || depth >= mostNested:
		d.fault(p, "inserts the block %s within itself, or more than %d deep", quoted([]byte(name)), mostNested)
		return
	case max(e.float(70, 1), e.float(71, 1)) > 1:
		d.fault(p, "inserts the block %s in rows: break it up", quoted([]byte(name)))
		return
	case !(math.Abs(math.Abs(x)-math.Abs(y)) <= 1e-9*math.Abs(x)) || x == 0:
		d.fault(p, "inserts the block %s with the scales %g and %g: only one scale is read", quoted([]byte(name)), x, y)
		return
	}
	b.open = true
	defer func() { b.open = false }()
	in := geom.Moved(b.base.Scale(-1)).Then(geom.Scaled(x, math.Copysign(x, y))).
		Then(geom.Turned(geom.Angle(e.float(50, 0)) * geom.Degree)).Then(geom.Moved(e.point(10))).Then(m)
	for i := range b.entities {
		if d.inserted++; d.inserted > mostSegments {
			d.stop(p, "inserts draw more than %d entities", mostSegments)
		}
		if d.stopped {
			return
		}
		q := b.entities[i]
		q.number = e.number
		d.draw(&q, in, p.Layer, depth+1)
	}
}
