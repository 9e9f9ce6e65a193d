package form_test

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func TestSameForAnyNumberOfWorkers(t *testing.T) {
	tool, block := formtest.Tray()
	s := form.OnPlaten(block, 20)
	s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.1, 0.1), 0.09
	o := form.Options{Mesh: 9, Steps: 100, Raise: 60, Hold: 20}
	o.Workers = 1
	want := formed(t, tool, s, o)
	for _, c := range []struct{ procs, workers int }{{1, 2}, {2, 0}, {3, 0}, {3, 5}} {
		before := runtime.GOMAXPROCS(c.procs)
		o.Workers = c.workers
		got := formed(t, tool, s, o)
		runtime.GOMAXPROCS(before)
		require.True(t, reflect.DeepEqual(want, got), "%d workers on %d processors", c.workers, c.procs)
	}
}

// stopper cancels after a number of calls and counts those that follow.
type stopper struct {
	form.Tool
	stop  context.CancelFunc
	left  atomic.Int64
	after atomic.Int64
}

func (s *stopper) Distance(p geom.Vec3) (float64, geom.Vec3) {
	if n := s.left.Add(-1); n == 0 {
		s.stop()
	} else if n < 0 {
		s.after.Add(1)
	}
	return s.Tool.Distance(p)
}

func TestCancel(t *testing.T) {
	tool, block := formtest.Tray()
	s := form.OnPlaten(block, 20)
	s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.1, 0.1), 0.09
	for _, calls := range []int64{1, 40000, 150000} {
		ctx, cancel := context.WithCancel(t.Context())
		w := &stopper{Tool: tool, stop: cancel}
		w.left.Store(calls)
		_, err := form.Run(ctx, w, s, form.Options{})
		require.ErrorIs(t, err, context.Canceled)
		// A few steps and at most one refinement follow: about 40 ms of work.
		require.Less(t, w.after.Load(), int64(120000), "after %d calls", calls)
		cancel()
	}
}

func TestRefuses(t *testing.T) {
	good := pocketSetup(0.1)
	for want, change := range map[string]func(s *form.Setup, o *form.Options){
		"clamp frame -130.000 x 110.000 mm has no area": func(s *form.Setup, _ *form.Options) { s.Frame.Max.X -= 260 },
		"gauge 0.000 mm is not above 0":                 func(s *form.Setup, _ *form.Options) { s.Gauge = 0 },
		"gauge NaN mm is not above 0":                   func(s *form.Setup, _ *form.Options) { s.Gauge = math.NaN() },
		"pressure -1.0000 MPa is not above 0":           func(s *form.Setup, _ *form.Options) { s.Pressure = -1 },
		"the sheet has no stiffness":                    func(s *form.Setup, _ *form.Options) { s.Law = form.Law{} },
		"platen travel -3.000 mm is below 0":            func(s *form.Setup, _ *form.Options) { s.Travel = -3 },
		"the platen at height 5.000 mm lies above":      func(s *form.Setup, _ *form.Options) { s.Closed, s.Floor = true, 5 },
		"must be finite":                                func(s *form.Setup, _ *form.Options) { s.Start = math.Inf(1) },
		"mesh of 0.010 mm":                              func(_ *form.Setup, o *form.Options) { o.Mesh = 0.01 },
		"must be above 0":                               func(_ *form.Setup, o *form.Options) { o.Alpha = -1 },
	} {
		s, o := good, form.Options{}
		change(&s, &o)
		_, err := form.Run(t.Context(), formtest.Pocket(), s, o)
		require.ErrorContains(t, err, want)
	}
}

func TestRandomTools(t *testing.T) {
	n := 12
	if *long {
		n = 300
	}
	for seed := range n {
		rng := rand.New(rand.NewPCG(uint64(seed), 17))
		tool, s := formtest.Random(rng)
		sh, err := form.Run(t.Context(), tool, s, form.Options{})
		require.NoError(t, err, "seed %d", seed)
		require.InDelta(t, 0, sh.Balance(), 1e-12, "seed %d", seed)
		require.LessOrEqual(t, sh.Steps, 313+3*4000+200, "seed %d", seed) // travel, ramp with its waits, hold
		area := 0.0
		for k := range sh.Triangles {
			area += sh.Area(k)
			require.Greater(t, sh.Triangles[k].Thickness, 0.0, "seed %d", seed)
		}
		require.Less(t, area, 8*sh.Flat, "seed %d", seed)
		for i, x := range sh.Nodes {
			require.True(t, x.At.IsFinite(), "seed %d node %d", seed, i)
			require.LessOrEqual(t, x.Status, form.Webbing)
			switch d, _ := tool.Distance(x.At); x.Status {
			case form.Landed:
				require.LessOrEqual(t, x.Gap, form.Bridge)
				if !x.Off {
					require.InDelta(t, 0, d, form.Bridge+1e-5, "seed %d node %d", seed, i)
				}
			case form.Bridged:
				require.Greater(t, x.Gap, form.Bridge)
				require.GreaterOrEqual(t, d, -1e-5, "seed %d node %d", seed, i)
			}
		}
	}
}
