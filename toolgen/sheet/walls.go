package sheet

import (
	"cmp"
	"math"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/wall"
)

// fit is the wall of one feature: its level and its sides, linear in depth.
type fit struct {
	end        float64 // mm; 0 unknown
	at0, slope float64 // side wall at the host level, mm, and per mm of depth
	sides      bool
	least      float64 // least wall seen on the sides, mm
	rings      []ring  // of a waisted solid, in place of the line
}

// middleOfLevel is where a depth is measured: the middle of a level, where a gauge stands and the
// product rests; as a share of the greatest distance from the outline. Towards fillets the sheet is
// thinner.
const middleOfLevel = 0.7

// fits makes the walls that offsets are taken from: the mean over the middle of levels, a line
// through the middle of the sides.
func (f *Formed) fits(shreds map[key][]shred) {
	f.walls = map[string]*fit{}
	if a, ok := f.area("block", piece.Land); ok {
		f.land = a.Mean
	}
	for _, s := range f.Body.Solids {
		w := &fit{}
		if l, ok := level(s, shreds); ok {
			w.end = l.Middle
			f.Levels = append(f.Levels, l)
		}
		if s.Undercut.Depth > 0 {
			f.rings(w, s)
		} else {
			f.line(w, s)
		}
		f.walls[s.ID] = w
	}
}

// Level is the wall of the sheet on a feature's floor or top, mm.
type Level struct {
	Feature   string
	Middle    float64 // mean over the middle, which the tool is offset by
	Low, High float64 // all but a hundredth of the area at either end lies between
}

// level measures the wall on a feature's floor or top; ok is false where none was seen.
func level(s *body.Solid, shreds map[key][]shred) (l Level, ok bool) {
	var sum, area, whole float64
	var all []shred
	for _, role := range [...]piece.Role{piece.Floor, piece.Crown} {
		list := shreds[key{s.ID, role}]
		inside := make([]float64, len(list))
		most := 0.0
		for i, t := range list {
			inside[i] = -s.Outline.At(t.at.Plan()).D
			most = max(most, inside[i])
			whole += t.area
		}
		all = append(all, list...)
		for i, t := range list {
			if inside[i] >= middleOfLevel*most {
				sum += t.area * t.even
				area += t.area
			}
		}
	}
	if area == 0 {
		return Level{}, false
	}
	slices.SortFunc(all, func(a, b shred) int { return cmp.Or(cmp.Compare(a.even, b.even), cmp.Compare(a.area, b.area)) })
	l = Level{Feature: s.ID, Middle: sum / area, Low: all[0].even, High: all[len(all)-1].even}
	for i, below := 0, 0.0; i < len(all) && below < lowShare*whole; i++ {
		l.Low = all[i].even
		below += all[i].area
	}
	for i, above := len(all)-1, 0.0; i >= 0 && above < lowShare*whole; i-- {
		l.High = all[i].even
		above += all[i].area
	}
	return l, true
}

// free returns +1 where the measured side lies above the contact side, -1 below, 0 where they are one.
func (f *Formed) free() float64 {
	t := f.Body.Part.Job.Tool
	switch {
	case t.Choice("contact") == t.Choice("measured"):
		return 0
	case t.Choice("measured") == "upper":
		return 1
	}
	return -1
}

// Where a wall is sampled: where a caliper is laid on, about the middle of each straight, and away
// from the roundings at its ends.
const (
	endShare = 0.2 // of the height, left out at each end
	heights  = 13
	onWall   = 0.02 // mm; farther off the wall another feature cuts it away
)

var middles = [...]float64{0.35, 0.5, 0.65} // of each straight, or of each arc of a round feature

// line lays a line through the walls over the depth of the measured side.
func (f *Formed) line(w *fit, s *body.Solid) {
	round := !slices.ContainsFunc(s.Outline.Elems, func(e outline.Elem) bool { return !e.IsArc() })
	// The measured side of a place lies the wall away from it: on a slope that is another depth.
	lift := f.free() * s.Draft.Sin()
	towards := 1.0
	if s.Wall.Host < s.Wall.End {
		towards = -1
	}
	w.least = f.Body.Part.Gauge
	var n, sx, sy, sxx, sxy float64
	for _, e := range s.Outline.Elems {
		if e.IsArc() != round {
			continue
		}
		for _, u := range middles {
			for k := range heights {
				z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(endShare+(1-2*endShare)*float64(k)/(heights-1))
				p := e.Point(u).Add(e.Out(u).Scale(towards * (z - s.Wall.Datum) * s.Wall.Draft.Tan())).At(z)
				t, ok := f.onSide(s, p)
				if !ok {
					continue
				}
				d := math.Abs(f.Body.Map.Back(p).Z + lift*t - s.ZHost)
				n++
				sx += d
				sy += t
				sxx += d * d
				sxy += d * t
				w.least = min(w.least, t)
			}
		}
	}
	if n == 0 {
		return
	}
	w.sides = true
	w.at0 = sy / n
	if det := n*sxx - sx*sx; det > 1e-9*n*n {
		w.slope = (n*sxy - sx*sy) / det
		w.at0 = (sy - w.slope*sx) / n
	}
}

// onSide returns the wall over a point that should lie on a feature's side.
func (f *Formed) onSide(s *body.Solid, p geom.Vec3) (float64, bool) {
	at := f.Body.Field.Face(p)
	if what := f.Body.Field.Pieces.At(at.Piece); math.Abs(at.D) > onWall || what.Feature != s.ID {
		return 0, false
	}
	return f.Wall(p)
}

func (f *Formed) area(feature string, role piece.Role) (Area, bool) {
	for _, a := range f.Areas {
		if a.Feature == feature && a.Role == role && a.Size > 0 {
			return a, true
		}
	}
	return Area{}, false
}

// Walls returns the formed walls for offsets and vents; where the sheet was not seen on a feature it
// falls back on what the feature stands on.
func (f *Formed) Walls() wall.Walls { return walls{f} }

type walls struct{ f *Formed }

var _ wall.Walls = walls{}

// Land returns the mean wall on the land of the part.
func (w walls) Land() wall.Thickness {
	if w.f.land == 0 {
		return wall.Thickness{MM: w.f.Body.Part.Gauge}
	}
	return wall.Thickness{MM: w.f.land, Simulated: true}
}

// End returns the mean wall on a feature's floor or top.
func (w walls) End(p *part.Feature) wall.Thickness {
	for ; p != nil; p = p.Parent {
		if fine(p) {
			continue
		}
		if f := w.f.walls[p.ID]; f != nil && f.end > 0 {
			return wall.Thickness{MM: f.end, Simulated: true}
		}
	}
	return w.Land()
}

// Side returns the wall of a feature's sides at depth mm from its host level.
func (w walls) Side(p *part.Feature, depth float64) wall.Thickness {
	f := w.f.walls[p.ID]
	if f == nil || !f.sides || fine(p) {
		return w.End(p)
	}
	if len(f.rings) > 0 {
		return wall.Thickness{MM: ringAt(f.rings, depth), Simulated: true}
	}
	return wall.Thickness{MM: max(f.at0+f.slope*depth, leastLine*f.least), Simulated: true}
}

// leastLine is how far the line may run below the least wall seen, as a share of it: levels lie a
// rounding beyond the sides.
const leastLine = 0.5

func fine(p *part.Feature) bool { return p.Use.Fine() }
