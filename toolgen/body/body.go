// Package body owns the step from a part to the body of its forming tool: shrink allowance, the side
// of the sheet that touches, wall offsets, the block, and which features are rounded together.
package body

import (
	"fmt"
	"math"

	"platen/toolgen/finding"
	"platen/toolgen/frame"
	"platen/toolgen/geom"
	"platen/toolgen/material"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
	"platen/toolgen/wall"
)

// Solid is one feature on the tool.
type Solid struct {
	*part.Feature                  // asked, in the part frame
	Outline       *outline.Outline // on the tool, in its datum
	Wall          sdf.Wall         // on the tool, in its datum
	Offset        float64          // how far the outline was moved for the free side, mm at part size, positive outward
	Patch         int              // patch of the field it is part of
	Member        int              // its member of that patch's cluster; -1 for a lone feature
	EndPiece      piece.ID         // its floor or crown
}

// Female reports whether the feature sinks into the tool.
func (s *Solid) Female() bool { return !s.Wall.Raised() }

// Body is the tool with what it was made from.
type Body struct {
	Part   *part.Part
	Tool   material.Tool
	Map    frame.Map // of the first impression
	Shrink Shrink
	Solids []*Solid // in the order of Part.Features
	Field  *sdf.Body
	Walls  wall.Walls
	Datum  string // e.g. "block centre in X and Y, block base at Z 0"
	Base   float64
	Notes  []finding.Finding // what assembling changed or assumed

	centre geom.Vec2 // of the block
}

// Assemble makes the tool body of a part.
//
// ERROR: *part.BuildError at the feature whose numbers make no geometry on the tool.
func Assemble(p *part.Part, w wall.Walls) (*Body, error) {
	tool, err := material.ToolNamed(p.Job.Tool.Choice("material"))
	if err != nil {
		return nil, err
	}
	b := &Body{Part: p, Tool: tool, Walls: w}
	b.Shrink = shrinkage(p, tool)
	b.place()
	if err := b.solids(); err != nil {
		return nil, err
	}
	return b, b.field()
}

// place fixes the map from the part to the tool datum.
func (b *Body) place() {
	j := b.Part.Job
	box := b.Part.Outline.Bounds()
	b.Map = frame.Map{Scale: b.Shrink.Scale(), Centre: box.Centre(), Over: b.Over()}
	depth := 0.0 // of the deepest floor below the tool's land
	for _, f := range b.Part.Features {
		z := b.Map.Z(b.endZ(f)) - b.Map.Z(b.contactZ(0, b.Walls.Land().MM))
		depth = max(depth, -z)
	}
	b.Base = j.Block.Length("base")
	land := b.Base + depth
	size := b.blockSize()
	var centre geom.Vec3 // of the block
	switch j.Tool.Choice("datum") {
	case "block_corner":
		b.Datum = "left front corner of the block in X and Y, block base at Z 0"
		centre = geom.Vec3{X: size.X / 2, Y: size.Y / 2}
	case "land_centre":
		b.Datum = "block centre in X and Y, land at Z 0"
		land = 0
	default:
		b.Datum = "block centre in X and Y, block base at Z 0"
	}
	b.centre = centre.Plan()
	b.Map.Shift = centre.Sub(b.step(b.Part.Span()).Scale(0.5))
	// The part's z = 0 is the measured side; the tool's land carries the contact side.
	b.Map.Shift.Z = land - b.Map.Z(b.contactZ(0, b.Walls.Land().MM))
	b.Base += depth
}

// Over reports whether the upper side of the sheet touches the tool.
func (b *Body) Over() bool { return b.Part.Job.Tool.Choice("contact") == "upper" }

// Land returns the height of the tool's land.
func (b *Body) Land() float64 { return b.Map.Z(b.contactZ(0, b.Walls.Land().MM)) }

// Bottom returns the height of the block's base.
func (b *Body) Bottom() float64 { return b.Land() - b.Base }

