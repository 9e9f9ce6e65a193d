package body

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Sampling of features that may be hidden.
const (
	lookStep = 1.0 // along an outline, mm
	looks    = 5   // heights of a wall
)

// hidden refuses a member of a cluster that leaves nothing of its own on the tool, such as a finger
// recess that does not reach the rim of its pocket.
func (b *Body) hidden(t *piece.Table, j *sdf.Joint, members []int) error {
	for _, i := range members {
		s := b.Solids[i]
		if shown(t, j, s) {
			continue
		}
		c := s.Outline.Bounds().Centre().At(s.Wall.End)
		at := b.Back(c)
		return b.refuse(s, fmt.Errorf("%.2f mm high or deep at part x %.2f, y %.2f, it lies wholly within %s and leaves no surface of its own; move it, or leave it out",
			s.Height, at.X, at.Y, t.At(onto(j, c).Piece).Feature))
	}
	return nil
}

// shown reports whether some sample of a member's walls or of its level is its own.
func shown(t *piece.Table, j *sdf.Joint, s *Solid) bool {
	own := func(q geom.Vec3) bool { return t.At(onto(j, q).Piece).Feature == s.ID }
	if own(s.Outline.Disc().Centre.At(s.Wall.End)) {
		return true
	}
	for _, e := range s.Outline.Elems {
		n := max(1, int(math.Ceil(e.Length()/lookStep)))
		for k := range n {
			at := (float64(k) + 0.5) / float64(n)
			for l := range looks {
				z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(float64(l)+0.5)/looks
				if own(e.Point(at).Add(e.Out(at).Scale(s.Wall.D(z))).At(z)) {
					return true
				}
			}
		}
	}
	return false
}

// onto returns the sample of a cluster's surface near q.
func onto(j *sdf.Joint, q geom.Vec3) sdf.Sample {
	s := j.At(q)
	for range 8 {
		if math.Abs(s.D) < 1e-6 {
			break
		}
		q = q.Sub(s.G.Scale(s.D))
		s = j.At(q)
	}
	return s
}
