package stack

import (
	"context"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Blocked returns how many of the places looked at lie within the other part's sheet by more than a
// hundredth of a millimetre when the upper part is lifted by z.
func (r *Rest) Blocked(z float64) int {
	pr := &pair{r.Lower, r.Upper, r.Place}
	n := 0
	for _, of := range [...]Side{Upper, Under} {
		pts := r.Lower.points[Upper]
		if of == Under {
			pts = r.Upper.points[Under]
		}
		for i := range pts {
			if g, _, ok := pr.gap(of, pts[i].At, z); ok && g < -0.01 {
				n++
			}
		}
	}
	return n
}

// Settle lays a part on places whose heights are the lifts at which they touch.
func Settle(pts []geom.Vec3, c geom.Vec2) Settled { return settle(laid(pts), c) }

// SettleIn is Settle in so many steps.
func SettleIn(pts []geom.Vec3, c geom.Vec2, steps int) Settled { return settleIn(laid(pts), c, steps) }

func laid(pts []geom.Vec3) []candidate {
	list := make([]candidate, len(pts))
	for i, p := range pts {
		list[i] = candidate{Touch{At: p}, p.Z}
	}
	return list
}

// Across is across.
func Across(n geom.Vec3) geom.Vec2 { return across(n) }

// WallsMet returns from how many groups of places on walls the survey starts, on the side of the lower part
// and on that of the upper one.
func (r *Rest) WallsMet(ctx context.Context) (n [2]int, err error) {
	groups, err := (&pair{r.Lower, r.Upper, r.Place}).survey(ctx)
	for _, g := range groups {
		if g.who.Role == piece.Wall {
			n[g.of]++
		}
	}
	return n, err
}
