package toolgen

import (
	"context"
	"errors"
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/contour"
	"platen/toolgen/mesh"
	"platen/toolgen/part"
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

// unresolved blames features that meet for the place where their mesh can not be made.
func (r *Result) unresolved(err error) error {
	var u *contour.Unresolved
	if !errors.As(err, &u) {
		return fmt.Errorf("mesh: %w", err)
	}
	patch := r.Body.Field.Over(u.At.Plan())
	var near *body.Solid
	least := math.Inf(1)
	for _, s := range r.Body.Solids {
		if d := math.Abs(s.Outline.At(u.At.Plan()).D); (s.Patch == patch || patch < 0) && d < least {
			near, least = s, d
		}
	}
	if near == nil {
		return fmt.Errorf("mesh: %w", err)
	}
	at := r.Body.Back(u.At)
	return &part.BuildError{Pos: near.Pos, Feature: near.ID, Err: fmt.Errorf("where it meets others near part x %.2f, y %.2f its roundings give no sound mesh: %w; move the features apart, or take smaller roundings there", at.X, at.Y, u)}
}
