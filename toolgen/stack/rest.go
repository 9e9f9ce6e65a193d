package stack

import (
	"cmp"
	"context"
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Place says how the upper part lies over the lower one: turned counter-clockwise about the vertical
// through Centre, then shifted. The zero Place is the same way.
type Place struct {
	Turn   geom.Angle
	Centre geom.Vec2
	Shift  geom.Vec2
}

// Half returns the half-turn about the vertical through the centre of a part.
func Half(p *Part) Place { return Place{Turn: 180 * geom.Degree, Centre: p.Centre()} }

// Plan returns where a place of the upper part's plan comes to lie in that of the lower one.
func (l Place) Plan(v geom.Vec2) geom.Vec2 {
	return geom.Turned(l.Turn).Point(v.Sub(l.Centre)).Add(l.Centre).Add(l.Shift)
}

// back is the inverse of Plan.
func (l Place) back(v geom.Vec2) geom.Vec2 {
	return geom.Turned(-l.Turn).Point(v.Sub(l.Centre).Sub(l.Shift)).Add(l.Centre)
}

// pair is one part over another.
type pair struct {
	lower, upper *Part
	at           Place
}

// gap returns how far a place of one part is from the other part's facing side when the upper part is
// lifted by z, and how fast that grows with z; of says whose side the place is on: Upper, that of the
// lower part, or Under, that of the upper part.
func (r *pair) gap(of Side, x geom.Vec3, z float64) (gap, slope float64, ok bool) {
	if of == Upper {
		g, s, ok := r.upper.gap(Under, r.at.back(x.Plan()).At(x.Z-z))
		return g, -s, ok
	}
	return r.lower.gap(Upper, r.at.Plan(x.Plan()).At(x.Z+z))
}

// The search for the lift at which a place touches.
const (
	rootTol   = 1e-8 // mm
	leastRise = 0.02 // least slope reckoned with
)

// lift returns the lift at which a place comes to touch, if that is more than from.
func (r *pair) lift(of Side, x geom.Vec3, from float64) (float64, bool) {
	if top, hooked := r.hooked(of, x); hooked {
		return r.fall(of, x, from, top)
	}
	g, _, ok := r.gap(of, x, from)
	if !ok || g >= 0 {
		return from, false
	}
	// No gap grows faster than the lift: the place touches still at lo.
	lo := from - g
	glo, s, ok := r.gap(of, x, lo)
	if !ok || glo >= 0 {
		return lo, ok
	}
	hi, ghi := lo, glo
	for range 60 {
		lo, glo = hi, ghi
		hi = lo - glo/max(s, leastRise) + rootTol
		if ghi, s, ok = r.gap(of, x, hi); !ok {
			return lo, true // the sheet ends
		}
		if ghi >= 0 {
			break
		}
	}
	for k := 0; hi-lo > rootTol && k < 100; k++ {
		mid := lo + (hi-lo)*glo/(glo-ghi)
		if k%3 == 2 || !(mid > lo && mid < hi) {
			mid = (lo + hi) / 2
		}
		g, _, ok := r.gap(of, x, mid)
		if ok && g < 0 {
			lo, glo = mid, g
		} else {
			hi, ghi = mid, g
		}
		if ok && math.Abs(g) < rootTol*leastRise {
			return mid, true
		}
	}
	return hi, true
}

// Peak is the highest lift at which a role of a feature of one part touches the other part.
type Peak struct {
	Lift  float64
	At    geom.Vec3   // on the lower part, its frame
	Lower piece.Piece // of the lower part there
	Upper piece.Piece // of the upper part there
	Slope geom.Angle  // of the sides there from the vertical: 90 degrees is level
	Known bool        // the walls there are known
}

// Rest is how one part rests on another.
type Rest struct {
	Place   Place
	Lift    float64 // of the upper part over the lower as it first touches, mm
	Peaks   []Peak  // the highest first; each pair of roles once
	Pressed Pressed // past an undercut that it rests on
	Settled Settled // as it tilts on to what carries
	Touch   []Touch // places that touch then, or are within Give of it
	Lower   *Part
	Upper   *Part
}

// Touch is a place where the parts touch.
type Touch struct {
	At    geom.Vec3 // lower part's frame
	Slope geom.Angle
	of    Side // whose side it is on
	pt    Point
}

// Give is how far apart in height two places may be that both carry: thin parts and their walls are no
// better than that. Common practice, no source.
const Give = 0.1

// bound is a group of places that is looked at together.
type bound struct {
	of   Side
	who  piece.Piece
	best float64
	tops []top
}

type top struct {
	lift float64
	pt   Point
}

const (
	// window is how far below the lift at which the parts rest touching places are still of interest, mm.
	window = 6.0
	// mostTops is from how many places of a group is climbed, if they are not lower than its best by more
	// than climbs, and apart how far apart these are at least, mm: formed walls are ridged.
	mostTops = 16
	// mostClimbs is from how many places of all groups is climbed at most, and once more on steep sides:
	// a hundred like pockets have a hundred like places.
	mostClimbs = 100
	climbs     = 1.0
	apart      = 4.0
)

// Put lowers one part on another and returns how it rests.
//
// ERROR: the context's error.
func Put(ctx context.Context, lower, upper *Part, at Place) (*Rest, error) {
	r := &pair{lower, upper, at}
	groups, err := r.survey(ctx)
	if err != nil {
		return nil, err
	}
	out := &Rest{Place: at, Lower: lower, Upper: upper, Lift: math.Inf(-1)}
	out.Peaks = r.peaks(ctx, groups)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	out.Peaks = distinct(out.Peaks)
	if len(out.Peaks) > 0 {
		out.Lift = out.Peaks[0].Lift
	}
	var list []candidate
	out.Settled, list = r.settled(ctx, out.Lift, out.Jams())
	out.Touch = out.Settled.touching(list)
	out.Pressed = r.press(ctx, out.Lift)
	return out, ctx.Err()
}

// peaks climbs from the highest tops of all groups, and from the highest on steep sides; the others stand as
// they were found.
func (r *pair) peaks(ctx context.Context, groups []bound) []Peak {
	type start struct {
		of Side
		top
	}
	var from []start
	for i := range groups {
		for k, t := range groups[i].tops {
			if k == 0 || t.lift >= groups[i].best-climbs {
				from = append(from, start{groups[i].of, t})
			}
		}
	}
	slices.SortStableFunc(from, func(a, b start) int { return cmp.Compare(b.lift, a.lift) })
	climb, most, steep := make([]bool, len(from)), mostClimbs, mostClimbs
	for i, f := range from {
		switch lock := f.pt.steep(); {
		case most > 0:
			most--
		case lock && steep > 0:
			steep--
		default:
			continue
		}
		climb[i] = true
	}
	out := make([]Peak, len(from))
	singly(ctx, len(from), func(i int) {
		if f := from[i]; climb[i] {
			out[i] = r.climb(f.of, f.top)
		} else {
			out[i] = r.peak(f.of, f.top)
		}
	})
	return out
}

// faces reports whether the other part turns its free side to a side.
func (r *pair) faces(of Side) bool {
	if of == Upper {
		return r.upper.free(Under)
	}
	return r.lower.free(Upper)
}

// survey finds the highest places of every role of every feature, from both sides.
func (r *pair) survey(ctx context.Context) ([]bound, error) {
	index := map[bound0]int{}
	var groups []bound
	best := r.lower.low - r.upper.high - 1
	most := r.lower.high - r.upper.low + 1
	for _, of := range [...]Side{Upper, Under} {
		own := r.own(of)
		pts, table, met := own.points[of], own.field.Pieces, !own.free(of) && r.faces(of)
		stride := strideOf(len(pts))
		for k := range pts {
			if k%1024 == 0 && ctx.Err() != nil {
				return nil, ctx.Err()
			}
			pt := pts[k*stride%len(pts)]
			who := table.At(pt.Piece)
			if met && (who.Role == piece.Wall || who.Role == piece.Corner) {
				continue // walls are met from their free side, which needs no wall of the other part
			}
			id := bound0{of, who.Feature, who.Role}
			i, ok := index[id]
			if !ok {
				i = len(groups)
				index[id] = i
				groups = append(groups, bound{of: of, who: who, best: math.Inf(-1)})
			}
			g := &groups[i]
			lift, hit := r.lift(of, pt.At, max(g.threshold(), best-window))
			if !hit || lift > most {
				continue
			}
			g.take(top{lift, pt})
			best = max(best, lift)
		}
	}
	return groups, nil
}

type bound0 struct {
	of      Side
	feature string
	role    piece.Role
}

// strideOf returns a step that visits every index once, in no order of place.
func strideOf(n int) int {
	for s := int(0.618*float64(n)) | 1; ; s += 2 {
		if a, b := s, n; true {
			for b != 0 {
				a, b = b, a%b
			}
			if a == 1 {
				return s
			}
		}
	}
}

// threshold is the lift from which a place is among the highest of the group.
func (g *bound) threshold() float64 {
	if len(g.tops) < mostTops {
		return g.best - climbs
	}
	return max(g.best-climbs, g.tops[len(g.tops)-1].lift)
}

// take keeps a place if it is among the highest that are apart.
func (g *bound) take(t top) {
	g.best = max(g.best, t.lift)
	for i, o := range g.tops {
		if o.pt.At.Sub(t.pt.At).Norm() < apart {
			if t.lift > o.lift {
				g.tops[i] = t
			}
			g.sort()
			return
		}
	}
	g.tops = append(g.tops, t)
	g.sort()
	if len(g.tops) > mostTops {
		g.tops = g.tops[:mostTops]
	}
}

func (g *bound) sort() {
	slices.SortStableFunc(g.tops, func(a, b top) int { return cmp.Compare(b.lift, a.lift) })
}

// distinct sorts the peaks, the highest first, and keeps one of each pair of roles.
func distinct(ps []Peak) []Peak {
	slices.SortStableFunc(ps, func(a, b Peak) int {
		return cmp.Or(cmp.Compare(b.Lift, a.Lift), cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y))
	})
	type id struct {
		a, b string
		r, s piece.Role
	}
	seen := map[id]bool{}
	out := ps[:0]
	for _, p := range ps {
		k := id{p.Lower.Feature, p.Upper.Feature, p.Lower.Role, p.Upper.Role}
		if !seen[k] {
			seen[k] = true
			out = append(out, p)
		}
	}
	return out
}
