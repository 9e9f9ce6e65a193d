//go:build unix

package toolgen_test

import (
	"context"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
)

// BenchmarkWorkload builds the mesh of the workloads, job text to audited and measured triangles, and
// says what they cost: the share of each stage, how often the field is asked for a triangle and what
// one answer takes. A profile: -bench Workload/t12$ -cpuprofile FILE.
func BenchmarkWorkload(b *testing.B) {
	for _, w := range []struct {
		name string
		tol  float64
	}{{"t12", 0.02}, {"t96", 0.02}, {"t384", 0.02}, {"t12t", 0.02}, {"t12x", 0.05}, {"t12y", 0.05}, {"recess_to_floor", 0.02}, {"recess_above_floor", 0.05}, {"rib_boss_root1", 0.05}} {
		text, err := os.ReadFile("../testdata/workloads/" + w.name + ".yaml")
		require.NoError(b, err)
		b.Run(w.name, func(b *testing.B) {
			var r *toolgen.Result
			var watch stopwatch
			for b.Loop() {
				watch.start("read")
				j := read(b, string(text))
				o := options()
				o.Tolerance, o.Only, o.Observe = w.tol, []string{"tool.stl"}, watch.start
				r, err = toolgen.Build(context.Background(), j, o)
				require.NoError(b, err)
				watch.stop()
			}
			watch.report(b)
			b.ReportMetric(float64(len(r.Mesh.T)), "triangles")
			b.ReportMetric(r.Measure.Deviation(), "mm-deviation")
			b.ReportMetric(float64(r.Measure.Evals())/float64(len(r.Mesh.T)), "evals/triangle")
			b.ReportMetric(evaluation(r), "ns/eval")
		})
		b.Run(w.name+"/review", func(b *testing.B) {
			for b.Loop() {
				_, err := toolgen.Check(context.Background(), read(b, string(text)), options())
				require.NoError(b, err)
			}
		})
	}
}

// cpu returns what the process has taken of the processors so far, which other programs on the machine
// change far less than the time on the wall.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// stopwatch sums the processor time of stages, each ended by the start of the next.
type stopwatch struct {
	names []string
	spent map[string]time.Duration
	at    time.Duration
	now   string
}

func (w *stopwatch) start(stage string) {
	w.stop()
	w.now, w.at = stage, cpu()
}

func (w *stopwatch) stop() {
	if w.now == "" {
		return
	}
	if w.spent == nil {
		w.spent = map[string]time.Duration{}
	}
	if _, ok := w.spent[w.now]; !ok {
		w.names = append(w.names, w.now)
	}
	w.spent[w.now] += cpu() - w.at
	w.now = ""
}

// report gives the processor time of a build, and the share of each stage that takes one in a hundred
// or more, percent.
func (w *stopwatch) report(b *testing.B) {
	var all time.Duration
	for _, d := range w.spent {
		all += d
	}
	b.ReportMetric(float64(all.Milliseconds())/float64(b.N), "cpu-ms/op")
	for _, n := range w.names {
		if share := 100 * float64(w.spent[n]) / float64(all); share >= 1 {
			b.ReportMetric(share, "%"+strings.ReplaceAll(n, " ", "-"))
		}
	}
}

// evaluation returns what one answer of the field takes, ns: at the middles of the triangles of the
// finished mesh, in their order, again and again for a tenth of a
// second of the processor.
func evaluation(r *toolgen.Result) float64 {
	field := r.Body.Field.Quick()
	var at []geom.Vec3
	for _, t := range r.Mesh.T {
		at = append(at, r.Mesh.V[t[0]].Add(r.Mesh.V[t[1]]).Add(r.Mesh.V[t[2]]).Scale(1.0/3))
	}
	n, sum, start := 0, 0.0, cpu()
	for n == 0 || cpu()-start < 100*time.Millisecond {
		for _, p := range at {
			sum += field.At(p).D
		}
		n += len(at)
	}
	if sum != sum {
		panic("the field is not a number on the mesh")
	}
	return float64((cpu() - start).Nanoseconds()) / float64(n)
}