// free returns +1 when the tool lies below the measured side by the wall, -1 when above, 0 when the
// measured side touches the tool.
func (b *Body) free() float64 {
	over, upper := b.Over(), b.Part.Job.Tool.Choice("measured") == "upper"
	switch {
	case over == upper:
		return 0
	case upper:
		return 1
	}
	return -1
}

// contactZ returns the part height of the contact side of a level whose measured side lies at z.
func (b *Body) contactZ(z, t float64) float64 { return z - b.free()*t }

// FreeOf returns what free does, for the face at which a feature's sizes hold: +1 when the tool lies below
// that face by the wall, -1 when above, 0 when the face touches the tool.
func (b *Body) FreeOf(f *part.Feature) float64 {
	switch {
	case f.Face == part.Measured:
		return b.free()
	case (f.Face == part.Upper) == b.Over():
		return 0
	case f.Face == part.Upper:
		return 1
	}
	return -1
}

// HostWall returns the wall of the level a feature lies on.
func (b *Body) HostWall(f *part.Feature) float64 {
	if f.Parent != nil {
		return b.Walls.End(f.Parent).MM
	}
	return b.Walls.Land().MM
}

// endZ returns the part height of the contact side of a feature's floor or top.
func (b *Body) endZ(f *part.Feature) float64 {
	if f.Face == part.Measured {
		return b.contactZ(f.ZEnd, b.Walls.End(f).MM)
	}
	host := b.HostWall(f)
	return b.contactZ(f.ZHost, host) + f.ZEnd - f.ZHost + b.FreeOf(f)*(host-b.Walls.End(f).MM)
}

// blockSize returns the block's sides in X and Y, mm: as asked, or the trim outline on the tool with
// the margin all round, up to a whole millimetre.
func (b *Body) blockSize() geom.Vec2 {
	blk := b.Part.Job.Block
	if blk.Has("size") {
		return blk.Point("size")
	}
	s := b.Part.Outline.Bounds().Size()
	m := 2 * blk.Length("margin")
	span := b.step(b.Part.Span())
	return geom.Vec2{X: math.Ceil(s.X*b.Map.Scale.X + span.X + m - 1e-6), Y: math.Ceil(s.Y*b.Map.Scale.Y + math.Abs(span.Y) + m - 1e-6)}
}

// solids maps every feature to the tool.
func (b *Body) solids() error {
	for _, f := range b.Part.Features {
		s, err := b.solid(f)
		if err != nil && s != nil {
			return unfit(s, err)
		}
		if err != nil {
			return &part.BuildError{Pos: f.Pos, Feature: f.ID, Err: err}
		}
		b.Solids = append(b.Solids, s)
	}
	return nil
}

func (b *Body) solid(f *part.Feature) (*Solid, error) {
	s := &Solid{Feature: f, Member: -1}
	// A sunk feature's tool face lies outside its measured face when the tool is below, inside when
	// it is above; a raised feature's the other way.
	depth := 0.0
	if f.Holds == part.AtEnd {
		depth = f.Height
	}
	free := b.FreeOf(f)
	fine := f.Use.Fine() // strokes and beads are asked on the tool
	if !fine {
		s.Offset = free * b.Walls.Side(f, depth).MM / f.Draft.Cos()
	}
	if f.Undercut.Depth > 0 { // the wall stands plumb at its widest
		s.Offset = free * b.Walls.Side(f, f.Undercut.Rise).MM
	}
	if !f.Sunk {
		s.Offset = -s.Offset
	}
	moved, err := f.Outline.Offset(s.Offset)
	if err != nil {
		return nil, fmt.Errorf("wall allowance: %w", err)
	}
	if s.Outline, err = moved.Map(b.planMap(f)); err != nil {
		return nil, err
	}
	s.Wall = sdf.Wall{
		Host:   b.Map.Z(b.contactZ(f.ZHost, b.HostWall(f))),
		End:    b.Map.Z(b.endZ(f)),
		Datum:  b.Map.Z(f.ZHolds()),
		Draft:  f.Draft,
		HostR:  f.HostR,
		EndR:   f.EndR,
		Inside: s.Outline.Inside(),
	}
	if f.EndSize && !fine {
		s.Wall.EndR = b.endSize(f)
		// A wall that has come lower has room for its roundings at a flatter slope only.
		s.Wall.Draft = max(f.Draft, part.LeastDraft(math.Abs(s.Wall.End-s.Wall.Host), s.Wall.HostR, s.Wall.EndR))
	}
	if f.OnTool {
		s.Wall.End = s.Wall.Host + math.Copysign(f.Height, s.Wall.End-s.Wall.Host)
	}
	if fine {
		s.Wall.Datum = s.Wall.Host
		if f.Holds == part.AtEnd {
			s.Wall.Datum = s.Wall.End
		}
	}
	if f.Undercut.Depth > 0 {
		if err := b.undercut(s); err != nil {
			return nil, err
		}
	}
	return s, b.fits(s)
}

