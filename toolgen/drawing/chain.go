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

// cell is a square of a grid so fine that all points in it are within the reach of each other: no search
// passes more than two points in it.
type cell [2]int64

// pair joins the free ends that have exactly one other free end within reach.
func (e *ends) pair(c *collector, reach float64) {
	side := reach / math.Sqrt2
	in := func(p geom.Vec2) cell {
		return cell{int64(math.Floor(p.X / side)), int64(math.Floor(p.Y / side))}
	}
	head := make(map[cell]int32, len(e.at))
	next := make([]int32, len(e.at))
	for i, p := range e.at {
		if e.mate[i] >= 0 {
			continue
		}
		k := in(p)
		next[i] = head[k] - 1
		head[k] = int32(i) + 1
	}
	told := make(map[cell]bool)
	only := make([]int32, len(e.at)) // the one end in reach, -1: none
	for i := range e.at {
		only[i] = -1
		if e.mate[i] >= 0 {
			continue
		}
		found := e.within(head, next, in(e.at[i]), int32(i), reach)
		switch len(found) {
		case 1:
			only[i] = found[0]
		case 2:
			if k := in(e.at[i]); !told[k] && !told[in(e.at[found[0]])] && !told[in(e.at[found[1]])] {
				told[k] = true
				a, b := c.strands[i/2], c.strands[found[0]/2]
				c.fault(c.at(a.place, e.at[i]), "three ends or more within %g mm of each other, one of them of %s: which of them join is not clear",
					reach, b.place)
			}
		}
	}
	for i, j := range only {
		if j >= 0 && only[j] == int32(i) && !c.collapses(int32(i), j, reach) {
			e.mate[i] = j
		}
	}
}

// within returns up to two other free ends within reach of end i.
func (e *ends) within(head map[cell]int32, next []int32, at cell, i int32, reach float64) []int32 {
	var found []int32
	for _, dx := range [5]int64{0, -1, 1, -2, 2} {
		for _, dy := range [5]int64{0, -1, 1, -2, 2} {
			for j := head[cell{at[0] + dx, at[1] + dy}] - 1; j >= 0; j = next[j] {
				if j != i && e.at[j].Sub(e.at[i]).Norm() <= reach {
					if found = append(found, j); len(found) == 2 {
						return found
					}
				}
			}
		}
	}
	return found
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
