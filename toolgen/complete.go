package toolgen

import (
	"fmt"

	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// complete checks that every piece of the visible surface has its triangles: a lost glyph or floor
// passes every check of closedness.
func (r *Result) complete() error {
	have := make([]bool, r.Body.Field.Pieces.Len())
	features := map[string]bool{}
	for _, id := range r.Mesh.P {
		have[id] = true
		features[r.Body.Field.Pieces.At(id).Feature] = true
	}
	missing := func(s *sdf.Sweep) error {
		for _, id := range expected(s) {
			if !have[id] {
				return &AuditError{fmt.Errorf("%s has no triangle", r.Body.Field.Pieces.At(id))}
			}
		}
		return nil
	}
	if err := missing(r.Body.Field.Block); err != nil {
		return err
	}
	for _, p := range r.Body.Field.Patches {
		if p.Sweep != nil {
			if err := missing(p.Sweep); err != nil {
				return err
			}
			continue
		}
		for _, m := range p.Joint.Members {
			if !features[m.Feature] {
				return &AuditError{fmt.Errorf("%s has no triangle", m.Feature)}
			}
		}
	}
	return nil
}

// expected lists the pieces of a sweep that its outline gives a surface.
func expected(s *sdf.Sweep) []piece.ID {
	var kinds [2]bool
	for _, e := range s.Outline.Elems {
		if e.IsArc() {
			kinds[1] = true
		} else {
			kinds[0] = true
		}
	}
	var ids []piece.ID
	for _, pair := range s.IDs {
		for k, id := range pair {
			if kinds[k] || pair[0] == pair[1] {
				ids = append(ids, id)
			}
		}
	}
	return ids
}
