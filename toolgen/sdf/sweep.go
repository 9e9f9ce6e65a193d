package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// Sweep is a profile swept along an outline: draft and radii hold exactly along the whole outline
// as long as the outline's corners are rounder than the profile's run over them.
type Sweep struct {
	Outline *outline.Outline
	Profile Profile
	IDs     [][2]piece.ID // by profile element: along straights, round corners; equal for levels
	chain   *outline.Chain
	reach   float64 // of the profile
}

// NewSweep returns the sweep and enters its pieces in the table. Roles has one entry for each
// element of the profile.
func NewSweep(t *piece.Table, feature string, o *outline.Outline, p Profile, roles []piece.Role) *Sweep {
	return NewSweepOn(t, piece.None, feature, o, p, roles)
}

// NewSweepOn returns a sweep whose host plane, the first element of its profile, is the piece host
// of the level it lies on.
func NewSweepOn(t *piece.Table, host piece.ID, feature string, o *outline.Outline, p Profile, roles []piece.Role) *Sweep {
	s := &Sweep{Outline: o, Profile: p, IDs: make([][2]piece.ID, len(p)), chain: outline.NewChain(p, false), reach: p.Reach()}
	tight := min(o.Convex(), o.Concave())
	for i, e := range p {
		if i == 0 && host != piece.None {
			s.IDs[0] = [2]piece.ID{host, host}
			continue
		}
		straight := piece.Piece{Feature: feature, Role: roles[i], Shape: piece.Plane}
		if Level(e) {
			id := t.Add(straight)
			s.IDs[i] = [2]piece.ID{id, id}
			continue
		}
		corner := straight
		corner.Shape = piece.Cone
		corner.Radius = tight + min(e.A.X, e.B.X, 0)
		if roles[i] == piece.Wall {
			corner.Role = piece.Corner
		}
		if e.R != 0 {
			straight.Shape, straight.Radius = piece.Cylinder, math.Abs(e.R)
			corner.Shape, corner.Radius = piece.Torus, min(math.Abs(e.R), corner.Radius)
		} else if e.A.X == e.B.X {
			corner.Shape = piece.Cylinder
		}
		id := t.Add(straight, corner)
		s.IDs[i] = [2]piece.ID{id, id + 1}
	}
	return s
}

// Roles returns the roles of the elements of w.Profile() in order; host is the role of the plane it
// joins.
func (w Wall) Roles(host piece.Role, p Profile) []piece.Role {
	edge, root, end := piece.Edge, piece.Fillet, piece.Floor
	if w.Raised() {
		edge, root, end = piece.Fillet, piece.Edge, piece.Crown
	}
	roles := make([]piece.Role, len(p))
	for i, e := range p {
		switch {
		case i == 0:
			roles[i] = host
		case i == len(p)-1:
			roles[i] = end
		case e.R != 0 && i == 1:
			roles[i] = edge
		case e.R != 0 && w.Waisted() && i == 3:
			roles[i] = piece.Blend // at the widest
		case e.R != 0:
			roles[i] = root
		default:
			roles[i] = piece.Wall
		}
	}
	if w.HostR == 0 && w.EndR > 0 && len(p) == 3 {
		roles[1] = root // the end rounding alone takes the whole wall
	}
	return roles
}

// At returns the sample at p: exact up to the outline's medial axis, a bound beyond it.
func (s *Sweep) At(p geom.Vec3) Sample { return s.from(s.Outline.At(p.Plan()), p.Z) }

// from returns the sample at height z over a plan point with the given foot.
func (s *Sweep) from(f outline.Foot, z float64) Sample {
	v, g, seg, ok := 0.0, geom.Vec2{}, 0, false
	if s.chain != nil {
		v, g, seg, ok = s.chain.At(geom.Vec2{X: f.D, Y: z})
	}
	if !ok {
		v, g, seg = s.Profile.at(f.D, z)
	}
	k := 0
	if s.Outline.Elems[f.Elem].R != 0 {
		k = 1
	}
	return Sample{v, geom.Vec3{X: g.X * f.G.X, Y: g.X * f.G.Y, Z: g.Y}, s.IDs[seg][k]}
}

// Box returns the box that holds all of the sweep but its level planes.
func (s *Sweep) Box() geom.Box3 {
	z0, z1 := math.Inf(1), math.Inf(-1)
	for _, e := range s.Profile {
		z0, z1 = min(z0, e.A.Y, e.B.Y), max(z1, e.A.Y, e.B.Y)
	}
	return s.Outline.Bounds().Grow(max(s.reach, 0)).Up(z0, z1)
}
