package skin

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/sdf"
)

// steepest is the largest angle between neighbouring rows or columns, rad: coarser steps would save
// nothing on a finished tool and make poor pictures.
const steepest = math.Pi / 3

// mostSteps ends the search for rows on a stretch that no number of rows can bring within tolerance.
const mostSteps = 1 << 14

// manyBends is the number of different bends, as lettering has, from which the search is kept short.
const manyBends = 24

// mostKnown is how many kinds of sweep are remembered.
const mostKnown = 64

// fitter chooses how many rows and columns a sweep gets.
//
// The bound it keeps: take a quad between two rows and two columns of a bend. Rows have the radii
// rho0, rho1 about the axis of the bend and the heights z0, z1; the columns divide every row alike,
// into chords that lie between low and high times its radius. A point of the quad, or of a triangle
// of its corners, is a mean of corners; so in the half plane through the axis and the point it lies
// at the mean height and between low and high times the mean radius. All such points fill the
// four-sided figure (high rho0, z0), (high rho1, z1), (low rho1, z1), (low rho0, z0). Its distance from
// the section is largest at a corner or, towards the centre of a rounding, where it comes nearest
// to that centre.
type fitter struct {
	tol   float64
	worst float64 // largest bound of what was chosen
	known []choice

	rows []geom.Vec2 // scratch: row points of the part last asked for
	last rowKey
}

// rowKey says which row points stand in the scratch.
type rowKey struct {
	part *part
	by   steps
}

// choice is what was found for one kind of sweep: most features of a tool are repeats.
type choice struct {
	parts      []part
	bends      []*bend
	rows, cols []steps
}

// like reports whether the choice was made for the same section and the same bends.
func (c choice) like(parts []*part, bends []*bend) bool {
	if len(c.parts) != len(parts) || len(c.bends) != len(bends) {
		return false
	}
	for i, p := range parts {
		if c.parts[i].Elem != p.Elem {
			return false
		}
	}
	for i, b := range bends {
		if !c.bends[i].like(b) {
			return false
		}
	}
	return true
}

// choose sets the rows of the parts and the columns of the loops such that the bound holds with the
// fewest quads.
func (f *fitter) choose(s *sdf.Sweep, bs []band, loops []loop) error {
	var parts []*part
	for i := range bs {
		for k := range bs[i].parts {
			parts = append(parts, &bs[i].parts[k])
		}
	}
	bends := bendsOf(loops, parts)
	straights := 0
	for _, l := range loops {
		for _, e := range l.elems {
			if e.R == 0 {
				straights++
			}
		}
	}
	f.last = rowKey{}
	rows, cols := f.remembered(s, parts, bends)
	if rows == nil {
		if rows, cols = f.search(s, parts, bends, straights); rows == nil {
			return fmt.Errorf("no number of rows keeps %.4f mm", f.tol)
		}
	}
	for i, p := range parts {
		p.by = rows[i]
		f.worst = max(f.worst, p.spread(p.by))
	}
	for i, b := range bends {
		for _, at := range b.places {
			if at.corner {
				loops[at.loop].joints[at.i].n = cols[i].n
			} else {
				loops[at.loop].by[at.i] = cols[i]
			}
		}
		f.worst = max(f.worst, f.bound(s, parts, rows, b, cols[i]))
	}
	return nil
}

// remembered returns the choice made for a sweep of the same kind before, or nil.
func (f *fitter) remembered(s *sdf.Sweep, parts []*part, bends []*bend) (rows, cols []steps) {
	for _, c := range f.known {
		if !c.like(parts, bends) {
			continue
		}
		cols = nil
		for i, b := range bends {
			by := c.cols[i]
			by.sweep = b.sweep // equal but for rounding
			cols = append(cols, by)
			if f.bound(s, parts, c.rows, b, by) > f.tol {
				return nil, nil
			}
		}
		return c.rows, cols
	}
	return nil, nil
}

