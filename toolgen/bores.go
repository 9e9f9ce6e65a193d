package toolgen

import (
	"platen/toolgen/piece"
	"platen/toolgen/shop"
	"platen/toolgen/skin"
)

// bores returns the holes that the job asks to stand in the mesh, with their pieces.
func (r *Result) bores() []skin.Bore {
	if !r.Job.Vents.Flag("modelled") {
		return nil
	}
	field := r.Body.Field
	out := make([]skin.Bore, len(r.Vents.Holes))
	for i, h := range r.Vents.Holes {
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
