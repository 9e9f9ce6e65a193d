package part_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/part"
)

// TestSolidsStack puts solids of a feature on each other, at two places, with a feature nested in them.
func TestSolidsStack(t *testing.T) {
	p, err := resolve(t, "{rect: [300, 200]}", `  - kind: stack
    name: tower
    heights: [3, 4, 5]
    repeat: {points: [[0, 0], [50, 0]]}
    features: [{kind: plug, outline: {circle: 2}}]
`, nil, stack)
	require.NoError(t, err)
	want := []struct {
		id        string
		host, end float64
		parent    int // in the list of the place; -1 the land
	}{{"a", 0, 3, -1}, {"b", 3, 7, 0}, {"c", 0, 5, -1}, {"plug-1", 7, 2, 1}}
	require.Len(t, p.Features, 2*len(want))
	for i, f := range p.Features {
		w, first := want[i%4], i/4*4
		require.Equal(t, []string{"I1/tower/P1/", "I1/tower/P2/"}[i/4]+w.id, f.ID)
		require.InDelta(t, w.host, f.ZHost, 1e-12)
		require.InDelta(t, w.end, f.ZEnd, 1e-12)
		require.InDelta(t, 50*float64(i/4), f.Outline.Bounds().Centre().X, 1e-9)
		if w.parent < 0 {
			require.Nil(t, f.Parent)
			continue
		}
		require.Same(t, p.Features[first+w.parent], f.Parent)
	}
}

// TestBlamedEntry refuses at the entry of a list.
func TestBlamedEntry(t *testing.T) {
	_, err := resolve(t, "{rect: [300, 200]}", "  - {kind: stack, heights: [3, 4]}\n", nil, stack)
	var bad *part.BuildError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "j.yaml:7:32", bad.Pos.String())
	require.EqualError(t, bad.Err, "three are wanted")
}
