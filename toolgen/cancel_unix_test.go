//go:build unix

package toolgen_test

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
)

// polled is a context that notes the longest work between two looks at it, in processor time, so that
// what else runs on the machine does not count.
type polled struct {
	context.Context
	last, longest time.Duration
	before, after string // where the looks were
	from          string
}

func (p *polled) Err() error {
	now := worked()
	pc := make([]uintptr, 3)
	frames := runtime.CallersFrames(pc[:runtime.Callers(2, pc)])
	at := ""
	for more := true; more; {
		var f runtime.Frame
		f, more = frames.Next()
		at += fmt.Sprintf(" %s:%d", f.Function[strings.LastIndex(f.Function, "/")+1:], f.Line)
	}
	if d := now - p.last; d > p.longest {
		p.longest, p.before, p.after = d, p.from, at
	}
	p.from, p.last = at, worked()
	return nil
}

// worked returns the processor time that the process has used.
func worked() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// mostWork is the longest that a run may work on after it was told to stop.
const mostWork = 100 * time.Millisecond

// TestLooksForCancelOften holds the longest stretch of work between two looks at the context to what a
// run may take to return. A long run: -workloads, for the large clusters.
func TestLooksForCancelOften(t *testing.T) {
	names := []string{"recess_to_floor"}
	if *workloads {
		names = append(names, "t12x", "t12y", "t12t")
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile("../testdata/workloads/" + name + ".yaml")
			require.NoError(t, err)
			j := read(t, string(text))
			ctx := &polled{Context: context.Background(), last: worked()}
			o := options()
			o.Tolerance, o.Only = *rtol, []string{"tool.stl"}
			_, err = toolgen.Build(ctx, j, o)
			require.NoError(t, err)
			require.NoError(t, ctx.Err())
			t.Logf("%v from%s to%s", ctx.longest, ctx.before, ctx.after)
			require.Less(t, ctx.longest, mostWork)
		})
	}
}
