package body

import (
	"math"

	"platen/toolgen/frame"
	"platen/toolgen/geom"
)

// step returns the way on the tool between parts that are v apart as the pitch is asked: it shrinks with
// parts that are trimmed together and is that of the tool for others.
func (b *Body) step(v geom.Vec2) geom.Vec3 {
	if b.Part.Together {
		v.X, v.Y = v.X*b.Map.Scale.X, v.Y*b.Map.Scale.Y
	}
	if b.Map.Over {
		v.Y = -v.Y
	}
	return v.At(0)
}

// MapOf returns the map from the part to the tool of impression i.
func (b *Body) MapOf(i int) frame.Map {
	m := b.Map
	m.Shift = m.Shift.Add(b.step(b.Part.Impressions[i]))
	return m
}

// Nearest returns the impression whose middle is nearest to a tool point.
func (b *Body) Nearest(p geom.Vec3) int {
	best, at := math.Inf(1), 0
	for i := range b.Part.Impressions {
		m := b.MapOf(i)
		if d := p.Plan().Sub(m.Plan(m.Centre)).Norm(); d < best {
			best, at = d, i
		}
	}
	return at
}

// Back returns the cold-part point that a tool point makes, in the frame of the part it belongs to.
func (b *Body) Back(p geom.Vec3) geom.Vec3 { return b.MapOf(b.Nearest(p)).Back(p) }
