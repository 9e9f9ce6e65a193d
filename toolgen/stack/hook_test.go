package stack_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/stack"
)

// TestWayDownIsFree lowers parts, undercut ones among them: nothing is in the way at any lift above that
// at which they first touch, and something is just below it.
func TestWayDownIsFree(t *testing.T) {
	const gauge = 0.6
	for name, features := range map[string]string{
		"button":          "  - {kind: snap_button, diameter: 16}\n",
		"deep undercut":   "  - {kind: snap_button, diameter: 24, interference: 1, undercut: 0.8}\n",
		"socket":          "  - {kind: snap_socket, diameter: 16}\n",
		"button, half":    "  - {kind: snap_button, diameter: 16, at: [20, 0]}\n  - {kind: snap_socket, diameter: 16, at: [-20, 0]}\n",
		"lug beside them": "  - {kind: snap_button, diameter: 16, at: [20, 0]}\n  - {kind: stacking_lug, size: [14, 12], height: 12, at: [-20, 0]}\n",
		"cup":             "  - {kind: pocket, size: [50, 40], depth: 15}\n",
	} {
		for _, contact := range []string{"underside", "upper"} {
			p := made(t, header(gauge, 100, 80, contact)+"features:\n"+features, gauge)
			for _, place := range []stack.Place{{}, stack.Half(p)} {
				r, err := stack.Put(context.Background(), p, p, place)
				require.NoError(t, err)
				require.Positive(t, r.Lift)
				for z := r.Lift + 1e-3; z < r.Lift+p.Height()+2; z += 0.23 {
					require.Zero(t, r.Blocked(z), "%s, %s: at a lift of %.2f mm over %.2f mm", name, contact, z, r.Lift)
				}
				require.Positive(t, r.Blocked(r.Lift-0.3), "%s, %s: %.2f mm", name, contact, r.Lift)
			}
		}
	}
}

// TestPressedPast presses a wider button over a narrower one. Its lip, 26/2 - 0.9 mm from the axis, is
// narrower than the other at its widest, 24/2 + 0.4, and wider than its waist, 24/2 - 0.9 + 0.4: they snap.
// Two of the same never do: the waist with its wall is wider than the lip.
func TestPressedPast(t *testing.T) {
	const gauge = 0.4
	button := func(diameter float64) *stack.Part {
		return made(t, header(gauge, 100, 80, "underside")+fmt.Sprintf("features:\n  - {kind: snap_button, diameter: %g, interference: 1, undercut: 0.9, height: 12, lead: 10}\n", diameter), gauge)
	}
	narrow, wide := button(24), button(26)
	r, err := stack.Put(context.Background(), narrow, wide, stack.Place{})
	require.NoError(t, err)
	require.True(t, r.Pressed.Ok)
	require.Less(t, r.Pressed.Lift, r.Lift-1)
	require.GreaterOrEqual(t, r.Pressed.Lift, gauge-1e-6, "land on land at the lowest")
	require.Positive(t, r.Blocked(r.Lift-0.3))
	require.Zero(t, r.Blocked(r.Pressed.Lift+0.01))
	require.Positive(t, r.Blocked(r.Pressed.Lift-0.3))
	for _, same := range []*stack.Part{narrow, made(t, cupped(gauge), gauge)} {
		r, err := stack.Put(context.Background(), same, same, stack.Place{})
		require.NoError(t, err)
		require.False(t, r.Pressed.Ok)
	}
}
