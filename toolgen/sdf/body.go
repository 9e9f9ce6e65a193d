package sdf

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// Patch is a part of the face that stands on, or sinks from, one level plane and is that plane all
// around: a lone feature with its closed profile, or a cluster of features rounded together.
type Patch struct {
	Name   string // feature id, or those of a cluster joined by "+"
	Host   piece.ID
	Parent int    // index of the patch whose level it lies on; -1 for the land
	Sweep  *Sweep // a lone feature
	Joint  *Joint // or a cluster
	atlas  *Atlas // of the cluster; nil: the cluster itself answers
}

// At returns the field of the host plane with this patch alone.
func (p *Patch) At(q geom.Vec3) Sample {
	if p.Sweep != nil {
		return p.Sweep.At(q)
	}
	if p.atlas != nil {
		return p.atlas.At(q)
	}
	return p.Joint.At(q)
}

// Plan returns the signed distance in plan to the region where the patch is not its host plane,
// negative inside.
func (p *Patch) Plan(q geom.Vec2) float64 {
	if p.Sweep != nil {
		return p.Sweep.Outline.At(q).D - p.Sweep.reach
	}
	return p.Joint.Plan(q)
}

// Flat returns a lower bound of the distance in plan from q, a point over one of the patch's level
// floors or crowns, to where that level ends.
func (p *Patch) Flat(q geom.Vec2) float64 {
	if p.Sweep != nil {
		return max(0, p.Sweep.Profile.Inner()-p.Sweep.Outline.At(q).D)
	}
	return p.Joint.Flat(q)
}

// Box returns the box that holds all of the patch but its level planes.
func (p *Patch) Box() geom.Box3 {
	if p.Sweep != nil {
		return p.Sweep.Box()
	}
	return p.Joint.Box()
}

// Body is the whole tool: the block with the patches of its face.
type Body struct {
	Pieces  *piece.Table
	Block   *Sweep // profile: base ray, side, perhaps an edge rounding, land ray
	Land    float64
	Patches []*Patch // parents before children; regions of siblings do not overlap
	under   *Sweep   // the block without its land
	boxes   []geom.Box3
	grid    grid
}

// NewBody returns the body made of a block and patches.
func NewBody(t *piece.Table, block *Sweep, patches []*Patch) *Body {
	b := &Body{Pieces: t, Block: block, Patches: patches, Land: block.Profile[len(block.Profile)-1].A.Y}
	side := block.Profile[1]
	dir := side.B.Sub(side.A).Unit()
	up := side
	up.B = side.A.Add(dir.Scale(far))
	b.under = &Sweep{Outline: block.Outline, Profile: Profile{block.Profile[0], up}, IDs: block.IDs[:2]}
	for _, p := range patches {
		b.boxes = append(b.boxes, p.Box())
	}
	b.grid = newGrid(b.boxes)
	return b
}

// quickPage is the side of the root cells of a cluster's atlas, mm.
const quickPage = 8

// Quick returns the body for many samples near its surface: the same field, to rounding, whose
// clusters answer from atlases that are filled on the way.
func (b *Body) Quick() *Body {
	q, all := *b, &shelf{}
	q.Patches = make([]*Patch, len(b.Patches))
	for i, p := range b.Patches {
		c := *p
		if p.Joint != nil {
			box := p.Joint.Box().Grow(1)
			n := box.Size().Scale(1. / quickPage)
			c.atlas = NewAtlas(p.Joint, box.Min, quickPage, [3]int32{int32(n.X) + 1, int32(n.Y) + 1, int32(n.Z) + 1})
			c.atlas.shelf = all
			all.atlases = append(all.atlases, c.atlas)
		}
		q.Patches[i] = &c
	}
	return &q
}

