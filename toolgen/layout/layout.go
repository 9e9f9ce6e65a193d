// Package layout owns how many like rectangles lie in a rectangular room, turned by a quarter where that
// helps, with a least distance between each two.
//
// A packing is never worse than the plain grid of either turn. It is the best of those that straight cuts
// from side to side part into single places, and of those that first fall into five blocks round a middle one.
package layout

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Ask is what is to be packed. All mm.
type Ask struct {
	Room geom.Vec2 // inside size
	Cell geom.Vec2 // one place, not turned
	Gap  float64   // between two places, 0 or more
	Turn bool      // places may be turned by a quarter
}

// Place is where one lies.
type Place struct {
	Middle geom.Vec2 // from the room's middle
	Turned bool
}

// Packing is an answer.
type Packing struct {
	Places []Place // row by row from the least Y, then from the least X
	Grid   [2]int  // of the best plain grid: across and away
	Turned bool    // that grid is of turned places
}

// GridCount returns how many the best plain grid holds.
func (p Packing) GridCount() int { return p.Grid[0] * p.Grid[1] }

// Most is the largest number of places of a packing.
const Most = 20000

// mostSteps bounds the positions of cuts along one axis: beyond it the plain grids alone are tried.
const mostSteps = 250

// mostFive bounds them where five blocks are tried.
const mostFive = 24

// tiny is what sizes may be over by rounding, mm.
const tiny = 1e-6

// Pack returns the best packing found, the same for the same question.
//
// ERROR: sizes that are not positive, more places than Most.
func Pack(a Ask) (Packing, error) {
	if !(a.Cell.X > 0 && a.Cell.Y > 0 && a.Gap >= 0 && a.Room.X > 0 && a.Room.Y > 0) {
		return Packing{}, fmt.Errorf("a room of %.1f x %.1f mm, a place of %.1f x %.1f mm and a gap of %.1f mm; sizes above 0, gap 0 or more", a.Room.X, a.Room.Y, a.Cell.X, a.Cell.Y, a.Gap)
	}
	// With the gap added to every place and to the room, places may touch.
	p := &packer{ask: a, a: a.Cell.X + a.Gap, b: a.Cell.Y + a.Gap}
	w, h := a.Room.X+a.Gap, a.Room.Y+a.Gap
	if n := (w / p.a) * (h / p.b); n > Most {
		return Packing{}, fmt.Errorf("about %.0f places; at most %d", n, Most)
	}
	var out Packing
	out.Grid = p.grid(w, h, false)
	if g := p.grid(w, h, true); a.Turn && g[0]*g[1] > out.GridCount() {
		out.Grid, out.Turned = g, true
	}
	p.lay(w, h, out)
	out.Places = p.places
	p.centre(&out)
	return out, nil
}

type packer struct {
	ask    Ask
	a, b   float64 // place with its gap
	xs, ys []float64
	memo   [][]choice
	places []Place // middles from the least corner, gaps taken off
}

// grid returns how many fit a plain grid.
func (p *packer) grid(w, h float64, turned bool) [2]int {
	a, b := p.a, p.b
	if turned {
		a, b = b, a
	}
	return [2]int{int((w + tiny) / a), int((h + tiny) / b)}
}

// choice is how a rectangle is filled: as a grid, or cut in two.
type choice struct {
	count    int
	known    bool
	turned   bool // the grid
	cut      int  // index of the first part's size along the axis; -1: a grid
	vertical bool // the cut goes along Y and parts X
}

// lay fills the room.
func (p *packer) lay(w, h float64, grid Packing) {
	p.xs, p.ys = p.steps(w), p.steps(h)
	if !p.ask.Turn || p.xs == nil || p.ys == nil {
		p.fill(geom.Vec2{}, grid.Grid, grid.Turned)
		return
	}
	p.memo = make([][]choice, len(p.xs))
	for i := range p.memo {
		p.memo[i] = make([]choice, len(p.ys))
	}
	i, j := len(p.xs)-1, len(p.ys)-1
	best := p.best(i, j)
	if f := p.five(w, h, best.count); f != nil {
		for _, b := range f {
			p.cut(b.at, below(p.xs, b.size.X), below(p.ys, b.size.Y))
		}
		return
	}
	p.cut(geom.Vec2{}, i, j)
}

