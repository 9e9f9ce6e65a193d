package body

import (
	"fmt"

	"platen/toolgen/part"
	"platen/toolgen/sdf"
)

// leastRound is the least rounding that an undercut keeps on the tool behind the wall, mm (common
// practice, no source).
const leastRound = 0.2

// undercut gives a solid's wall its waist. Waist, widest and roundings are asked on the formed face that
// meets another: on the tool behind it the round edges are sharper by the wall, the hollows wider.
func (b *Body) undercut(s *Solid) error {
	f, u := s.Feature, s.Undercut
	behind := b.FreeOf(f) // +1: the tool stands outside the shape, -1 inside it, 0 no wall between
	if !f.Sunk {
		behind = -behind
	}
	k := b.Map.Scale
	scale := min(k.X, k.Y, k.Z)
	wide, waist := b.Walls.Side(f, u.Rise).MM, b.Walls.Side(f, f.HostR).MM
	s.Wall.HostR = (f.HostR - behind*b.HostWall(f)) * scale
	s.Wall.EndR = (f.EndR + behind*b.Walls.End(f).MM) * scale
	s.Wall.Undercut = sdf.Undercut{Depth: (u.Depth + behind*(wide-waist)) * scale, R: (u.R + behind*wide) * scale}
	rise := u.Rise - behind*b.HostWall(f) // from the tool's own host level
	if s.Wall.Raised() {
		s.Wall.Undercut.At = s.Wall.Host + rise*k.Z
	} else {
		s.Wall.Undercut.At = s.Wall.Host - rise*k.Z
	}
	for _, r := range [...]struct {
		what string
		mm   float64
	}{{"where it starts", s.Wall.HostR}, {"at its widest", s.Wall.Undercut.R}, {"at its end", s.Wall.EndR}} {
		if r.mm < leastRound {
			return fmt.Errorf("the rounding %s is asked on the formed face and leaves %.2f mm on the tool behind the wall; make it larger by at least %.2f mm", r.what, r.mm, leastRound-r.mm+0.005)
		}
	}
	return nil
}

// Offsets reports whether the tool stands off any of the part's faces by the wall.
func (b *Body) Offsets() bool {
	if b.free() != 0 {
		return true
	}
	for _, f := range b.Part.Features {
		if b.FreeOf(f) != 0 {
			return true
		}
	}
	return false
}

// MeetingZ returns the part height of the given face of a level land with a wall of the given thickness.
func (b *Body) MeetingZ(face part.Face, wall float64) float64 {
	z := b.contactZ(0, b.Walls.Land().MM)
	if (face == part.Upper) == b.Over() {
		return z
	}
	if face == part.Upper {
		return z + wall
	}
	return z - wall
}
