package form

import (
	"context"

	"platen/toolgen/geom"
)

// Forces returns the forces on the corners of a formed triangle.
func Forces(flat [3]geom.Vec2, at [3]geom.Vec3, gauge float64, l Law, p float64) [3]geom.Vec3 {
	e := newElement([3]int32{0, 1, 2}, flat[0], flat[1], flat[2], gauge)
	f0, f1, f2 := e.forces(&l, &at[0], &at[1], &at[2], p)
	return [3]geom.Vec3{f0, f1, f2}
}

// Blown returns the sheet at the end of blowing, before the tool comes up.
func Blown(ctx context.Context, set Setup, opt Options) (*Sheet, error) {
	opt = opt.filled(set)
	s := newSim(nil, set, opt)
	defer s.crew.close()
	s.tool = nowhere{}
	for k := range s.tris {
		s.tris[k].listed = true
		s.active = append(s.active, int32(k))
	}
	s.rebuild()
	if err := s.blow(ctx); err != nil {
		return nil, err
	}
	return s.sheet(ctx)
}

// Plugged returns the sheet when the plug is down, before the vacuum.
func Plugged(ctx context.Context, tool Tool, set Setup, opt Options) (*Sheet, error) {
	opt = opt.filled(set)
	s := newSim(tool, set, opt)
	defer s.crew.close()
	s.meet()
	for k := range s.tris {
		s.tris[k].listed = true
		s.active = append(s.active, int32(k))
	}
	s.rebuild()
	if err := s.plunge(ctx); err != nil {
		return nil, err
	}
	return s.sheet(ctx)
}

// nowhere is no tool at all.
type nowhere struct{}

func (nowhere) Distance(geom.Vec3) (float64, geom.Vec3) { return 1e6, geom.Vec3{Z: 1} }

// Wrinkles reports whether a triangle formed from a flat one counts as pressed together.
func Wrinkles(flat [3]geom.Vec2, at [3]geom.Vec3) bool {
	s := &sim{set: Setup{Gauge: 1}, flat: flat[:], at: at[:]}
	return s.wrinkled(&triangle{n: [3]int32{0, 1, 2}})
}
