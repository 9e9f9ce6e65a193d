package drawing

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// strand is what one entity draws: segments in a row, each starting exactly where the last one ended.
type strand struct {
	segs   []seg
	closed bool // the last segment leads to the first; their ends may still be up to the join apart
	place  Place
}

// collector takes what the readers find and counts it against the limits.
type collector struct {
	o       Options
	own     func(geom.Vec2) geom.Vec2 // from mm to the file's units and axes
	strands []strand
	count   int // of segments
	faults  []Fault
	stopped bool // no use in reading on
	merged  int  // points that lay on their predecessor
	mergeAt Place
	notes   []string
}

func newCollector(o Options) *collector {
	if o.Join == 0 {
		o.Join = defaultJoin
	}
	c := &collector{o: o, own: func(p geom.Vec2) geom.Vec2 { return p }}
	if !(o.Join >= same && o.Join <= mostJoin) {
		c.stop(Place{}, "gaps up to %g mm are to be closed; %g to %g mm can be", o.Join, same, mostJoin)
	}
	return c
}

// fault records a reason to refuse; the last one that is reported stops the reading.
func (c *collector) fault(p Place, format string, args ...any) {
	if c.stopped {
		return
	}
	c.faults = append(c.faults, Fault{p, fmt.Sprintf(format, args...)})
	c.stopped = len(c.faults) >= mostFaults
}

// stop records a reason after which reading on makes no sense.
func (c *collector) stop(p Place, format string, args ...any) {
	c.fault(p, format, args...)
	c.stopped = true
}

// note records a warning once; 20 are kept.
func (c *collector) note(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	if len(c.notes) < mostFaults && !slices.Contains(c.notes, s) {
		c.notes = append(c.notes, s)
	}
}

// at returns the place with a point, given in mm.
func (c *collector) at(p Place, q geom.Vec2) Place {
	p.At, p.HasAt = c.own(q), true
	return p
}

// add takes what an entity draws, in mm. Where closed, a line closes it if its ends are farther apart than
// the join.
func (c *collector) add(p Place, segs []seg, closed bool) {
	if c.stopped || len(segs) == 0 {
		return
	}
	p = c.at(p, segs[0].a)
	for _, s := range segs {
		bulge := 0.0 // an arc may run farther out than its ends, but no farther than its length
		if s.isArc() {
			bulge = s.length()
		}
		for _, q := range [2]geom.Vec2{s.a, s.b} {
			if !(math.Abs(q.X)+bulge <= farthest && math.Abs(q.Y)+bulge <= farthest) {
				c.fault(p, "a point farther than %g m from the origin", farthest/1000)
				return
			}
		}
	}
	first, last := segs[0].a, segs[len(segs)-1].b
	if closed && last.Sub(first).Norm() > c.o.Join {
		segs = append(segs, seg{a: last, b: first})
	}
	kept := c.keep(p, segs)
	if len(kept) == 0 {
		c.fault(p, "has no length")
		return
	}
	if c.count += len(kept); c.count > mostSegments {
		c.stop(p, "more than %d lines and arcs up to here", mostSegments)
		return
	}
	c.strands = append(c.strands, strand{kept, closed, p})
}

// keep drops segments without length and halves arcs of more than 180 degrees, so that moving an end
// by the join leaves them in shape.
func (c *collector) keep(p Place, segs []seg) []seg {
	var kept []seg
	for _, s := range segs {
		if n := len(kept); n > 0 {
			s.a = kept[n-1].b
		}
		switch {
		case s.length() < same:
			c.merged++
			if c.merged == 1 {
				c.mergeAt = c.at(p, s.a)
			}
			continue
		case math.Abs(s.sweep) > math.Pi:
			m := s.at(0.5)
			kept = append(kept, seg{s.a, m, s.sweep / 2}, seg{m, s.b, s.sweep / 2})
		default:
			kept = append(kept, s)
		}
	}
	return kept
}

// refusal returns the error, nil where nothing was found fault with.
func (c *collector) refusal(format string) error {
	if len(c.faults) == 0 {
		return nil
	}
	return &Refusal{format, c.faults}
}
