package toolgen_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"maps"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/contour"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
	"platen/toolgen/piece"
)

// A long run: go test ./toolgen -run TestRandomJobs -jobs 2000 -timeout 0 -v; -tol 0.02 as jobs are built
// unless told otherwise.
var (
	jobs = flag.Uint64("jobs", 0, "random jobs that a test makes; 0 takes its usual few")
	from = flag.Uint64("from", 0, "seed of the first")
	rtol = flag.Float64("tol", 0.1, "their tolerance, mm")
)

// jobsOr returns how many random jobs to make, usual unless the flag asks for another number.
func jobsOr(usual uint64) uint64 {
	if *jobs > 0 {
		return *jobs
	}
	return usual
}

// Numbers of random jobs from which the share that is built, and the shares of kinds and roles, are held
// to their limits.
const (
	slice    = 100
	campaign = 1000
)

// TestRandomJobs meshes random jobs: each is closed, crosses itself nowhere and keeps the tolerance (at 91
// points of every triangle of a cluster, by their bound on strips), or is refused at its place.
func TestRandomJobs(t *testing.T) {
	all := make([]outcome, jobsOr(12))
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				all[i] = random(*from + uint64(i))
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	wg.Wait()
	made := tally(t, all)
	for _, o := range all {
		require.NoError(t, o.failed, "seed %d", o.seed)
	}
	if len(all) < slice {
		return
	}
	require.GreaterOrEqual(t, 5*made["job"], 4*len(all), "jobs that were built")
	least := 1
	if len(all) >= campaign {
		least = len(all) / 20
	}
	for _, k := range jobtest.Kinds() {
		require.GreaterOrEqual(t, made["kind "+k], least, k)
	}
	for r := piece.Land; r < piece.Bolt; r++ {
		require.GreaterOrEqual(t, made["role "+r.String()], least, r)
	}
}

// outcome is what came of a random job.
type outcome struct {
	seed    uint64
	refused string          // why, without its figures
	failed  error           // our fault
	holds   map[string]bool // of a job that was built: kinds of features, roles of the surface
	tris    int
	dev     float64 // mm
}

// random builds a job and holds its mesh to what is promised.
func random(seed uint64) (out outcome) {
	out.seed = seed
	text := jobtest.Random(seed)
	j, err := parse(text)
	if err != nil {
		out.failed = err
		return out
	}
	o := options()
	o.Tolerance, o.Only = *rtol, []string{"tool.stl"}
	r, err := toolgen.Build(context.Background(), j, o)
	var refused *part.BuildError
	var given *contour.Unresolved // up: it was accepted, and should be meshed
	switch {
	case errors.As(err, &given):
		out.failed = err
		return out
	case errors.As(err, &refused) && refused.Pos.Line > 0:
		out.refused = reason(refused)
		return out
	case err != nil:
		out.failed = err
		return out
	}
	m := r.Summary().Tool3D
	if !m.Closed || !m.Manifold || !m.Outward || m.Intersections != 0 || !(m.Volume > 0) {
		out.failed = fmt.Errorf("the mesh is not sound: %+v", m)
		return out
	}
	out.tris, out.dev = len(r.Mesh.T), r.Measure.Deviation()
	if !(out.dev <= *rtol) {
		out.failed = fmt.Errorf("the mesh deviates by %.5f mm", out.dev)
		return out
	}
	out.holds = map[string]bool{"job": true}
	for _, k := range kindOf.FindAllStringSubmatch(text, -1) {
		out.holds["kind "+k[1]] = true
	}
	for _, id := range r.Mesh.P {
		out.holds["role "+r.Body.Field.Pieces.At(id).Role.String()] = true
	}
	return out
}

var (
	kindOf  = regexp.MustCompile(`(?m)^ *- kind: (\w+)`)
	figures = regexp.MustCompile(`-?[0-9][0-9.]*|I#[^ ]*|\([^)]*\)`)
)

// reason returns why a job was refused, figures and names left out.
func reason(e *part.BuildError) string {
	text, _, _ := strings.Cut(e.Err.Error(), "\n")
	text = figures.ReplaceAllString(figures.ReplaceAllString(text, "#"), "#")
	return text[:min(len(text), 110)]
}

// tally prints what came of the jobs and returns how many of those that were built hold each thing.
func tally(t *testing.T, all []outcome) map[string]int {
	made, refused, failed, tris, dev := map[string]int{}, map[string]int{}, 0, 0, 0.0
	var s strings.Builder
	for _, o := range all {
		switch {
		case o.failed != nil:
			failed++
			fmt.Fprintf(&s, "FAILED seed %d: %v\n", o.seed, o.failed)
		case o.refused != "":
			refused[o.refused]++
		}
		for k := range o.holds {
			made[k]++
		}
		tris, dev = tris+o.tris, max(dev, o.dev)
	}
	fmt.Fprintf(&s, "%d jobs at %g mm: %d built, %d refused, %d failed; %d triangles, at most %.5f mm off\n",
		len(all), *rtol, made["job"], len(all)-made["job"]-failed, failed, tris, dev)
	for _, r := range slices.Sorted(maps.Keys(refused)) {
		fmt.Fprintf(&s, "%5d refused: %s\n", refused[r], r)
	}
	for _, k := range slices.Sorted(maps.Keys(made)) {
		fmt.Fprintf(&s, "%5d %s\n", made[k], k)
	}
	t.Log("\n" + s.String())
	return made
}
