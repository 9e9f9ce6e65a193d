package stiff

import (
	"cmp"
	"math"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/sdf"
)

// Panel is the widest disc of one level that is flat.
type Panel struct {
	Solid  *body.Solid // whose floor or top it is; nil: the land
	Middle geom.Vec2   // part frame
	Radius float64     // mm
}

// Wall returns the wall of the formed sheet at the panel's middle, mm.
func (p Panel) Wall(b *body.Body, w Walls) float64 {
	_, wall, _ := newCutter(b, w).middle(p.Middle)
	return wall
}

// grain is the spacing at which levels are searched, of their larger size; then the place is climbed.
const grain = 1.0 / 48

// Panels returns the widest flat disc of the land and of every floor and top, the widest first; those below
// least are left out.
func Panels(b *body.Body, least float64) []Panel {
	var out []Panel
	levels := append([]*body.Solid{nil}, b.Solids...)
	for _, s := range levels {
		if s != nil && (s.Use.Fine() || s.Impression > 0 || s.EndSize) {
			continue
		}
		l := levelOf(b, s)
		if box := l.edge.Bounds().Size(); min(box.X, box.Y)/2-l.inset < least {
			continue
		}
		if p := l.widest(); p.Radius >= least {
			p.Solid = s
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(p, q Panel) int { return cmp.Compare(q.Radius, p.Radius) })
	return out
}

// level is a flat of the part: within an outline by inset, off others by what they reach.
type level struct {
	edge  *outline.Outline
	inset float64
	off   []*outline.Outline
	reach []float64
}

func levelOf(b *body.Body, s *body.Solid) level {
	l := level{edge: b.Part.Outline}
	var host *part.Feature
	if s != nil {
		host = s.Feature
		l.edge = s.Feature.Outline
		l.inset = run(s.Wall, s.Feature.EndR)
		if s.Holds == part.AtHost {
			l.inset += s.Height * s.Draft.Tan()
		}
	}
	for _, t := range b.Solids {
		if t.Parent != host || t.Impression > 0 || t.Use.Fine() {
			continue
		}
		r := run(t.Wall, t.Feature.HostR)
		if t.Holds == part.AtEnd {
			r += t.Height * t.Draft.Tan()
		}
		l.off, l.reach = append(l.off, t.Feature.Outline), append(l.reach, r)
	}
	for _, h := range b.Part.Holes {
		if h.Impression == 0 && h.Parent == host {
			l.off, l.reach = append(l.off, h.Outline), append(l.reach, 0)
		}
	}
	return l
}

// run returns the tangent length of a rounding of a drafted wall.
func run(w sdf.Wall, r float64) float64 { return r * ((90*geom.Degree - w.Draft) / 2).Tan() }

// room returns the radius of the disc about a point that is flat.
func (l level) room(p geom.Vec2) float64 {
	r := -l.edge.At(p).D - l.inset
	for i, o := range l.off {
		if r <= 0 {
			return r
		}
		r = min(r, o.At(p).D-l.reach[i])
	}
	return r
}

// widest searches the level.
func (l level) widest() Panel {
	box := l.edge.Bounds()
	size := box.Size()
	step := max(size.X, size.Y) * grain
	best := Panel{}
	for y := box.Min.Y + step/2; y < box.Max.Y; y += step {
		for x := box.Min.X + step/2; x < box.Max.X; x += step {
			p := geom.Vec2{X: x, Y: y}
			if r := l.room(p); r > best.Radius {
				best = Panel{Middle: p, Radius: r}
			}
		}
	}
	for step > 1e-3 {
		moved := false
		for k := range 8 {
			p := best.Middle.Add(geom.Vec2{X: step}.Turn(geom.Angle(k) * math.Pi / 4))
			if r := l.room(p); r > best.Radius+1e-9 {
				best, moved = Panel{Middle: p, Radius: r}, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	return best
}
