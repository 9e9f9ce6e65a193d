package stack

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"platen/toolgen/geom"
)

const (
	// spacing is the distance of the places looked at, mm, and mostCells how many there may be on the
	// grid before they are set wider.
	spacing   = 3.0
	mostCells = 24000
	// levels is how many heights of a wall are looked at.
	levels = 9
	// fine is how far apart in height they are on undercut walls, mm: what passes there meets in a narrow band.
	fine = 0.15
)

// sample finds places all over the part: on a grid, along the walls of every feature at several heights,
// and along the trim line.
func (p *Part) sample(ctx context.Context) {
	feet := append(p.grid(ctx), p.sides()...)
	feet = append(feet, p.rim(ctx)...)
	for s := range p.points {
		got := make([]Point, len(feet))
		ok := make([]bool, len(feet))
		each(ctx, len(feet), func(i int) { got[i], ok[i] = p.point(Side(s), feet[i]) })
		for i := range got {
			if ok[i] {
				p.points[s] = append(p.points[s], got[i])
			}
		}
	}
}

// grid returns the face over a grid of the plan.
func (p *Part) grid(ctx context.Context) []geom.Vec3 {
	box := p.trim.Bounds()
	size := box.Size()
	h := max(spacing, math.Sqrt(size.X*size.Y/mostCells))
	nx, ny := int(math.Ceil(size.X/h)), int(math.Ceil(size.Y/h))
	out := make([]geom.Vec3, nx*ny)
	each(ctx, len(out), func(i int) {
		at := box.Min.Add(geom.Vec2{X: size.X * (float64(i%nx) + 0.5) / float64(nx), Y: size.Y * (float64(i/nx) + 0.5) / float64(ny)})
		out[i] = p.column(p.m.Plan(at))
	})
	return out
}

// sides returns points near the walls and roundings of every feature.
func (p *Part) sides() []geom.Vec3 {
	long := 0.0
	for _, s := range p.Body.Solids {
		if s.Impression == 0 {
			long += s.Outline.Length()
		}
	}
	step := max(spacing, long*levels/mostCells)
	var out []geom.Vec3
	for _, s := range p.Body.Solids {
		if s.Impression != 0 {
			continue
		}
		heights := levels
		if s.Wall.Undercut.Depth > 0 {
			heights = max(levels, int(math.Abs(s.Wall.End-s.Wall.Host)/fine))
		}
		for _, e := range s.Outline.Elems {
			n := int(math.Ceil(e.Length() / step))
			for k := range n {
				u := (float64(k) + 0.5) / float64(n)
				foot, normal := e.Point(u), e.Out(u)
				for l := range heights {
					z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*float64(l)/float64(heights-1)
					out = append(out, foot.Add(normal.Scale(s.Wall.D(z))).At(z))
				}
			}
		}
		out = append(out, s.Outline.Disc().Centre.At(s.Wall.End))
	}
	return out
}

// rim returns the face along the trim line.
func (p *Part) rim(ctx context.Context) []geom.Vec3 {
	var plan []geom.Vec2
	for _, e := range p.trim.Elems {
		n := int(math.Ceil(e.Length() / spacing))
		for k := range n {
			plan = append(plan, e.Point(float64(k)/float64(n)))
		}
	}
	out := make([]geom.Vec3, len(plan))
	each(ctx, len(out), func(i int) { out[i] = p.column(p.m.Plan(plan[i])) })
	return out
}

// column returns the face over a place of the tool's plan: from above by the field, which no step
// oversteps, and where a wall is too steep for that, nearby.
func (p *Part) column(at geom.Vec2) geom.Vec3 {
	box := p.field.Box()
	hi, lo := box.Max.Z+1, box.Min.Z-1 // in the air, in the tool
	z := hi
	for range 60 {
		s := p.field.Face(at.At(z))
		if math.Abs(s.D) < 1e-7 {
			break
		}
		if s.D > 0 {
			hi = z
		} else {
			lo = z
		}
		if z -= s.D / max(s.G.Z, 0.05); z <= lo || z >= hi {
			z = (lo + hi) / 2
		}
	}
	return at.At(z)
}

// chunk is how many items one worker takes at a time.
const chunk = 128

// each calls work for every i below n, on all processors; work(i) may write only what belongs to i. It ends
// early when ctx does: who calls it looks at ctx then.
func each(ctx context.Context, n int, work func(i int)) { spread(ctx, n, chunk, work) }

// singly is each for work that takes long.
func singly(ctx context.Context, n int, work func(i int)) { spread(ctx, n, 1, work) }

func spread(ctx context.Context, n, chunk int, work func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n/chunk+1) {
		wg.Go(func() {
			for ctx.Err() == nil {
				hi := int(next.Add(int64(chunk)))
				for i := hi - chunk; i < min(hi, n); i++ {
					work(i)
				}
				if hi >= n {
					return
				}
			}
		})
	}
	wg.Wait()
}
