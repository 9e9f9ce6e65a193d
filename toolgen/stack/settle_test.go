package stack_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/stack"
)

// TestSettle holds the plane on which a part settles against all planes through three of the places: the
// lowest over the middle of those that no place stands out of.
func TestSettle(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 7))
	held := 0
	for range 300 {
		n := 3 + rng.IntN(8)
		pts := make([]geom.Vec3, n)
		for i := range pts {
			pts[i] = geom.Vec3{X: 200*rng.Float64() - 100, Y: 160*rng.Float64() - 80, Z: 5 + rng.Float64()}
		}
		got := stack.Settle(pts, geom.Vec2{})
		best := math.Inf(1)
		for i := range pts {
			for j := range i {
				for k := range j {
					u, v := pts[j].Sub(pts[i]), pts[k].Sub(pts[i])
					normal := u.Cross(v)
					if math.Abs(normal.Z) < 1e-6 {
						continue
					}
					high := func(p geom.Vec2) float64 {
						return pts[i].Z - (normal.X*(p.X-pts[i].X)+normal.Y*(p.Y-pts[i].Y))/normal.Z
					}
					over := false
					for _, p := range pts {
						over = over || p.Z > high(p.Plan())+1e-9
					}
					// Between the three: on one side of all of their sides.
					a, b, c := pts[i].Plan(), pts[j].Plan(), pts[k].Plan()
					s, q, r := a.Cross(b), b.Cross(c), c.Cross(a)
					if !over && (s >= 0 && q >= 0 && r >= 0 || s <= 0 && q <= 0 && r <= 0) {
						best = min(best, high(geom.Vec2{}))
					}
				}
			}
		}
		require.Equal(t, !math.IsInf(best, 1), got.Held)
		require.Empty(t, got.Unknown)
		if got.Held {
			held++
			require.InDelta(t, best, got.Lift, 1e-5)
			for _, p := range pts {
				require.LessOrEqual(t, p.Z, got.At(p.Plan())+1e-5)
			}
		}
	}
	require.Greater(t, held, 100)
}

// TestSettleGivesUp takes the steps away that a heap of places needs: what is not found is not told as held.
func TestSettleGivesUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 3))
	pts := make([]geom.Vec3, 60)
	for i := range pts {
		x, y := 200*rng.Float64()-100, 160*rng.Float64()-80
		pts[i] = geom.Vec3{X: x, Y: y, Z: 10 - (x*x+y*y)/1e4}
	}
	got := stack.SettleIn(pts, geom.Vec2{}, 1000)
	require.True(t, got.Held)
	require.Empty(t, got.Unknown)
	got = stack.SettleIn(pts, geom.Vec2{}, 1)
	require.False(t, got.Held)
	require.Contains(t, got.Unknown, "after 1 steps")
	require.Zero(t, got.Slope)
}

// TestSettlesOnUnlikeLugs: three lugs of the same crown carry the land of the half-turned part, one higher
// than the two others, which lie as far from each other as they like across: the plane goes over the same
// place of all crowns, and falls by how much the one is higher over the length between them.
func TestSettlesOnUnlikeLugs(t *testing.T) {
	const gauge, long = 0.8, 160.0
	for _, c := range []struct{ high, low float64 }{{10, 6}, {10, 9.5}, {12, 4}} {
		p := made(t, header(gauge, 200, 160, "underside")+fmt.Sprintf(`features:
  - {kind: stacking_lug, name: high, size: [14, 12], height: %g, draft: 15, crown: 1, root: 1, at: [-80, 0]}
  - {kind: stacking_lug, name: low, size: [14, 12], height: %g, draft: 15, crown: 1, root: 1, repeat: {points: [[80, 55], [80, -55]]}}
`, c.high, c.low), gauge)
		r, err := stack.Put(context.Background(), p, p, stack.Half(p))
		require.NoError(t, err)
		require.InDelta(t, c.high+gauge, r.Lift, 1e-6)
		s := r.Settled
		require.True(t, s.Held, "%+v: %s", c, s.Unknown)
		slope := (c.high - c.low) / long
		require.InEpsilon(t, -slope, s.Slope.X, 0.03, "%+v", c)
		require.InDelta(t, 0, s.Slope.Y, 0.1*slope)
		// The crown is level up to 6.2 mm off its middle, towards which the plane falls.
		require.InDelta(t, c.high+gauge-slope*(80-6.2), s.Lift, slope*3)
		require.InDelta(t, c.high-c.low, s.Sinks, 0.05)
		require.InDelta(t, 80, s.Low.X, 8)
		require.InDelta(t, 55, math.Abs(s.Low.Y), 8)
		b, ok := r.Stand(2).Worst()
		require.True(t, ok)
		require.Positive(t, b.Margin)
		if c.high-c.low > 1.5 {
			require.InDelta(t, 80-6.2, s.Off, 3, "outside the crown that touches first")
		} else {
			require.Zero(t, s.Off)
		}
	}
}

// TestTiltsUntilTheRimHolds: lugs on one side alone carry the part until its rim comes to lie on that of
// the other, a wall's thickness up: it falls by the height of the lugs over the length between.
func TestTiltsUntilTheRimHolds(t *testing.T) {
	const gauge = 0.8
	p := made(t, header(gauge, 200, 160, "underside")+
		"features:\n  - {kind: stacking_lug, size: [14, 12], height: 9, draft: 15, crown: 1, root: 1, repeat: {points: [[80, 55], [80, -30]]}}\n", gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(t, err)
	s := r.Settled
	require.True(t, s.Held, s.Unknown)
	require.InDelta(t, 80-6.2, s.Off, 3)
	require.InEpsilon(t, 9/(80-6.2+100), s.Slope.X, 0.03)
	require.InDelta(t, 9, s.Sinks, 0.05)
	require.GreaterOrEqual(t, s.Looked, 9.0)
}

// TestRoomUnderATiltedPart: over a level floor the room under a level land is that of the plane, least where
// it is lowest.
func TestRoomUnderATiltedPart(t *testing.T) {
	const gauge = 0.8
	p := made(t, header(gauge, 200, 160, "underside")+`features:
  - {kind: pocket, name: cell, size: [40, 24], corner: 6, depth: 3, draft: 8, holds: opening, edge: 1, floor: 1, at: [-40, 30]}
  - {kind: stacking_lug, size: [14, 12], height: 10, draft: 15, crown: 1, root: 1, at: [-80, 0]}
  - {kind: stacking_lug, size: [14, 12], height: 4, draft: 15, crown: 1, root: 1, repeat: {points: [[80, 65], [80, -65]]}}
`, gauge)
	r, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(t, err)
	require.True(t, r.Settled.Held)
	require.Less(t, r.Settled.Slope.X, -0.03)
	rooms, err := r.Rooms(context.Background())
	require.NoError(t, err)
	require.Len(t, rooms, 1)
	at := rooms[0].At
	require.InDelta(t, r.Settled.At(at.Plan())+3-gauge, rooms[0].Free, 1e-6)
	require.InDelta(t, -40+20-3*(8*geom.Degree).Tan()-1, at.X, 3, "at the low end of the floor; places looked at are 3 mm apart")
}
