package stack

import (
	"math"

	"platen/toolgen/geom"
)

// Steps of a climb, mm: from the distance of the places looked at down to what no longer matters.
const (
	firstStep = 2.0
	lastStep  = 5e-4
	mostSteps = 400
)

// compass are the directions a climb tries in the tangent plane.
var compass = func() (out [8]geom.Vec2) {
	for i := range out {
		out[i] = geom.Turned(geom.Angle(i) * 45 * geom.Degree).Point(geom.Vec2{X: 1})
	}
	return out
}()

// climb moves a place over its side to where it touches highest.
func (r *pair) climb(of Side, t top) Peak {
	own := r.own(of)
	step := firstStep
	for n := 0; step > lastStep && n < mostSteps; n++ {
		best, found := t, false
		u, v := plane(t.pt.Out)
		for _, c := range compass {
			dir := u.Scale(c.X * step).Add(v.Scale(c.Y * step))
			if own.m.Over {
				dir.Y, dir.Z = -dir.Y, -dir.Z
			}
			pt, ok := own.point(of, t.pt.face.Add(dir))
			if !ok {
				continue
			}
			if z, hit := r.lift(of, pt.At, best.lift); hit && z > best.lift+rootTol {
				best, found = top{z, pt}, true
			}
		}
		t = best
		if !found {
			step /= 2
		}
	}
	return r.peak(of, t)
}

// own returns the part whose side it is.
func (r *pair) own(of Side) *Part {
	if of == Upper {
		return r.lower
	}
	return r.upper
}

// plane returns two directions across n, the first as level as can be.
func plane(n geom.Vec3) (u, v geom.Vec3) {
	u = geom.Vec3{X: -n.Y, Y: n.X}
	if u.Norm() < 1e-6 {
		u = geom.Vec3{X: 1}
	}
	u = u.Sub(n.Scale(u.Dot(n))).Unit()
	return u, n.Cross(u)
}

// peak describes a place that touches.
func (r *pair) peak(of Side, t top) Peak {
	p := Peak{Lift: t.lift, At: r.world(of, t.pt.At, t.lift)}
	_, _, p.Known = r.own(of).walls.Cover(t.pt.face)
	p.Slope = geom.Angle(math.Asin(min(1, math.Abs(t.pt.Out.Z))))
	own := r.lower.field.Pieces.At
	if of == Upper {
		x := r.at.back(t.pt.At.Plan()).At(t.pt.At.Z - t.lift)
		q := r.upper.m.Point(x)
		f := r.upper.field.Face(q)
		p.Lower, p.Upper = own(t.pt.Piece), r.upper.field.Pieces.At(f.Piece)
		_, _, known := r.upper.walls.Cover(q)
		p.Known = p.Known && known
		return p
	}
	q := r.lower.m.Point(p.At)
	f := r.lower.field.Face(q)
	p.Lower, p.Upper = own(f.Piece), r.upper.field.Pieces.At(t.pt.Piece)
	_, _, known := r.lower.walls.Cover(q)
	p.Known = p.Known && known
	return p
}

// world returns a place of one of the parts in the frame of the lower one.
func (r *pair) world(of Side, x geom.Vec3, lift float64) geom.Vec3 {
	if of == Upper {
		return x
	}
	return r.at.Plan(x.Plan()).At(x.Z + lift)
}
