package form

import (
	"runtime"
	"sync/atomic"
)

// crew shares the chunks of a loop among workers. Chunks are cut by the caller, not by the number of
// workers, and each writes only its own results, so nothing depends on who did what. A worker begins with its own
// part of them, the same at every step, so that what it wrote is still in its processor's cache.
type crew struct {
	shares []share
	open   atomic.Int64 // chunks not done yet
	do     func(chunk int)
	done   chan struct{}
	wake   chan struct{}
}

// share is a worker's part of the chunks, a cache line by itself.
type share struct {
	left atomic.Uint64 // chunks nobody has taken yet: first of them, and in the upper half one past the last
	_    [56]byte
}

// take takes a chunk: the owner the first, others the last.
func (p *share) take(own bool) (chunk int, ok bool) {
	for {
		v := p.left.Load()
		from, to := v&(1<<32-1), v>>32
		if from >= to {
			return 0, false
		}
		k := from
		if from++; !own {
			from, to = from-1, to-1
			k = to
		}
		if p.left.CompareAndSwap(v, to<<32|from) {
			return int(k), true
		}
	}
}

// newCrew returns a crew of the caller and workers-1 helpers.
func newCrew(workers int) *crew {
	if workers == 0 {
		workers = min(2, runtime.GOMAXPROCS(0))
	}
	c := &crew{shares: make([]share, workers), done: make(chan struct{}, 1), wake: make(chan struct{}, workers)}
	for w := 1; w < workers; w++ {
		go func() {
			for ok := true; ok; {
				if _, ok = await(c.wake); ok {
					c.work(w)
				}
			}
		}()
	}
	return c
}

func (c *crew) close() { close(c.wake) }

// run calls do for every chunk below n and returns when all are done; the caller takes the first one.
func (c *crew) run(n int, do func(chunk int)) {
	if len(c.shares) == 1 || n < 4 { // too little to be worth a wake-up
		for k := range n {
			do(k)
		}
		return
	}
	c.do = do
	c.open.Store(int64(n))
	for w := range c.shares {
		from, to := n*w/len(c.shares), n*(w+1)/len(c.shares)
		c.shares[w].left.Store(uint64(to)<<32 | uint64(from))
	}
	for range len(c.shares) - 1 {
		select {
		case c.wake <- struct{}{}:
		default:
		}
	}
	c.work(0)
	await(c.done)
}

// polls is how often a channel is looked at before its reader goes to sleep, some 20 us: the next loop mostly comes
// sooner, and to be woken takes longer than that.
const polls = 4000

// await receives from a channel.
func await(c chan struct{}) (v struct{}, ok bool) {
	for range polls {
		select {
		case v, ok = <-c:
			return v, ok
		default:
		}
	}
	v, ok = <-c
	return v, ok
}

// work takes chunks while there are any, its own first. A late helper finds none, or those of the next loop, whose
// work was set before its chunks were offered.
func (c *crew) work(w int) {
	for i := range c.shares {
		p := &c.shares[(w+i)%len(c.shares)]
		for k, ok := p.take(i == 0); ok; k, ok = p.take(i == 0) {
			c.do(k)
			if c.open.Add(-1) == 0 {
				c.done <- struct{}{}
			}
		}
	}
}
