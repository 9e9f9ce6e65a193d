package drawing

import (
	"math"

	"platen/toolgen/geom"
)

// loop is a closed row of segments with the strand each came from.
type loop struct {
	segs  []seg
	from  []int32
	first int32   // the strand that comes first in the file
	gap   float64 // the widest that was closed
}

// chain joins the strands to loops. Ends that are one point are joined first, then ends within the join;
// an end with more than one other end in reach is refused, and so is a row that does not close.
func (c *collector) chain() []loop {
	e := c.newEnds()
	e.pair(c, same/100)
	if len(c.faults) == 0 {
		e.pair(c, c.o.Join)
	}
	if len(c.faults) > 0 {
		return nil
	}
	c.refuseOpen(e)
	var loops []loop
	used := make([]bool, len(c.strands))
	for i := range c.strands {
		if !used[i] && len(c.faults) == 0 {
			loops = append(loops, c.walk(e, int32(i), used))
		}
	}
	return loops
}

// ends are the two ends of every strand: 2 i is the start of strand i, 2 i + 1 its end.
type ends struct {
	at   []geom.Vec2
	mate []int32 // the end it is joined to, -1: none
}

func (c *collector) newEnds() *ends {
	e := &ends{make([]geom.Vec2, 2*len(c.strands)), make([]int32, 2*len(c.strands))}
	for i, s := range c.strands {
		e.at[2*i], e.at[2*i+1] = s.segs[0].a, s.segs[len(s.segs)-1].b
		e.mate[2*i], e.mate[2*i+1] = -1, -1
		if s.closed {
			e.mate[2*i], e.mate[2*i+1] = int32(2*i+1), int32(2*i)
		}
	}
	return e
}

// cell is a square of a grid twice as wide as the reach: what is in reach of a point lies in its own cell
// or in the three next to it. Few points can be in a cell without three in reach of each other, and a
// search ends with the second, so a crowd costs no more than its points.
type cell [2]int64

// grid holds the free ends by cell.
type grid struct {
	side float64
	head map[cell]int32 // index + 1 of the last end put in
	next []int32        // index of the one before, -1: none
}

func (g *grid) cell(p geom.Vec2) cell {
	return cell{int64(math.Floor(p.X / g.side)), int64(math.Floor(p.Y / g.side))}
}

func (e *ends) grid(reach float64) *grid {
	g := &grid{2 * reach, make(map[cell]int32, len(e.at)), make([]int32, len(e.at))}
	for i, p := range e.at {
		if e.mate[i] >= 0 {
			continue
		}
		k := g.cell(p)
		g.next[i] = g.head[k] - 1
		g.head[k] = int32(i) + 1
	}
	return g
}

// pair joins the free ends that have exactly one other free end within reach.
func (e *ends) pair(c *collector, reach float64) {
	g := e.grid(reach)
	told := make(map[cell]bool)
	only := make([]int32, len(e.at)) // the one end in reach, -1: none
	for i := range e.at {
		only[i] = -1
		if e.mate[i] >= 0 || c.stopped {
			continue
		}
		found, n := e.within(g, int32(i), reach)
		switch n {
		case 1:
			only[i] = found[0]
		case 2:
			k := g.cell(e.at[i])
			if told[k] || told[g.cell(e.at[found[0]])] || told[g.cell(e.at[found[1]])] {
				continue
			}
			told[k] = true
			c.fault(c.at(c.strands[i/2].place, e.at[i]), "three ends or more within %g mm of each other, one of them of %s: which of them join is not clear",
				reach, c.strands[found[0]/2].place)
		}
	}
	for i, j := range only {
		if j >= 0 && only[j] == int32(i) && !c.collapses(int32(i), j, reach) {
			e.mate[i] = j
		}
	}
}

// within returns up to two other free ends within reach of end i, its own cell first.
func (e *ends) within(g *grid, i int32, reach float64) (found [2]int32, n int) {
	p := e.at[i]
	at := g.cell(p)
	side := func(x float64, k int64) int64 {
		if x < (float64(k)+0.5)*g.side {
			return -1
		}
		return 1
	}
	sx, sy := side(p.X, at[0]), side(p.Y, at[1])
	for _, k := range [4]cell{at, {at[0] + sx, at[1]}, {at[0], at[1] + sy}, {at[0] + sx, at[1] + sy}} {
		for j := g.head[k] - 1; j >= 0; j = g.next[j] {
			if j != i && e.at[j].Sub(p).Norm() <= reach {
				found[n] = j
				if n++; n == 2 {
					return found, n
				}
			}
		}
	}
	return found, n
}

// collapses reports whether joining two ends would close a strand that is no longer than the reach.
func (c *collector) collapses(i, j int32, reach float64) bool {
	if i/2 != j/2 {
		return false
	}
	l := 0.0
	for _, s := range c.strands[i/2].segs {
		l += s.length()
	}
	return l < 3*reach
}

// refuseOpen records every row of strands that does not close, by its two loose ends.
func (c *collector) refuseOpen(e *ends) {
	told := make(map[int32]bool)
	for i, m := range e.mate {
		if m >= 0 || told[int32(i)] {
			continue
		}
		n, at := 1, int32(i)^1
		for e.mate[at] >= 0 {
			at = e.mate[at] ^ 1
			n++
		}
		told[at] = true
		p := c.at(c.strands[i/2].place, e.at[i])
		q := c.at(Place{}, e.at[at])
		gap := e.at[i].Sub(e.at[at]).Norm()
		if n == 1 {
			c.fault(p, "is open: its other end, %.3f mm off, is%s; closed loops are wanted, gaps up to %g mm are closed", gap, " "+q.String(), c.o.Join)
		} else {
			c.fault(p, "a row of %d entities is open: its other end, %.3f mm off, is%s; closed loops are wanted, gaps up to %g mm are closed", n, gap, " "+q.String(), c.o.Join)
		}
	}
}

// walk follows the joints from strand i until it is back, and heals them.
func (c *collector) walk(e *ends, i int32, used []bool) loop {
	l := loop{first: i}
	for at := 2 * i; !used[at/2]; {
		s := c.strands[at/2]
		used[at/2] = true
		for k := range s.segs {
			g := s.segs[k]
			if at%2 == 1 {
				g = s.segs[len(s.segs)-1-k].reversed()
			}
			l.segs = append(l.segs, g)
			l.from = append(l.from, at/2)
		}
		at = e.mate[at^1]
	}
	for k := range l.segs {
		l.gap = max(l.gap, heal(&l.segs[k], &l.segs[(k+1)%len(l.segs)], c.o.Join))
	}
	return l
}
