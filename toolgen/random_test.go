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
	jobs = flag.Uint64("jobs", 0, "random jobs that a test makes; 0 takes its usual few")
	from = flag.Uint64("from", 0, "seed of the first")
)

// jobsOr returns how many random jobs to make, usual unless the flag asks for another number.
func jobsOr(usual uint64) uint64 {
	if *jobs > 0 {
		return *jobs
	}
	return usual
}

// TestRandomJobs meshes random jobs: each passes its audit or is refused at its place.
func TestRandomJobs(t *testing.T) {
	n, made := jobsOr(20), 0
	for seed := *from; seed < *from+n; seed++ {
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
	if n >= 20 {
		require.GreaterOrEqual(t, 5*made, int(3*n), "jobs that were made")
	}
}
