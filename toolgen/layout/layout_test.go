package layout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/layout"
)

func ask(w, h, a, b, gap float64, turn bool) layout.Ask {
	return layout.Ask{Room: geom.Vec2{X: w, Y: h}, Cell: geom.Vec2{X: a, Y: b}, Gap: gap, Turn: turn}
}

// TestWorkedByHand: counts that can be drawn on squared paper. Those of 23 and 50 fill the room but for
// less than one place.
func TestWorkedByHand(t *testing.T) {
	tests := []struct {
		name       string
		ask        layout.Ask
		grid, want int
	}{
		{"a plain grid", ask(100, 80, 20, 20, 0, true), 20, 20},
		{"with gaps: 4 x 20 + 3 x 5 = 95", ask(99, 45, 20, 20, 5, true), 8, 8},
		{"a gap too much", ask(94.9, 45, 20, 20, 5, true), 6, 6},
		{"fits to the micrometre", ask(95, 45, 20, 20, 5, true), 8, 8},
		{"turned as a whole", ask(40, 60, 30, 20, 0, true), 4, 4}, // 1 x 3 along, 2 x 2 turned
		{"not to be turned", ask(40, 60, 30, 20, 0, false), 3, 3},
		{"a turned row on top: 3 of 4 x 2, and 2 turned rows", ask(8, 6, 4, 2, 0, true), 6, 6},
		{"rows of both: two of 2 lying, one of 3 turned", ask(6, 7, 3, 2, 0, true), 6, 7},
		{"round a hole", ask(10, 10, 6, 4, 0, true), 2, 4},
		{"round a hole, with gaps", ask(11, 11, 6, 4, 1, true), 2, 4},
		{"5 x 3 in 22 x 16", ask(22, 16, 5, 3, 0, true), 21, 23},
		{"5 x 4 in 33 x 31", ask(33, 31, 5, 4, 0, true), 48, 50},
		{"none", ask(5, 5, 6, 1, 0, true), 0, 0},
	}
	for _, tt := range tests {
		p, err := layout.Pack(tt.ask)
		require.NoError(t, err)
		require.Equal(t, tt.grid, p.GridCount(), tt.name)
		require.Equal(t, tt.want, len(p.Places), tt.name)
		sound(t, tt.ask, p)
	}
}

// sound checks that places keep within the room and off each other, and that they are no fewer than the grid.
func sound(t *testing.T, a layout.Ask, p layout.Packing) {
	t.Helper()
	require.GreaterOrEqual(t, len(p.Places), p.GridCount())
	require.LessOrEqual(t, float64(len(p.Places)), (a.Room.X+a.Gap)*(a.Room.Y+a.Gap)/(a.Cell.X+a.Gap)/(a.Cell.Y+a.Gap)+1e-6)
	half := func(q layout.Place) geom.Vec2 {
		if q.Turned {
			return geom.Vec2{X: a.Cell.Y / 2, Y: a.Cell.X / 2}
		}
		return a.Cell.Scale(0.5)
	}
	const slack = 3e-6
	for i, q := range p.Places {
		h := half(q)
		require.False(t, q.Turned && !a.Turn)
		require.LessOrEqual(t, math.Abs(q.Middle.X)+h.X, a.Room.X/2+slack)
		require.LessOrEqual(t, math.Abs(q.Middle.Y)+h.Y, a.Room.Y/2+slack)
		for _, r := range p.Places[:i] {
			d, g := q.Middle.Sub(r.Middle), half(r)
			require.True(t, math.Abs(d.X) >= h.X+g.X+a.Gap-slack || math.Abs(d.Y) >= h.Y+g.Y+a.Gap-slack, "%v and %v", q, r)
		}
	}
}

// TestRandomRooms: sound, never worse than either grid, the same twice, and as many in the room turned over.
func TestRandomRooms(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 21))
	better := 0
	for range 150 {
		a := ask(20+180*rng.Float64(), 20+180*rng.Float64(), 12+30*rng.Float64(), 12+30*rng.Float64(), 8*rng.Float64(), true)
		p, err := layout.Pack(a)
		require.NoError(t, err)
		sound(t, a, p)
		for _, cell := range []geom.Vec2{a.Cell, {X: a.Cell.Y, Y: a.Cell.X}} {
			nx, ny := math.Floor((a.Room.X+a.Gap)/(cell.X+a.Gap)), math.Floor((a.Room.Y+a.Gap)/(cell.Y+a.Gap))
			require.GreaterOrEqual(t, float64(len(p.Places)), nx*ny)
		}
		if len(p.Places) > p.GridCount() {
			better++
		}
		again, err := layout.Pack(a)
		require.NoError(t, err)
		require.Equal(t, p, again)
		over, err := layout.Pack(ask(a.Room.Y, a.Room.X, a.Cell.X, a.Cell.Y, a.Gap, true))
		require.NoError(t, err)
		require.Len(t, over.Places, len(p.Places))
	}
	require.Greater(t, better, 20, "turned rows help often")
}

func TestManyAndRefused(t *testing.T) {
	p, err := layout.Pack(ask(1000, 1000, 9.7, 7.3, 0, true))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(p.Places), 103*136)
	for _, a := range []layout.Ask{ask(0, 10, 1, 1, 0, true), ask(10, 10, 1, math.NaN(), 0, true), ask(10, 10, 1, 1, -1, true), ask(1e4, 1e4, 1, 1, 0, true)} {
		_, err := layout.Pack(a)
		require.Error(t, err)
	}
}

func BenchmarkPack(b *testing.B) {
	for b.Loop() {
		_, err := layout.Pack(ask(584, 384, 61.3, 37.7, 6, true))
		require.NoError(b, err)
	}
}
