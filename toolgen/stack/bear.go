package stack

import (
	"context"
	"math"

	"platen/toolgen/geom"
)

// Bearing is what presses on what carries, at the foot of a stack.
type Bearing struct {
	Force    float64 // of all that stands on the lowest part, loads and own masses, N; 0 where no load is told
	Area     float64 // in plan, of the places within Give of touching, mm2
	Tight    float64 // in plan, of the places within Touching of touching, mm2
	Pressure float64 // mean over Area, MPa: no less; 0 where no load is told or nothing carries level
	Most     float64 // mean over Tight, MPa: no mean over what carries is more; 0 where Pressure or Tight is
	Places   []Pad
}

// Pad is one feature of the lower part that carries.
type Pad struct {
	Feature string
	Area    float64 // in plan, within Give of touching, mm2
	Tight   float64 // in plan, within Touching, mm2
}

// Touching is how near in height places are that truly touch, mm. Common practice, no source.
const Touching = 0.01

const (
	// gravity is the standard fall, m/s2. SOURCE: ISO 80000-3.
	gravity = 9.80665
	// bearCell is the grid on which the area that carries is counted, mm.
	bearCell = 0.5
)

// Bear returns how a stack bears on its lowest part, every part with the same load and the same mass of its
// own. The parts are rigid: pressed on, they give way until an area between Tight and Area carries.
//
// ERROR: the context's error.
func (r *Rest) Bear(ctx context.Context, a Asked) (Bearing, error) {
	var out Bearing
	if a.Layers > 1 && a.Load > 0 {
		out.Force = float64(a.Layers-1) * (a.Load + a.Own) * 1e-3 * gravity
	}
	boxes := map[string]geom.Box2{}
	var names []string
	for _, t := range r.Touch {
		if t.Slope < Locks {
			continue
		}
		name := r.Lower.field.Pieces.At(r.Lower.field.Face(r.Lower.m.Point(t.At)).Piece).Feature
		b, ok := boxes[name]
		if !ok {
			b = geom.EmptyBox2()
			names = append(names, name)
		}
		boxes[name] = b.Hold(t.At.Plan())
	}
	for _, name := range names {
		box := boxes[name].Grow(spacing)
		p := Pad{name, r.area(ctx, name, box, Give), r.area(ctx, name, box, Touching)}
		out.Places = append(out.Places, p)
		out.Area += p.Area
		out.Tight += p.Tight
	}
	if out.Area > 0 {
		out.Pressure = out.Force / out.Area
	}
	if out.Tight > 0 {
		out.Most = out.Force / out.Tight
	}
	return out, ctx.Err()
}

// area returns the plan area of a feature of the lower part, within a box, that touches or is within so
// many mm of it in height.
func (r *Rest) area(ctx context.Context, feature string, box geom.Box2, within float64) float64 {
	size := box.Size()
	h := max(bearCell, math.Sqrt(size.X*size.Y/mostCells))
	nx, ny := int(math.Ceil(size.X/h)), int(math.Ceil(size.Y/h))
	hit := make([]bool, nx*ny)
	pr := &pair{r.Lower, r.Upper, r.Place}
	// Places are taken on a contact side: they lie right over their feet.
	of, own := Upper, r.Lower
	if own.free(Upper) {
		of, own = Under, r.Upper
	}
	each(ctx, len(hit), func(i int) {
		at := box.Min.Add(geom.Vec2{X: size.X * (float64(i%nx) + 0.5) / float64(nx), Y: size.Y * (float64(i/nx) + 0.5) / float64(ny)})
		lift := r.Settled.At(at) - within
		if of == Under {
			at = r.Place.back(at)
		}
		pt, ok := own.point(of, own.column(own.m.Plan(at)))
		if !ok || math.Abs(pt.Out.Z) < Locks.Sin() {
			return
		}
		x := r.Lower.m.Point(pr.world(of, pt.At, lift))
		if r.Lower.field.Pieces.At(r.Lower.field.Face(x).Piece).Feature == feature {
			g, _, in := pr.gap(of, pt.At, lift)
			hit[i] = in && g < 0
		}
	})
	n := 0
	for _, h := range hit {
		if h {
			n++
		}
	}
	return float64(n) * size.X * size.Y / float64(nx*ny)
}
