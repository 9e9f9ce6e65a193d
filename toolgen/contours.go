package toolgen

import (
	"context"

	"platen/toolgen/contour"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// contours returns how clusters are meshed at a tolerance; what each came to is added to the list.
func contours(tol, maxEdge float64, list *[]contour.Report) func(context.Context, int, *sdf.Joint, map[piece.ID]float64) (*mesh.Mesh, error) {
	return func(ctx context.Context, _ int, j *sdf.Joint, levels map[piece.ID]float64) (*mesh.Mesh, error) {
		m, rep, err := contour.Surface(ctx, j, contour.Options{
			Tol: tol - 2*quantumSlack, MaxEdge: maxEdge, Levels: levels, // vertices are rounded to the grid afterwards
			Prune: j,
		})
		*list = append(*list, rep)
		return m, err
	}
}
