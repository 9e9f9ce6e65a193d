package drawing

import "math"

// twinStep is the grid, mm, on which segments that were drawn twice are found: far below what a second
// line could be meant for.
const twinStep = 1e-5

// refuseTwins records segments that lie on another one from end to end: drawn twice, cut twice.
func (c *collector) refuseTwins() {
	type key [6]int64
	on := func(x float64) int64 { return int64(math.Round(x / twinStep)) }
	seen := make(map[key]int32, c.count)
	last := int32(-1)
	for i, s := range c.strands {
		for _, g := range s.segs {
			a, b, m := g.a, g.b, g.at(0.5)
			if b.X < a.X || b.X == a.X && b.Y < a.Y {
				a, b = b, a
			}
			k := key{on(a.X), on(a.Y), on(b.X), on(b.Y), on(m.X), on(m.Y)}
			j, twice := seen[k]
			seen[k] = int32(i)
			if twice && last != int32(i) && segSize(g) > 10*twinStep {
				last = int32(i)
				c.fault(c.at(s.place, g.a), "is drawn twice: it lies on %s", c.strands[j].place)
			}
		}
	}
}

func segSize(s seg) float64 { return max(s.b.Sub(s.a).Norm(), s.at(0.5).Sub(s.a).Norm()) }
