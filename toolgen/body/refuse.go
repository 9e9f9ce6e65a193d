package body

import (
	"fmt"
	"strings"

	"platen/toolgen/finding"
	"platen/toolgen/part"
)

// refuse is the refusal of a feature whose numbers make no geometry.
func (b *Body) refuse(s *Solid, err error) error {
	return &part.BuildError{Pos: s.Pos, Feature: s.ID, Err: err}
}

// unfit is the refusal of a feature whose roundings do not fit: it stands at the first of the keys that give them
// and names them all with what they say.
func unfit(s *Solid, err error) error {
	names, pos := roundings(s)
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

// apart is the refusal of a cluster in which a member's arc is a size.
func (b *Body) apart(members []int, i int) error {
	s := b.Solids[i]
	for _, k := range members {
		if t := b.Solids[k]; t.Use == part.Grip {
			return b.refuse(t, fmt.Errorf("a %s can not cross %s: its arc of %.2f mm is a size of the product, which a rounding of both would change; leave it out and nest the %s in the floor of a pocket as wide as product and fingers, or give the %s a smaller depth, so that the product stands out",
				t.Kind, s.ID, s.EndR, s.Kind, s.Kind))
		}
	}
	return b.refuse(s, fmt.Errorf("its arc of %.2f mm is a size and can not be rounded together with %s, which it meets; move them apart, or nest it in the floor of a pocket of its own", s.EndR, b.others(members, i)))
}
