package stack

import (
	"context"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/part"
	"platen/toolgen/piece"
)

// Room is what is left over a pocket's floor.
type Room struct {
	Feature *part.Feature
	Free    float64   // least height between the floor and what is above it, mm
	At      geom.Vec3 // on the floor, lower part's frame
}

// Rooms returns the room over the floor of every sunk feature of the lower part that takes a product, or
// of all sunk ones where none is said to take any, in the order of the job: under the upper part as it
// lies settled.
//
// ERROR: the context's error.
func (r *Rest) Rooms(ctx context.Context) ([]Room, error) {
	var out []Room
	index := map[string]int{}
	for _, want := range [...]func(part.Use) bool{
		func(u part.Use) bool { return u == part.Product },
		func(u part.Use) bool { return !u.Fine() },
	} {
		for _, f := range r.Lower.Body.Part.Features {
			if f.Impression == 0 && f.Sunk && want(f.Use) {
				index[f.ID] = len(out)
				out = append(out, Room{Feature: f, Free: math.Inf(1)})
			}
		}
		if len(out) > 0 {
			break
		}
	}
	pr := &pair{r.Lower, r.Upper, r.Place}
	lowest := r.Lower.low - r.Upper.high - 1
	for _, of := range [...]Side{Upper, Under} {
		pts := r.Lower.points[Upper]
		if of == Under {
			pts = r.Upper.points[Under]
		}
		for i := range pts {
			if i%1024 == 0 && ctx.Err() != nil {
				return nil, ctx.Err()
			}
			at := r.Lower.field.Pieces.At(pts[i].Piece)
			if of == Upper && at.Role != piece.Floor {
				continue
			}
			k, ok := index[at.Feature]
			if of == Under {
				k, ok = r.over(out, pts[i].At)
			}
			if !ok {
				continue
			}
			over := r.Settled.At(pr.world(of, pts[i].At, 0).Plan())
			lift, hit := pr.lift(of, pts[i].At, max(lowest, over-out[k].Free))
			if !hit {
				continue
			}
			x := pr.world(of, pts[i].At, lift) // where it would touch: on the floor
			if of == Under {
				at = r.Lower.field.Pieces.At(r.Lower.field.Face(r.Lower.m.Point(x)).Piece)
			}
			if at.Feature == out[k].Feature.ID && at.Role == piece.Floor {
				out[k].Free, out[k].At = over-lift, x
			}
		}
	}
	return out, ctx.Err()
}

// over returns the room in whose feature's box a place of the upper part lies.
func (r *Rest) over(rooms []Room, x geom.Vec3) (int, bool) {
	at := r.Place.Plan(x.Plan())
	for k := range rooms {
		if rooms[k].Feature.Outline.Bounds().Holds(at) {
			return k, true
		}
	}
	return 0, false
}