// search returns the best division into rows and columns, and remembers it. It tries shares of the
// tolerance for the plan, gives the section the rest, then takes columns away while the bound
// allows. Balanced chords are not always best: where roundings of plan and section leave the
// surface on opposite sides, plain ones make up for each other.
func (f *fitter) search(s *sdf.Sweep, parts []*part, bends []*bend, straights int) (rows, cols []steps) {
	best := math.MaxInt
	pairs := [][2]division{{balanced, balanced}, {balanced, even}, {even, balanced}, {even, even}}
	step := 1.12
	if len(bends) > manyBends {
		pairs, step = pairs[:1], 1.4
	}
	for _, kinds := range pairs {
		var tried []steps
		for share := 0.08; share < 1; share *= step {
			c := make([]steps, len(bends))
			for i, b := range bends {
				c[i] = b.within(share*f.tol, kinds[0])
			}
			if tried != nil && slices.Equal(c, tried) {
				continue
			}
			tried = slices.Clone(c)
			r, ok := f.rowsFor(s, parts, bends, c, kinds[1])
			if !ok {
				continue
			}
			f.fewerColumns(s, parts, bends, r, c, kinds[0])
			if q := quads(parts, r, c, bends, straights); q < best {
				best, rows, cols = q, r, c
			}
		}
	}
	if rows != nil && len(f.known) < mostKnown {
		c := choice{bends: bends, rows: rows, cols: cols}
		for _, p := range parts {
			c.parts = append(c.parts, *p)
		}
		f.known = append(f.known, c)
	}
	return rows, cols
}

// quads counts the quads of a division; where a corner is mitred its columns have none.
func quads(parts []*part, rows, cols []steps, bends []*bend, straights int) int {
	sum := 0
	for i, p := range parts {
		n := straights
		for k, b := range bends {
			if b.r != 0 || b.rho(p.A.X)+b.rho(p.B.X) > 0 {
				n += cols[k].n * len(b.places)
			}
		}
		sum += n * rows[i].n
	}
	return sum
}

// rowsFor returns the fewest rows of each part with the given columns.
func (f *fitter) rowsFor(s *sdf.Sweep, parts []*part, bends []*bend, cols []steps, divide division) ([]steps, bool) {
	rows := make([]steps, len(parts))
	for i, p := range parts {
		ok := func(by steps) bool {
			if p.spread(by) > f.tol {
				return false
			}
			for k, b := range bends {
				if f.partBound(s, p, by, b, cols[k]) > f.tol {
					return false
				}
			}
			return true
		}
		sweep := float64(p.Sweep())
		n := max(1, int(math.Ceil(sweep/steepest-1e-9)))
		for ; ; n++ {
			if n > mostSteps {
				return nil, false
			}
			if rows[i] = divide(sweep, n); ok(rows[i]) {
				break
			}
		}
	}
	return rows, true
}

// fewerColumns takes columns away from each bend while the rows allow.
func (f *fitter) fewerColumns(s *sdf.Sweep, parts []*part, bends []*bend, rows, cols []steps, divide division) {
	for i, b := range bends {
		for cols[i].n > 1 && b.sweep <= steepest*float64(cols[i].n-1) {
			by := b.divided(cols[i].n-1, divide)
			if f.bound(s, parts, rows, b, by) > f.tol {
				break
			}
			cols[i] = by
		}
	}
}

// bound returns the bound over all parts for one bend.
func (f *fitter) bound(s *sdf.Sweep, parts []*part, rows []steps, b *bend, col steps) float64 {
	worst := 0.0
	for i, p := range parts {
		worst = max(worst, f.partBound(s, p, rows[i], b, col))
	}
	return worst
}

// partBound returns the bound over the rows of one part for one bend.
func (f *fitter) partBound(s *sdf.Sweep, p *part, row steps, b *bend, col steps) float64 {
	if key := (rowKey{p, row}); f.last != key {
		f.rows, f.last = p.points(row, f.rows[:0]), key
	}
	worst := 0.0
	low := col.low
	for k := range row.n {
		x, y := f.rows[k], f.rows[k+1]
		if b.trims != nil {
			skew, ok := b.trims.skew(x.X, y.X)
			if !ok {
				return 0 // the rows will say so with the place
			}
			low = math.Cos(min(math.Pi, col.inner+skew) / 2)
		}
		if b.rho(x.X) == 0 && b.rho(y.X) == 0 && b.r == 0 {
			continue // a mitred corner
		}
		lx, ly := b.scaled(x, low), b.scaled(y, low)
		hx, hy := b.scaled(x, col.high), b.scaled(y, col.high)
		worst = max(worst, figure(p.Elem, hx, hy, ly, lx))
		if k == 0 {
			worst = max(worst, beyond(s.Profile, p, x, lx, -1), beyond(s.Profile, p, x, hx, -1))
		}
		if k == row.n-1 {
			worst = max(worst, beyond(s.Profile, p, y, ly, 1), beyond(s.Profile, p, y, hy, 1))
		}
	}
	return worst
}
