package toolgen_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
)

// A long run: go test ./toolgen -run TestRandomJobs -jobs 500 -from 1000 -timeout 0.
var (
	jobs = flag.Int("jobs", 20, "random jobs that TestRandomJobs meshes")
	from = flag.Uint64("from", 0, "seed of the first")
)

// TestRandomJobs meshes random jobs: each passes its audit or is refused at its place.
func TestRandomJobs(t *testing.T) {
	made := 0
	for seed := *from; seed < *from+uint64(*jobs); seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			o := options()
			o.Tolerance, o.Only = 0.1, []string{"tool.stl"}
			j := read(t, jobtest.Random(seed))
			r, err := toolgen.Build(context.Background(), j, o)
			if err != nil {
				var refused *part.BuildError
				require.True(t, errors.As(err, &refused), "%v", err)
				require.NotZero(t, refused.Pos.Line)
				return
			}
			made++
			m := r.Summary().Tool3D
			require.True(t, m.Closed && m.Manifold && m.Outward)
			require.Zero(t, m.Intersections)
			require.Greater(t, m.Volume, 0.0)
		})
	}
	if *jobs >= 20 {
		require.GreaterOrEqual(t, 5*made, 3**jobs, "jobs that were made")
	}
}
