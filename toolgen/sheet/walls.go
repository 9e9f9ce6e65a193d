package sheet

import (
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/wall"
)

// fit is the wall of one feature: its level and its sides, linear in depth.
type fit struct {
	end          float64 // mm; 0 unknown
	at0, slope   float64 // side wall at the host level, mm, and per mm of depth
	sides        bool
	least, depth float64 // least wall on the sides; depth over which they were seen
}

// sideShare is the part of a wall's depth, from each end, that its fit leaves out: the roundings.
const sideShare = 0.1

// fits makes the walls that offsets are taken from: the mean on levels, a line through the sides.
func (f *Formed) fits(shreds map[key][]shred) {
	if a, ok := f.area("block", piece.Land); ok {
		f.land = a.Mean
	}
	for _, s := range f.Body.Solids {
		w := &fit{}
		for _, role := range [...]piece.Role{piece.Floor, piece.Crown} {
			if a, ok := f.area(s.ID, role); ok {
				w.end = a.Mean
			}
		}
		var n, sx, sy, sxx, sxy float64
		w.least = f.Body.Part.Gauge
		for _, role := range [...]piece.Role{piece.Wall, piece.Corner} {
			if role == piece.Corner && n > 0 {
				break // corners are thinner; they stand in only for round features
			}
			for _, t := range shreds[key{s.ID, role}] {
				depth := s.Wall.Host - t.at.Z
				if depth < 0 {
					depth = -depth
				}
				n += t.area
				sx += t.area * depth
				sy += t.area * t.wall
				sxx += t.area * depth * depth
				sxy += t.area * depth * t.wall
				w.least = min(w.least, t.wall)
			}
		}
		if det := n*sxx - sx*sx; n > 0 {
			w.sides = true
			w.at0 = sy / n
			if det > 1e-9*n*n {
				w.slope = (n*sxy - sx*sy) / det
				w.at0 = (sy - w.slope*sx) / n
			}
		}
		f.walls[s.ID] = w
	}
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
	t := f.at0 + f.slope*min(max(depth, sideShare*p.Height), (1-sideShare)*p.Height)
	return wall.Thickness{MM: max(t, f.least), Simulated: true}
}

func fine(p *part.Feature) bool { return p.Use == part.Lettering || p.Use == part.Hinge }
