package form

import (
	"runtime"
	"sync/atomic"
)

// crew shares the chunks of a loop among workers. Chunks are cut by the caller, not by the number of
// workers, and each writes only its own results, so nothing depends on who did what.
type crew struct {
	left atomic.Int64 // chunks nobody has taken yet
	open atomic.Int64 // chunks not done yet
	do   func(chunk int)
	done chan struct{}
	wake chan struct{}
	help int
}

// newCrew returns a crew of the caller and workers-1 helpers.
func newCrew(workers int) *crew {
	if workers == 0 {
		workers = min(2, runtime.GOMAXPROCS(0))
	}
	c := &crew{done: make(chan struct{}, 1), wake: make(chan struct{}, max(workers-1, 1)), help: workers - 1}
	for range c.help {
		go func() {
			for range c.wake {
				c.work()
			}
		}()
	}
	return c
}

func (c *crew) close() { close(c.wake) }

// run calls do for every chunk below n and returns when all are done.
func (c *crew) run(n int, do func(chunk int)) {
	if c.help == 0 || n < 4 { // too little to be worth a wake-up
		for k := range n {
			do(k)
		}
		return
	}
	c.do = do
	c.open.Store(int64(n))
	c.left.Store(int64(n))
	for range c.help {
		select {
		case c.wake <- struct{}{}:
		default:
		}
	}
	c.work()
	<-c.done
}

// work takes chunks while there are any. A late helper finds none, or those of the next loop, whose
// work was set before its chunks were offered.
func (c *crew) work() {
	for {
		k := c.left.Add(-1)
		if k < 0 {
			return
		}
		c.do(int(k))
		if c.open.Add(-1) == 0 {
			c.done <- struct{}{}
		}
	}
}
