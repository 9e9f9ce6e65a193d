package contour

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// run is one call of Surface: what is asked, the state handed from stage to stage, and the count.
type run struct {
	ctx     context.Context
	f       *field
	o       Options
	tol     float64 // inner tolerance, mm
	workers int
	evals   atomic.Int64
	rep     Report

	l     lattice
	bend  float64 // largest curvature of the surface, 1/mm
	trees []tree  // by root cell
	s     *surf

	dev     []float64 // dense deviation by triangle, mm
	multi   []int32   // half-edges of edges that had more than two faces
	refused []refusal // splits that could not be made
}

func workers(n int) int {
	if n <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return n
}

// each calls do for [0, n) in fixed chunks, so that what a chunk holds never depends on the number
// of workers. Results must be written by index.
func (r *run) each(n, chunk int, do func(p *probe, lo, hi int)) error {
	chunks := (n + chunk - 1) / chunk
	work := func(next func() int) {
		p := newProbe(r.f)
		for r.ctx.Err() == nil {
			i := next()
			if i >= chunks {
				break
			}
			do(p, i*chunk, min(n, (i+1)*chunk))
		}
		r.evals.Add(p.n)
	}
	if w := min(r.workers, chunks); w > 1 {
		var at atomic.Int64
		var wg sync.WaitGroup
		for range w {
			wg.Go(func() { work(func() int { return int(at.Add(1)) - 1 }) })
		}
		wg.Wait()
	} else {
		i := -1
		work(func() int { i++; return i })
	}
	return r.ctx.Err()
}

// pollEach is the number of small steps, a microsecond or so each, between two looks at the context.
const pollEach = 1 << 12

// poll returns the context's error at every pollEach-th step i.
func (r *run) poll(i int) error {
	if i%pollEach == 0 {
		return r.ctx.Err()
	}
	return nil
}
