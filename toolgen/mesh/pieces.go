package mesh

import (
	"cmp"
	"slices"

	"platen/toolgen/piece"
)

// Share is what one piece of the surface has of the mesh.
type Share struct {
	Piece     piece.ID
	Triangles int
	Area      float64 // mm2
}

// Pieces returns the share of each piece that has triangles, in order of their IDs. Triangles of a
// mesh without pieces count under piece.None.
func (m *Mesh) Pieces() []Share {
	at := map[piece.ID]int{}
	var shares []Share
	var areas []total
	for t := range m.T {
		id := m.pieceOf(t)
		i, ok := at[id]
		if !ok {
			i = len(shares)
			at[id] = i
			shares, areas = append(shares, Share{Piece: id}), append(areas, total{})
		}
		shares[i].Triangles++
		areas[i].add(m.spin(t).Norm())
	}
	for i := range shares {
		shares[i].Area = areas[i].value() / 2
	}
	slices.SortFunc(shares, func(a, b Share) int { return cmp.Compare(a.Piece, b.Piece) })
	return shares
}

// pieceOf returns the piece of triangle t, piece.None if the mesh has no pieces.
func (m *Mesh) pieceOf(t int) piece.ID {
	if len(m.P) == 0 {
		return piece.None
	}
	return m.P[t]
}
