package toolgen

import (
	"fmt"
	"math"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/shop"
	"platen/toolgen/skin"
	"platen/toolgen/vent"
)

const (
	// boredTol is the coarsest tolerance of a mesh with holes in it, mm: a hole keeps 0.05 mm of flat
	// round its mouth, and the end of that flat may stray by the tolerance.
	boredTol = 0.04
	// mouthFlat is the flat that a modelled hole needs round its mouth, mm.
	mouthFlat = boredTol + 2*quantumSlack
	// mouthSides is the number of directions in which it is sought.
	mouthSides = 48
)

// level reports whether the mouth of a hole and the flat round it lie on one level of the face.
func (r *Result) level(h *vent.Hole) bool {
	for k := range mouthSides {
		q := geom.Vec2{X: h.Dia/2 + mouthFlat}.Turn(geom.Angle(k) * 360 * geom.Degree / mouthSides)
		s := r.Body.Field.Face(h.At.Plan().Add(q).At(h.At.Z))
		if r.Body.Field.Pieces.At(s.Piece).Shape != piece.Plane || math.Abs(s.D) > 1e-6 {
			return false
		}
	}
	return true
}

// modelled returns the holes that the job asks to stand in the mesh and that can.
func (r *Result) modelled() (in, out []vent.Hole) {
	if !r.Job.Vents.Flag("modelled") {
		return nil, nil
	}
	for _, h := range r.Vents.Holes {
		if r.level(&h) {
			in = append(in, h)
		} else {
			out = append(out, h)
		}
	}
	return in, out
}

// unmodelled notes the holes that are drilled but do not stand in the mesh.
func (r *Result) unmodelled() {
	_, out := r.modelled()
	for _, h := range out {
		at := h.At
		r.Findings = append(r.Findings, finding.Finding{
			ID: "vent.not-modelled", Severity: finding.Note, Feature: h.Feature, Pos: r.Job.Vents.Pos("modelled"), At: &at,
			Got: h.Dia, Limit: h.Dia, Unit: "mm", Source: "derived: a hole in the mesh starts on a level",
			Text: fmt.Sprintf("hole %s of %.2f mm starts on a rounding, with no level all round its mouth, so it does not stand in the mesh; it is in the drill list", h.ID, h.Dia),
			Fix:  "drill it by the list; a wider floor lets it stand in the mesh",
		})
	}
}

// bores returns the holes that the job asks to stand in the mesh, with their pieces.
func (r *Result) bores() []skin.Bore {
	field := r.Body.Field
	holes, _ := r.modelled()
	out := make([]skin.Bore, len(holes))
	for i, h := range holes {
		id := field.Pieces.Add(
			piece.Piece{Feature: h.ID, Role: piece.Vent, Shape: piece.Cylinder, Radius: h.Dia / 2},
			piece.Piece{Feature: h.ID, Role: piece.BackDrill, Shape: piece.Cylinder, Radius: h.BackDia / 2})
		out[i] = skin.Bore{
			At: h.At, R: h.Dia / 2, BackR: h.BackDia / 2,
			Full: r.Body.Bottom() + h.BackDepth, Tip: shop.Tip(h.BackDia, shop.PointStandard),
			Mouth: field.Face(h.At).Piece, Vent: id, Back: id + 1,
		}
	}
	return out
}
