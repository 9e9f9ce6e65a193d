package render

import (
	"math"

	"platen/toolgen/geom"
)

// Sizes of marks, default pixels.
const (
	ventRadius  = 5.2
	ventRim     = 1.5
	ringRadius  = 7.0
	crossArm    = 6.5
	markStroke  = 2.4
	errorStroke = 3.6
)

// hiddenInk is how strongly a mark shows through the body that hides it.
const hiddenInk = 0.22

// surfaceSlack is how far above its mark a surface may be without hiding it, samples: the mark lies
// on it, and holes in the mesh bend it.
const surfaceSlack = 4

// flattest keeps a disc on a wall seen edge-on from vanishing.
const flattest = 0.3

// mark draws one mark.
func (s *sheet) mark(k Mark) {
	at := s.cam.project(k.At)
	x, y := at.X/supersample/s.zoom, at.Y/supersample/s.zoom
	strength := 1.0
	ix, iy := int(math.Floor(at.X)), int(math.Floor(at.Y))
	if ix < 0 || iy < 0 || ix >= s.buf.w || iy >= s.buf.h {
		return
	}
	slack := float64((surfaceSlack * supersample) * s.zoom)
	if !k.Plain && float64(s.buf.depth[iy*s.buf.w+ix]) > at.Z+slack {
		strength = hiddenInk
	}
	switch k.Kind {
	case Vent:
		s.disc(x, y, ventRadius+ventRim, k.Normal, paper, strength)
		s.disc(x, y, ventRadius, k.Normal, ventTone, strength)
	case Note:
		s.blend(x, y, ringRadius+markStroke, func(dx, dy float64) float64 {
			return math.Abs(length2(dx, dy)-ringRadius) - markStroke/2
		}, noteTone, strength)
	case Warning:
		s.cross(x, y, markStroke, warnTone, strength)
	default:
		s.cross(x, y, errorStroke, errorTone, strength)
	}
}

// cross draws a diagonal cross on a light rim, so that it stands out on any ground.
func (s *sheet) cross(x, y, width float64, c tone, strength float64) {
	arms := func(w float64) func(dx, dy float64) float64 {
		return func(dx, dy float64) float64 {
			return min(toSegment(dx, dy, -crossArm, -crossArm, crossArm, crossArm),
				toSegment(dx, dy, -crossArm, crossArm, crossArm, -crossArm)) - float64(w/2)
		}
	}
	s.blend(x, y, 2*crossArm, arms(width+2.4), paper, strength)
	s.blend(x, y, 2*crossArm, arms(width), c, strength)
}

// disc draws a disc that lies on the surface with normal n.
func (s *sheet) disc(x, y, r float64, n geom.Vec3, c tone, strength float64) {
	n = n.Unit()
	// In the picture the disc is an ellipse, short by cos along the tilt.
	tilt := geom.Vec2{X: n.Dot(s.cam.right), Y: -n.Dot(s.cam.up)}
	cos, dir := 1.0, geom.Vec2{X: 1}
	if sin := tilt.Norm(); sin > 0 {
		cos = max(math.Abs(n.Dot(s.cam.back)), flattest)
		dir = tilt.Scale(1 / sin)
	}
	s.blend(x, y, r+1, func(dx, dy float64) float64 {
		d := geom.Vec2{X: dx, Y: dy}
		along, across := d.Dot(dir)/cos, d.Dot(dir.Left())
		// Distance to the ellipse to first order: near enough for the soft rim.
		q := length2(along, across)
		if q == 0 {
			return -r
		}
		grad := length2(along/cos, across) / q
		return (q - r) / grad
	}, c, strength)
}

func (s *sheet) dot(x, y, r float64, c tone) {
	s.blend(x, y, r+1, func(dx, dy float64) float64 { return length2(dx, dy) - r }, c, 1)
}

func (s *sheet) ring(x, y, r, width float64, c tone) {
	s.blend(x, y, r+width, func(dx, dy float64) float64 { return math.Abs(length2(dx, dy)-r) - float64(width/2) }, c, 1)
}

func (s *sheet) stroke(x0, y0, x1, y1, width float64, c tone) {
	mx, my := (x0+x1)/2, (y0+y1)/2
	reach := float64(length2(x1-x0, y1-y0)/2) + width
	s.blend(mx, my, reach, func(dx, dy float64) float64 {
		return toSegment(dx, dy, x0-mx, y0-my, x1-mx, y1-my) - float64(width/2)
	}, c, 1)
}

// blend paints the figure whose signed distance is given about (x, y), all in default pixels.
func (s *sheet) blend(x, y, reach float64, dist func(dx, dy float64) float64, c tone, strength float64) {
	b := s.img.Bounds()
	x0, x1 := max(0, int((x-reach)*s.zoom)-1), min(b.Dx()-1, int((x+reach)*s.zoom)+1)
	y0, y1 := max(0, int((y-reach)*s.zoom)-1), min(b.Dy()-1, int((y+reach)*s.zoom)+1)
	for py := y0; py <= y1; py++ {
		for px := x0; px <= x1; px++ {
			d := dist((float64(px)+0.5)/s.zoom-x, (float64(py)+0.5)/s.zoom-y)
			cover := min(max(0.5-float64(d*s.zoom), 0), 1) * strength
			if cover > 0 {
				s.mix(px, py, c, cover)
			}
		}
	}
}

func length2(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// toSegment returns the distance of (x, y) from the segment.
func toSegment(x, y, ax, ay, bx, by float64) float64 {
	p, d := geom.Vec2{X: x - ax, Y: y - ay}, geom.Vec2{X: bx - ax, Y: by - ay}
	u := 0.0
	if l := d.Dot(d); l > 0 {
		u = min(max(p.Dot(d)/l, 0), 1)
	}
	return p.Sub(d.Scale(u)).Norm()
}
