package toolgen

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"platen/toolgen/body"
	"platen/toolgen/contour"
	"platen/toolgen/geom"
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

// unresolved blames features that meet for the place where their mesh can not be made. Where the field
// jumps there, that is the reason: the ball of a rounding has two places to rest and does not fit.
func (r *Result) unresolved(err error) error {
	var u *contour.Unresolved
	if !errors.As(err, &u) {
		return fmt.Errorf("mesh: %w", err)
	}
	patch := r.Body.Field.Over(u.At.Plan())
	var near *body.Solid
	least := math.Inf(1)
	for _, s := range r.Body.Solids {
		if d := math.Abs(s.Outline.At(u.At.Plan()).D); s.Patch == patch && d < least {
			near, least = s, d
		}
	}
	if near == nil {
		return fmt.Errorf("mesh: %w", err)
	}
	at := r.Body.Back(u.At)
	place := fmt.Sprintf("it meets others near part x %.2f, y %.2f, z %.2f", at.X, at.Y, at.Z)
	const fix = "move the features apart or turn them, or take smaller roundings there"
	if j := r.Body.Field.Patches[patch].Joint; j != nil {
		if jump := twoRests(j, u.At); jump > mostJump {
			return &part.BuildError{Pos: near.Pos, Feature: near.ID,
				Err: fmt.Errorf("%s, where the ball of a rounding does not fit: it has two places to rest, and the surface is %.3f mm higher by one than by the other; %s", place, jump, fix)}
		}
	}
	return &part.BuildError{Pos: near.Pos, Feature: near.ID, Err: fmt.Errorf("%s, where its roundings give no sound mesh: %w; %s", place, u, fix)}
}

const (
	mostJump  = 0.001 // mm by which two answers at one place may differ
	jumpBall  = 0.5   // mm round the place that is looked at
	jumpPairs = 500   // samples
)

// twoRests returns the largest difference near a place between what searches for the resting ball find that
// start elsewhere: at the point itself, and where it rests for a point nearby.
func twoRests(j *sdf.Joint, at geom.Vec3) float64 {
	rng := rand.New(rand.NewPCG(1, 2))
	some := func(size float64) geom.Vec3 {
		return geom.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit().Scale(size * rng.Float64())
	}
	most := 0.0
	for range jumpPairs {
		q := at.Add(some(jumpBall))
		if d := j.At(q).D; math.Abs(d) < sdf.LeastRaisedBall {
			most = max(most, math.Abs(j.Prune(q.Add(some(jumpBall/2)), jumpBall).At(q).D-d))
		}
	}
	return most
}