// Box returns the box that holds the body.
func (b *Body) Box() geom.Box3 {
	box := b.Block.Outline.Bounds().Up(b.Block.Profile[0].A.Y, b.Land)
	for _, c := range b.boxes {
		box.Max.Z = max(box.Max.Z, c.Max.Z)
	}
	return box
}

// Over returns the index of the innermost patch over whose region q lies, or -1 for the plain block.
func (b *Body) Over(q geom.Vec2) int {
	in, _ := b.over(q)
	return in
}

// over returns the innermost patch over whose region q lies and, for a lone feature, its foot.
func (b *Body) over(q geom.Vec2) (in int, foot outline.Foot) {
	in = -1
	for _, k := range b.grid.over(q) { // parents come before their children
		p := b.Patches[k]
		if p.Parent != in || !b.boxes[k].Plan().Holds(q) {
			continue
		}
		if p.Sweep == nil {
			if p.Plan(q) <= 0 {
				in = int(k)
			}
			continue
		}
		if f := p.Sweep.Outline.At(q); f.D <= p.Sweep.reach {
			in, foot = int(k), f
		}
	}
	return in, foot
}

// patch returns the sample of patch in alone, with the foot that over found.
func (b *Body) patch(in int, foot outline.Foot, p geom.Vec3) Sample {
	if s := b.Patches[in].Sweep; s != nil {
		return s.from(foot, p.Z)
	}
	return b.Patches[in].At(p)
}

// At returns the sample of the whole body.
func (b *Body) At(p geom.Vec3) Sample {
	in, foot := b.over(p.Plan())
	var s Sample
	if in < 0 {
		s = b.Block.At(p)
	} else {
		s = b.patch(in, foot, p)
		if u := b.under.At(p); u.D > s.D {
			s = u
		}
	}
	return b.nearer(p, in, s)
}

// Face returns the sample of the forming face alone: the land without end and the patches on it.
func (b *Body) Face(p geom.Vec3) Sample {
	in, foot := b.over(p.Plan())
	var s Sample
	if in < 0 {
		land := b.Block.IDs[len(b.Block.IDs)-1][0]
		s = Sample{p.Z - b.Land, geom.Vec3{Z: 1}, land}
	} else {
		s = b.patch(in, foot, p)
	}
	return b.nearer(p, in, s)
}

// nearer lowers |s.D| to the distance of the patches that p does not lie over. Each is bounded by the
// distance to its box, by that to its region in plan and by its own field, none of which exceeds the
// truth. Its box and its field would not do: both are zero where its level runs on under a neighbour
// whose corner reaches into its box.
func (b *Body) nearer(p geom.Vec3, in int, s Sample) Sample {
	for a := in; a >= 0; a = b.Patches[a].Parent {
		if par := b.Patches[a].Parent; par >= 0 {
			if d := b.Patches[par].Flat(p.Plan()); d < math.Abs(s.D) {
				s = closer(s, b.Patches[par].At(p), d)
			}
		}
	}
	b.grid.near(p.Plan(), math.Abs(s.D), func(i int32) {
		d := b.boxes[i].Dist(p)
		if int(i) == in || d >= math.Abs(s.D) || b.above(int(i), in) {
			return
		}
		if d = max(d, b.Patches[i].Plan(p.Plan())); d < math.Abs(s.D) {
			s = closer(s, b.Patches[i].At(p), d)
		}
	})
	return s
}

// above reports whether patch a is a proper ancestor of patch i.
func (b *Body) above(a, i int) bool {
	for i >= 0 {
		if i = b.Patches[i].Parent; i == a && i >= 0 {
			return true
		}
	}
	return false
}

// closer returns s with its magnitude lowered to that of o, but not below floor.
func closer(s, o Sample, floor float64) Sample {
	d := max(math.Abs(o.D), floor)
	if d >= math.Abs(s.D) {
		return s
	}
	if o.D*s.D > 0 {
		s.G, s.Piece = o.G, o.Piece
	}
	s.D = math.Copysign(d, s.D)
	return s
}