// steps returns the sums of places that fit a length, smallest first, 0 among them; nil for too many.
func (p *packer) steps(length float64) []float64 {
	var out []float64
	for i := 0; float64(i)*p.a <= length+tiny; i++ {
		for j := 0; float64(i)*p.a+float64(j)*p.b <= length+tiny; j++ {
			out = append(out, float64(i)*p.a+float64(j)*p.b)
			if len(out) > 20*mostSteps {
				return nil
			}
		}
	}
	return distinct(out)
}

// below returns the index of the greatest step that is no longer than a length.
func below(steps []float64, length float64) int {
	lo, hi := 0, len(steps)
	for hi-lo > 1 {
		if m := (lo + hi) / 2; steps[m] <= length+tiny {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// best returns the best filling of the rectangle of two steps by cuts from side to side.
func (p *packer) best(i, j int) choice {
	c := &p.memo[i][j]
	if c.known {
		return *c
	}
	w, h := p.xs[i], p.ys[j]
	out := choice{known: true, cut: -1}
	for _, turned := range []bool{false, true} {
		if g := p.grid(w, h, turned); g[0]*g[1] > out.count {
			out.count, out.turned = g[0]*g[1], turned
		}
	}
	for k := 1; k < i && p.xs[k] <= w/2+tiny; k++ {
		if n := p.best(k, j).count + p.best(below(p.xs, w-p.xs[k]), j).count; n > out.count {
			out = choice{count: n, known: true, cut: k, vertical: true}
		}
	}
	for k := 1; k < j && p.ys[k] <= h/2+tiny; k++ {
		if n := p.best(i, k).count + p.best(i, below(p.ys, h-p.ys[k])).count; n > out.count {
			out = choice{count: n, known: true, cut: k}
		}
	}
	*c = out
	return out
}

// cut places what best found.
func (p *packer) cut(at geom.Vec2, i, j int) {
	c := p.best(i, j)
	switch {
	case c.cut < 0:
		p.fill(at, p.grid(p.xs[i], p.ys[j], c.turned), c.turned)
	case c.vertical:
		p.cut(at, c.cut, j)
		p.cut(geom.Vec2{X: at.X + p.xs[c.cut], Y: at.Y}, below(p.xs, p.xs[i]-p.xs[c.cut]), j)
	default:
		p.cut(at, i, c.cut)
		p.cut(geom.Vec2{X: at.X, Y: at.Y + p.ys[c.cut]}, i, below(p.ys, p.ys[j]-p.ys[c.cut]))
	}
}

// fill places a grid from its least corner.
func (p *packer) fill(at geom.Vec2, grid [2]int, turned bool) {
	a, b := p.a, p.b
	if turned {
		a, b = b, a
	}
	for j := range grid[1] {
		for i := range grid[0] {
			p.places = append(p.places, Place{geom.Vec2{
				X: at.X + (float64(i)+0.5)*a - p.ask.Gap/2, Y: at.Y + (float64(j)+0.5)*b - p.ask.Gap/2,
			}, turned})
		}
	}
}

// centre moves the places so that their common box lies in the room's middle, and sorts them.
func (p *packer) centre(out *Packing) {
	box := geom.EmptyBox2()
	for _, q := range out.Places {
		half := p.ask.Cell.Scale(0.5)
		if q.Turned {
			half = geom.Vec2{X: half.Y, Y: half.X}
		}
		box = box.Hold(q.Middle.Sub(half)).Hold(q.Middle.Add(half))
	}
	for i := range out.Places {
		m := out.Places[i].Middle.Sub(box.Centre())
		// To a nanometre, so that rows that are one differ in nothing.
		out.Places[i].Middle = geom.Vec2{X: math.Round(m.X*1e6)/1e6 + 0, Y: math.Round(m.Y*1e6)/1e6 + 0}
	}
	byRows(out.Places)
}
