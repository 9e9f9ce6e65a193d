package contour

import (
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// off marks a vertex that lies on no level plane.
const off int8 = -1

// field is the source with its level planes and, where the source can be pruned, an atlas of pruned
// copies. Which copy answers depends on the point alone, so every caller sees the same value.
type field struct {
	Source
	z     []float64         // heights of the level planes, ascending, each once
	level map[piece.ID]int8 // index in z
	atlas *sdf.Atlas        // nil: the source answers
}

func newField(s Source, o Options) (*field, error) {
	if err := check(s, o); err != nil {
		return nil, err
	}
	f := &field{Source: s, level: map[piece.ID]int8{}}
	for _, id := range s.Level() {
		f.z = append(f.z, o.Levels[id])
	}
	slices.Sort(f.z)
	f.z = slices.Compact(f.z)
	for _, id := range s.Level() {
		f.level[id] = int8(slices.Index(f.z, o.Levels[id]))
	}
	return f, nil
}

// host returns the level index of the host plane.
func (f *field) host() int8 { return f.level[f.Level()[0]] }

// levelOf returns the level index of a piece, or off.
func (f *field) levelOf(id piece.ID) int8 {
	if k, ok := f.level[id]; ok {
		return k
	}
	return off
}

// probe evaluates a field and counts; it belongs to one worker.
type probe struct {
	f    *field
	n    int64
	find *sdf.Finder
}

func newProbe(f *field) *probe {
	p := &probe{f: f}
	if f.atlas != nil {
		p.find = f.atlas.Finder()
	}
	return p
}

// at returns the sample at q.
func (p *probe) at(q geom.Vec3) sdf.Sample {
	p.n++
	if p.find == nil {
		return p.f.At(q)
	}
	return p.find.Near(q)
}

// near returns the field of an octree cell.
func (f *field) near(c geom.Vec3, side float64) sdf.Surveyor {
	if f.atlas == nil {
		return f.Source
	}
	return f.atlas.Cell(c, side)
}

// project moves q onto the surface along the gradient and returns the sample there.
func (p *probe) project(q geom.Vec3) (geom.Vec3, sdf.Sample) {
	s := p.at(q)
	for i := 0; i < 4 && math.Abs(s.D) > 1e-9; i++ {
		q = q.Sub(s.G.Scale(s.D))
		s = p.at(q)
	}
	return q, s
}

// within reports whether the surface over or under q at level k is the level plane itself.
func (p *probe) within(q geom.Vec2, k int8) bool {
	return p.f.levelOf(p.at(q.At(p.f.z[k])).Piece) == k
}
