package toolgen_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/part"
)

// The whole set: go test ./toolgen -run TestWorkloads -workloads -timeout 0; -update writes the
// summaries anew.
var (
	workloads = flag.Bool("workloads", false, "build all workloads, not only the quick ones")
	update    = flag.Bool("update", false, "write the summaries of the workloads that are built")
)

// workloadTol is the tolerance of the summaries, mm.
const workloadTol = 0.1

// slow workloads take more than a second or two each.
var slow = []string{"t96", "t384", "t12t", "t12x", "t12y"}

func isSlow(name string) bool {
	return slices.ContainsFunc(slow, func(s string) bool { return strings.HasPrefix(name, s) })
}

// TestWorkloads builds the workloads: each gives the mesh of its summary or is refused in its words.
func TestWorkloads(t *testing.T) {
	files, err := filepath.Glob("../testdata/workloads/*.yaml")
	require.NoError(t, err)
	require.Greater(t, len(files), 30)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		if isSlow(name) && !*workloads {
			continue // a campaign of its own: -workloads, see .ci/long
		}
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			got := summary(t, string(text))
			golden := filepath.Join("../testdata/workloads/golden", name+".txt")
			if *update {
				require.NoError(t, os.MkdirAll(filepath.Dir(golden), 0o755))
				require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			require.Equal(t, string(want), got)
		})
	}
}

// summary builds a job and says what came of it. Volume and area are rounded to seven digits.
func summary(t *testing.T, text string) string {
	t.Helper()
	o := options()
	o.Tolerance, o.Only = workloadTol, []string{"tool.stl"}
	r, err := toolgen.Build(context.Background(), read(t, text), o)
	var refused *part.BuildError
	if errors.As(err, &refused) {
		require.NotZero(t, refused.Pos.Line)
		return fmt.Sprintf("refused: %v\n", refused)
	}
	require.NoError(t, err)
	m := r.Summary().Tool3D
	require.True(t, m.Closed && m.Manifold && m.Outward)
	require.Zero(t, m.Intersections)
	d := r.Measure.Deviation()
	require.LessOrEqual(t, d, workloadTol+1e-4)
	return fmt.Sprintf("tolerance %g mm\ntriangles %d\nshells %d\nvolume %.6e mm3\narea %.6e mm2\ndeviation below %.0f %% of the tolerance\nreview cleared: %v\n",
		workloadTol, len(r.Mesh.T), len(r.Measure.Audit.Shells), m.Volume, m.Area, 10*math.Ceil(d/workloadTol*10), r.Cleared())
}
