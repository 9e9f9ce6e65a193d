package body

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/sdf"
)

// refuse is the refusal of a feature whose numbers make no geometry.
func (b *Body) refuse(s *Solid, err error) error {
	return &part.BuildError{Pos: s.Pos, Feature: s.ID, Err: err}
}

// higherBy is what a refusal asks for over the height that lacks: the wall of what is higher is thinner, and leaves
// the roundings on the tool larger (by area balance up to 2 %, on a button of 12 mm that lacks 3 mm).
const higherBy = 1.05

// unfit is the refusal of a feature whose roundings do not fit: it stands at the first of the keys that give them
// and names them all with what they say.
func unfit(s *Solid, err error) error {
	names, pos := roundings(s)
	if low := (*sdf.TooLow)(nil); errors.As(err, &low) {
		// The formed face is as much too low as the tool behind the wall.
		asked, keys := s.Feature.Height, []string{"height", "depth"}
		if low.Widest {
			asked, keys = s.Feature.Undercut.Rise, []string{"widest"}
		}
		if key, _ := s.Key(keys...); key != "" {
			err = fmt.Errorf("%w on the tool behind the wall; %s (%.4g mm) at least %.1f mm", err, key, asked, math.Ceil(10*(asked+higherBy*(low.Least-low.Got)))/10)
		}
	}
	if names != "" {
		err = fmt.Errorf("%w; change %s", err, names)
	}
	return &part.BuildError{Pos: pos, Feature: s.ID, Err: err}
}

// roundings returns the keys that give the roundings and the slope of a solid, with their values, and the place of
// the first that the job gives.
func roundings(s *Solid) (string, finding.Pos) {
	host, end := []string{"edge", "root", "lead_in"}, []string{"floor", "crown"}
	if !s.Sunk {
		host, end = []string{"root", "floor"}, []string{"crown", "edge", "lead_in"}
	}
	if s.On > 0 {
		host = append([]string{"ledge"}, host...)
	}
	var said []string
	pos := s.Pos
	for i, k := range []struct {
		names []string
		value float64
		unit  string
	}{{host, s.HostR, "mm"}, {end, s.EndR, "mm"}, {[]string{"corner"}, 0, ""}, {[]string{"draft"}, s.Draft.Degrees(), "deg"}} {
		key, at := s.Key(k.names...)
		if key == "" || i == 2 && !s.Values.Given(key) {
			continue
		}
		if pos == s.Pos && s.Values.Given(key) {
			pos = at
		}
		if i == 2 {
			said = append(said, key)
			continue
		}
		said = append(said, fmt.Sprintf("%s (%.4g %s)", key, k.value, k.unit))
	}
	if n := len(said); n > 1 {
		said = append(said[:n-2], said[n-2]+" or "+said[n-1])
	}
	return strings.Join(said, ", "), pos
}

// named returns the member with an id, the first where none has it.
func (b *Body) named(members []int, id string) *Solid {
	for _, i := range members {
		if b.Solids[i].ID == id {
			return b.Solids[i]
		}
	}
	return b.Solids[members[0]]
}

// close is the refusal of two recesses that can not be rounded together: whether they overlap, and what takes
// them apart.
func (b *Body) close(s, t *Solid, m sdf.Misfit) error {
	open := s.Wall.D(s.Wall.Host) + t.Wall.D(t.Wall.Host)
	between := reach(s) + reach(t)
	if m.What == "web" {
		between = max(between, open+m.Limit)
	}
	if touch(s.Outline, t.Outline, open) {
		x, y := b.overlap(s, t)
		return &part.BuildError{Pos: s.placed(), Feature: s.ID, Err: fmt.Errorf("it and %s overlap, by %.2f mm along X and %.2f mm along Y, and some of their walls run along each other: no rounding fits between them; move one by %s",
			t.ID, x, y, b.away(s, t, between))}
	}
	return unfit(s, fmt.Errorf("%s; move one by %s, or take smaller roundings", m, b.away(s, t, between)))
}

// placed returns where the job says where a solid stands.
func (s *Solid) placed() finding.Pos {
	for _, key := range [...]string{"repeat", "at"} {
		if s.Values != nil && s.Values.Given(key) {
			return s.Values.Pos(key)
		}
	}
	return s.Pos
}

// overlap returns how far the boxes of two outlines overlap, mm on the part.
func (b *Body) overlap(s, t *Solid) (x, y float64) {
	a, c := s.Outline.Bounds(), t.Outline.Bounds()
	x = min(a.Max.X, c.Max.X) - max(a.Min.X, c.Min.X)
	y = min(a.Max.Y, c.Max.Y) - max(a.Min.Y, c.Min.Y)
	return max(0, x/b.Map.Scale.X), max(0, y/b.Map.Scale.Y)
}

// away says how far one of two solids is to be moved for a gap between their outlines, mm on the tool: along
// the axis on which their boxes part first.
func (b *Body) away(s, t *Solid, gap float64) string {
	a, c := s.Outline.Bounds(), t.Outline.Bounds()
	off, sum := a.Centre().Sub(c.Centre()), a.Size().Add(c.Size()).Scale(0.5)
	x, y := (sum.X+gap-math.Abs(off.X))/b.Map.Scale.X, (sum.Y+gap-math.Abs(off.Y))/b.Map.Scale.Y
	by, way := x, "X"
	if y < x {
		by, way = y, "Y"
	}
	return fmt.Sprintf("%.1f mm along %s", math.Ceil(10*by-1e-6)/10, way)
}

// apart is the refusal of a cluster in which a member's arc is a size.
func (b *Body) apart(members []int, i int) error {
	s := b.Solids[i]
	for _, k := range members {
		if t := b.Solids[k]; t.Use == part.Grip {
			return b.refuse(t, fmt.Errorf("a %s can not cross %s: its arc of %.2f mm is a size of the product, which a rounding of both would change; leave it out and nest the %s in the floor of a pocket as wide as product and fingers, or give the %s a smaller depth, so that the product stands out",
				t.Kind, s.ID, s.EndR, s.Kind, s.Kind))
		}
	}
	move := ""
	for _, k := range members {
		t := b.Solids[k]
		if gap := reach(s) + reach(t); k != i && touch(s.Outline, t.Outline, gap) {
			move = ": from " + t.ID + " by " + b.away(s, t, gap)
			break
		}
	}
	return b.refuse(s, fmt.Errorf("its arc of %.2f mm is a size and can not be rounded together with %s, which it meets; move them apart%s, or nest it in the floor of a pocket of its own", s.EndR, b.others(members, i), move))
}

// reach returns how far from its outline a solid, roundings and all, changes its level, mm on the tool.
func reach(s *Solid) float64 {
	p, _ := s.Wall.Profile()
	return p.Reach()
}