// planMap returns the map of a feature's outline to the tool. What has the size of the tool is moved only,
// by the way of its middle, and reads on the tool.
func (b *Body) planMap(f *part.Feature) geom.Affine {
	m := b.MapOf(f.Impression)
	if !f.OnTool {
		return m.Affine()
	}
	c := f.Outline.Bounds().Centre()
	return geom.Moved(m.Plan(c).Sub(c))
}

// endSize returns the radius on the tool of a rounding that is a size of the part: the least of what the
// axes and the walls ask, which leaves the product the most room.
func (b *Body) endSize(f *part.Feature) float64 {
	out := b.free()
	if !f.Sunk {
		out = -out
	}
	k := b.Map.Scale
	return (f.EndR + min(out*b.Walls.End(f).MM, out*b.Walls.Side(f, f.Height).MM)) * min(k.X, k.Y, k.Z)
}

// corner returns the plan corner, as the job writes it, that is rounder by what lacks on the tool: has is the outline's.
func (b *Body) corner(s *Solid, has, lacks float64) float64 {
	if v := s.Values; v.Declares("corner") && v.Has("corner") && !(v.Declares("outline") && v.Given("outline")) {
		has = v.Length("corner")
	}
	k := min(b.Map.Scale.X, b.Map.Scale.Y)
	if s.Offset == 0 {
		return math.Ceil((has+lacks/k)*1000+1) / 1000
	}
	// The wall that the tool stands behind changes a little with the corner, as it does with the height.
	return math.Ceil((has+higherBy*lacks/k)*10) / 10
}

// fits checks that the section closes and that the outline's corners are rounder than its run.
func (b *Body) fits(s *Solid) error {
	p, err := s.Wall.Profile()
	if err != nil {
		return err
	}
	if r, run := s.Outline.Convex(), max(-p.Inner(), s.Wall.Undercut.Depth); r < run-1e-9 {
		return fmt.Errorf("plan corner radius %.3f mm: wall and rounding run %.3f mm inward there, so the corner would pinch; corner at least %.3f mm, or a smaller rounding or draft",
			r, run, b.corner(s, s.Feature.Outline.Convex(), run-r))
	}
	if r, run := s.Outline.Concave(), p.Reach(); r < run-1e-9 {
		return fmt.Errorf("inside plan corner radius %.3f mm: wall and rounding run %.3f mm outward there; corner at least %.3f mm, or a smaller rounding or draft",
			r, run, b.corner(s, s.Feature.Outline.Concave(), run-r))
	}
	for _, m := range [...]float64{min(p.Inner(), -s.Wall.Undercut.Depth), p.Reach()} {
		if _, err := s.Outline.Offset(m); err != nil {
			return fmt.Errorf("its walls run into each other: %w; take a smaller rounding, draft or height", err)
		}
	}
	return nil
}
