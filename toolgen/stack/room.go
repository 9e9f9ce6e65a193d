package stack

import (
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
	Known   bool      // the walls there are known
}

// Rooms returns the room over the floor of every sunk feature of the lower part that takes a product, or
// of all sunk ones where none is said to take any, in the order of the job.
func (r *Rest) Rooms() []Room {
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
	low, high := r.Lower.low, r.Upper.high
	for _, of := range [...]Side{Upper, Under} {
		pts := r.Lower.points[Upper]
		if of == Under {
			pts = r.Upper.points[Under]
		}
		into := make([]int, len(pts))
		free := make([]float64, len(pts))
		each(len(pts), func(i int) {
			into[i] = -1
			at := r.Lower.field.Pieces.At(pts[i].Piece)
			if of == Upper && at.Role != piece.Floor {
				return
			}
			if of == Under && !r.over(pts[i].At) {
				return
			}
			lift, hit := pr.lift(of, pts[i].At, low-high-1)
			if !hit {
				return
			}
			if of == Under {
				x := r.Place.Plan(pts[i].At.Plan()).At(pts[i].At.Z + lift)
				at = r.Lower.field.Pieces.At(r.Lower.field.Face(r.Lower.m.Point(x)).Piece)
			}
			if k, ok := index[at.Feature]; ok && at.Role == piece.Floor {
				into[i], free[i] = k, r.Lift-lift
			}
		})
		for i, k := range into {
			if k >= 0 && free[i] < out[k].Free {
				at := pr.world(of, pts[i].At, r.Lift)
				if of == Under {
					at.Z -= free[i]
				}
				out[k].Free, out[k].At, out[k].Known = free[i], at, pts[i].Known
			}
		}
	}
	return out
}

// over reports whether a place of the upper part lies over the box of a sunk feature of the lower part.
func (r *Rest) over(x geom.Vec3) bool {
	at := r.Place.Plan(x.Plan())
	for _, f := range r.Lower.Body.Part.Features {
		if f.Impression == 0 && f.Sunk && f.Outline.Bounds().Holds(at) {
			return true
		}
	}
	return false
}
