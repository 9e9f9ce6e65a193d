package sheet

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
)

// ring is the wall of a waisted solid at one height.
type ring struct{ depth, mm float64 } // depth from the host level on the face that its sizes hold on

// Looks at the wall of a waisted solid: what it meets fits it to some hundredths, so that a line through
// the middle of its sides will not do.
const (
	ringHeights = 48
	ringAround  = 24
)

// rings measures the wall round a waisted solid, from its host level to its end.
func (f *Formed) rings(w *fit, s *body.Solid) {
	b := f.Body
	free := b.FreeOf(s.Feature)
	c := s.Outline.Bounds().Centre()
	host := b.Map.Back(c.At(s.Wall.Host)).Z + free*b.HostWall(s.Feature)
	w.least = b.Part.Gauge
	for k := range ringHeights {
		z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(float64(k)+0.5)/ringHeights
		var r ring
		n := 0.0
		for i := range ringAround {
			turn := geom.Angle(2 * math.Pi * float64(i) / ringAround)
			dir := geom.Vec2{X: turn.Cos(), Y: turn.Sin()}
			p := c.Add(dir.Scale(s.Outline.Inside() + s.Wall.D(z))).At(z)
			at := b.Field.Face(p)
			for range onFaceSteps {
				p = p.Sub(at.G.Scale(at.D))
				at = b.Field.Face(p)
			}
			t, ok := f.onSide(s, p)
			if !ok {
				continue
			}
			up := at.G.Z // of the face's normal, part frame
			if b.Over() {
				up = -up
			}
			r.depth += math.Abs(b.Map.Back(p).Z + math.Abs(free)*up*t - host)
			r.mm += t
			n++
			w.least = min(w.least, t)
		}
		if n > 0 {
			w.rings = append(w.rings, ring{r.depth / n, r.mm / n})
		}
	}
	w.sides = len(w.rings) > 0
}

// onFaceSteps brings a point of a wall on to the face.
const onFaceSteps = 8

// ringAt returns the wall at a depth, linear between the rings.
func ringAt(rs []ring, depth float64) float64 {
	for i := 1; i < len(rs); i++ {
		a, b := rs[i-1], rs[i]
		if depth >= a.depth && depth < b.depth {
			return a.mm + (b.mm-a.mm)*(depth-a.depth)/(b.depth-a.depth)
		}
	}
	if depth < rs[0].depth {
		return rs[0].mm
	}
	return rs[len(rs)-1].mm
}
