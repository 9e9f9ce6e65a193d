package toolgen

import (
	"context"

	"platen/toolgen/stiff"
	"platen/toolgen/wall"
)

// lift cuts the part, as formed where a sheet was, for lifting by its ends.
func (r *Result) lift(ctx context.Context) (err error) {
	var w stiff.Walls = stiff.Nominal{Body: r.Body, Walls: wall.Nominal{Gauge: r.Part.Gauge, Over: r.Body.Over()}}
	if r.Formed != nil {
		w = r.Formed
	}
	r.Beam, err = stiff.Lift(ctx, r.Body, w)
	return err
}
