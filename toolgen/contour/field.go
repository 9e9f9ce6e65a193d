package contour

import (
	"math"
	"slices"
	"sync/atomic"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// off marks a vertex that lies on no level plane.
const off int8 = -1

// field is the source with its level planes and, where the source can be pruned, a grid of pruned
// copies. Which copy answers depends on the point alone, so every caller sees the same value.
type field struct {
	Source
	z     []float64         // heights of the level planes, ascending, each once
	level map[piece.ID]int8 // index in z

	prune func(geom.Vec3, float64) sdf.Surveyor
	box   geom.Box3
	size  float64 // of a grid cell, mm
	n     [3]int
	grid  []atomic.Pointer[pruned]
}

type pruned struct{ sdf.Surveyor }

// gridCells bounds the number of cells of the prune grid.
const gridCells = 1 << 18

func newField(s Source, o Options) (*field, error) {
	if err := check(s, o); err != nil {
		return nil, err
	}
	f := &field{Source: s, prune: o.Prune, level: map[piece.ID]int8{}}
	for _, id := range s.Level() {
		f.z = append(f.z, o.Levels[id])
	}
	slices.Sort(f.z)
	f.z = slices.Compact(f.z)
	for _, id := range s.Level() {
		f.level[id] = int8(slices.Index(f.z, o.Levels[id]))
	}
	if f.prune != nil {
		f.box = s.Box()
		f.size = 3
		for {
			d := f.box.Size().Scale(1 / f.size)
			f.n = [3]int{int(d.X) + 1, int(d.Y) + 1, int(d.Z) + 1}
			if f.n[0]*f.n[1]*f.n[2] <= gridCells {
				break
			}
			f.size *= 2
		}
		f.grid = make([]atomic.Pointer[pruned], f.n[0]*f.n[1]*f.n[2])
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
	last int
	near sdf.Surveyor // pruned copy of the grid cell last
}

// at returns the sample at q.
func (p *probe) at(q geom.Vec3) sdf.Sample {
	p.n++
	if p.f.prune == nil {
		return p.f.At(q)
	}
	return p.copyAt(q).At(q)
}

// survey lists what may have surface within rho of c.
func (p *probe) survey(c geom.Vec3, rho float64) sdf.Survey {
	// A copy is valid in a ball of twice the half diagonal of its cell.
	if p.f.prune == nil || rho > p.f.size*math.Sqrt(3)/2 {
		return p.f.Survey(c, rho)
	}
	return p.copyAt(c).Survey(c, rho)
}

func (p *probe) copyAt(q geom.Vec3) sdf.Surveyor {
	f := p.f
	d := q.Sub(f.box.Min).Scale(1 / f.size)
	if !(d.X >= 0 && d.Y >= 0 && d.Z >= 0) {
		return f.Source
	}
	x, y, z := int(d.X), int(d.Y), int(d.Z)
	if x >= f.n[0] || y >= f.n[1] || z >= f.n[2] {
		return f.Source
	}
	i := (x*f.n[1]+y)*f.n[2] + z
	if p.near != nil && i == p.last {
		return p.near
	}
	c := f.grid[i].Load()
	if c == nil {
		// Two workers may both build the copy; either serves.
		mid := f.box.Min.Add(geom.Vec3{X: float64(x) + 0.5, Y: float64(y) + 0.5, Z: float64(z) + 0.5}.Scale(f.size))
		c = &pruned{f.prune(mid, f.size*math.Sqrt(3))}
		f.grid[i].Store(c)
	}
	p.last, p.near = i, c.Surveyor
	return p.near
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
