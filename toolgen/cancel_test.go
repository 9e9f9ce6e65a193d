//go:build unix && !race

package toolgen_test

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
)

// The time of the processors is measured here, which does not depend on what else the machine does; the
// race detector would multiply it.

// work returns the processor time of this program so far.
func work() time.Duration {
	var u syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &u)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// watched is a context that notes the work between looks at it, by stage, and can be cancelled at a look.
type watched struct {
	context.Context
	mu        sync.Mutex
	stage     string
	last      time.Duration
	most      map[string]time.Duration
	stop      string // stage to cancel in
	after     int    // looks that are let pass there
	cancelled time.Duration
}

func watch() *watched {
	return &watched{Context: context.Background(), most: map[string]time.Duration{}, last: work()}
}

// Err is the look of the work at its context.
func (w *watched) Err() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.look()
	if w.stop != "" && w.stage == w.stop && w.cancelled == 0 {
		if w.after--; w.after < 0 {
			w.cancelled = w.last
		}
	}
	if w.cancelled > 0 {
		return context.Canceled
	}
	return nil
}

func (w *watched) look() {
	now := work()
	w.most[w.stage] = max(w.most[w.stage], now-w.last)
	w.last = now
}

// enter is told that a stage begins.
func (w *watched) enter(stage string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.look()
	w.stage = stage
}

// make builds the formed part of a job, no stack of it.
func (w *watched) make(t *testing.T, text string) error {
	o := options()
	o.NoSheet, o.NoStack, o.Only, o.Observe = false, true, []string{"part.stl"}, w.enter
	_, err := toolgen.Build(w, read(t, text), o)
	w.enter("")
	return err
}

// sheetStages are the stages of the sheet and the formed part.
var sheetStages = []string{"forming the sheet", "band of the walls", "vents", "air", "formed part"}

// promptly is the time of one processor in which a cancel is met.
const promptly = 100 * time.Millisecond

// TestLooksAtContext measures how long the 12-pocket tray goes on between looks at its context.
func TestLooksAtContext(t *testing.T) {
	text, err := os.ReadFile("../testdata/workloads/t12.yaml")
	require.NoError(t, err)
	w := watch()
	require.NoError(t, w.make(t, string(text)))
	for _, stage := range sheetStages {
		t.Logf("%s: %v", stage, w.most[stage])
		require.Positive(t, w.most[stage], stage)
		require.Less(t, w.most[stage], promptly*time.Duration(min(2, runtime.GOMAXPROCS(0))), stage)
	}
}

// TestCancelAtAnyStage cancels a job early and later in every stage: it stops with the context's error.
func TestCancelAtAnyStage(t *testing.T) {
	text := fmt.Sprintf(pair, "")
	for _, stage := range sheetStages {
		for _, after := range []int{0, 5} {
			w := watch()
			w.stop, w.after = stage, after
			require.ErrorIs(t, w.make(t, text), context.Canceled, stage)
			require.Less(t, work()-w.cancelled, promptly*time.Duration(min(2, runtime.GOMAXPROCS(0))), stage)
		}
	}
}
