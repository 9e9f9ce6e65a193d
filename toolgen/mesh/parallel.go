package mesh

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// each calls work(worker, i) once for every i below n, on as many workers as the program may use,
// and returns early when ctx is done. What work(…, i) does may depend on i alone, so that results
// merged by i are the same on any number of cores; worker only picks scratch memory.
func each(ctx context.Context, n int, work func(worker, i int)) error {
	var next atomic.Int64
	run := func(worker int) {
		for ctx.Err() == nil {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			work(worker, i)
		}
	}
	var wg sync.WaitGroup
	for w := 1; w < min(workers(), n); w++ {
		wg.Go(func() { run(w) })
	}
	run(0)
	wg.Wait()
	return ctx.Err()
}

// workers returns the number of workers each may use.
func workers() int { return runtime.GOMAXPROCS(0) }

// chunk is the number of triangles or points handled at a time: small enough to cancel soon, and
// fixed, so that sums over chunks do not depend on the machine.
const chunk = 256

// chunks returns the number of chunks of n items.
func chunks(n int) int { return (n + chunk - 1) / chunk }

// chunkAt returns the bounds of chunk i of n items.
func chunkAt(i, n int) (from, to int) { return i * chunk, min((i+1)*chunk, n) }
