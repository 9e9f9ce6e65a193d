package closing

import (
	"cmp"
	"math"
	"slices"

	"platen/toolgen/geom"
)

// laid is both halves on each other.
type laid struct {
	in        Input
	base, lid *half
	up        [2]*grid  // greatest c of base and lid over every place
	arc       [2]*grid  // greatest angle of base and lid on every circle
	snaps     []keepOut // where the snaps are: they are measured by themselves
	boxes     []geom.Box2
	reach     []float64 // from the outline of every solid of the tool to plain land, mm; boxes hold it
}

// keepOut is a disc of a half's plan, in its frame.
type keepOut struct {
	at geom.Vec2 // a, b
	r  float64
}

// lay fills the lattices of both halves.
func (in Input) lay(base, lid *half, snaps []Snap) (*laid, error) {
	l := &laid{in: in, base: base, lid: lid}
	for _, s := range snaps {
		for _, h := range s.Faces {
			if h.solid == nil {
				continue
			}
			p := base.in(h.solid.Middle.At(0), in.Line.Beyond(h.solid.Middle) > 0)
			prof, _ := h.solid.Wall.Profile()
			l.snaps = append(l.snaps, keepOut{p.Plan(), h.solid.Outline.Inside() + max(0, prof.Reach())})
		}
	}
	for _, s := range in.Body.Solids {
		prof, _ := s.Wall.Profile()
		r := max(0, prof.Reach()) + offRims
		l.reach, l.boxes = append(l.reach, r), append(l.boxes, s.Outline.Bounds().Grow(r))
	}
	box := base.box
	box = box.Hold(lid.box.Min).Hold(lid.box.Max)
	reach := math.Hypot(box.Max.Y, max(math.Abs(box.Min.Z), math.Abs(box.Max.Z)))
	for i, h := range [...]*half{base, lid} {
		l.up[i], l.arc[i] = newGrid(in.Step, box, reach), newGrid(in.Step, box, reach)
		l.up[i].columns(h)
	}
	if err := l.fill(); err != nil {
		return nil, err
	}
	for i, h := range [...]*half{base, lid} {
		l.arc[i].arcs(h)
	}
	return l, nil
}

// out reports whether a place of the lattice is left out: it bends with the beads or belongs to a snap.
func (l *laid) out(a, b float64) bool {
	if b <= l.base.halfway {
		return true
	}
	for _, k := range l.snaps {
		if k.at.Sub(geom.Vec2{X: a, Y: b}).Norm() <= k.r {
			return true
		}
	}
	return false
}

// feature returns the id of the feature at a place of a half; "" the plain flange.
func (l *laid) feature(h *half, a, b float64) string {
	if f := featureAt(l.in.Body, h.out(geom.Vec3{X: a, Y: b}, h.lid).Plan()); f != nil {
		return f.ID
	}
	return ""
}

// Where flanges are measured.
const (
	flangeEvery = 2   // steps
	offRims     = 3.0 // from the roundings of features, mm: nearer, the sheet thins into them
	landed      = 0.3 // mm that the sheet may stand off: the chords of its mesh across the foot of a rounding do
)

// outliers is the share of the flange at either end that Low and High leave out.
const outliers = 0.01

// gapAt is the gap at one place.
type gapAt struct {
	gap float64
	at  geom.Vec3
}

// flanges measures the gap where plain land lies on plain land.
func (l *laid) flanges() Gap {
	var g Gap
	var all []gapAt
	sum := 0.0
	u, v := l.up[0], l.up[1]
	step := float64(flangeEvery) * u.step
	for i := 0; i < u.na; i += flangeEvery {
		for j := 0; j < u.nb; j += flangeEvery {
			c, d := u.top[i*u.nb+j], v.top[i*u.nb+j]
			a, b := float64(i+u.a0)*u.step, float64(j)*u.step
			if math.IsInf(c, -1) || math.IsInf(d, -1) || l.out(a, b) || !l.plain(l.base, a, b) || !l.plain(l.lid, a, b) {
				continue
			}
			var known [2]bool
			c, known[0] = l.flange(l.base, a, b, c)
			d, known[1] = l.flange(l.lid, a, b, d)
			if !known[0] || !known[1] {
				g.Unknown += step * step
			}
			all = append(all, gapAt{-(c + d), l.base.out(geom.Vec3{X: a, Y: b, Z: c}, false)})
			sum -= c + d
		}
	}
	if len(all) == 0 {
		return g
	}
	slices.SortStableFunc(all, func(a, b gapAt) int { return cmp.Compare(a.gap, b.gap) })
	n := len(all)
	k := int(outliers * float64(n))
	g.Min, g.AtMin, g.Low, g.AtLow = all[0].gap, all[0].at, all[k].gap, all[k].at
	g.Max, g.AtMax, g.High, g.AtHigh = all[n-1].gap, all[n-1].at, all[n-1-k].gap, all[n-1-k].at
	g.Mean, g.Area = sum/float64(n), float64(n)*step*step
	return g
}

// plain reports whether a place of a half is land away from features.
func (l *laid) plain(h *half, a, b float64) bool {
	p := l.in.Body.Map.Plan(h.out(geom.Vec3{X: a, Y: b}, h.lid).Plan())
	for i, s := range l.in.Body.Solids {
		if l.boxes[i].Holds(p) && s.Outline.At(p).D < l.reach[i] {
			return false
		}
	}
	return true
}

// flange returns c of a half's flange at a place: of the tool's land and the formed wall on it; where the
// sheet does not lie on the land, shown, that of the shell. A wall in a web is not known.
func (l *laid) flange(h *half, a, b, shown float64) (c float64, known bool) {
	body, line := l.in.Body, l.in.Line
	q := h.out(geom.Vec3{X: a, Y: b}, h.lid).Plan()
	wall, off, known := l.in.Formed.Cover(body.Map.Plan(q).At(body.Land()))
	if !known || off > landed {
		return shown, known
	}
	return h.in(q.At(body.MeetingZ(line.Meets, wall)), h.lid).Z, true
}

// lying is the way within which faces that close on each other count as lying on each other, mm: a formed
// flange is no flatter (common practice, no source).
const lying = 0.05

// swing finds what meets first on the way. On every circle about the line the base reaches up to one angle
// and the lid to another, whatever lies below them: they meet when the lid has turned by 180 degrees less
// both. So no angle is missed, only what lies between the circles.
func (l *laid) swing() Touch {
	t := Touch{Deep: math.Inf(-1)}
	most := math.Inf(-1)
	u, v := l.arc[0], l.arc[1]
	for i := range u.na {
		for j := range u.nb {
			c, d := u.top[i*u.nb+j], v.top[i*u.nb+j]
			if math.IsInf(c, -1) || math.IsInf(d, -1) {
				continue
			}
			r := float64(j) * u.step
			over := c + d - float64(math.Pi-l.in.Angle) // that both would have to give way by
			deep := r * over
			if deep <= t.Deep && over <= most {
				continue
			}
			a, bc, bd := float64(i+u.a0)*u.step, r*math.Cos(c), r*math.Cos(d)
			if l.out(a, bc) || l.out(a, bd) {
				continue
			}
			fc, fd := l.owner(0, i, j, a, bc), l.owner(1, i, j, a, bd)
			if fc == "" && fd == "" {
				continue // flange on flange is measured as the gap
			}
			t.Deep = max(t.Deep, deep)
			if deep > lying && over > most || most < 0 && deep == t.Deep {
				most = over
				t.Angle, t.Base, t.Lid = geom.Angle(math.Pi-c-d), fc, fd
				t.At = l.base.out(geom.Vec3{X: a, Y: bc, Z: r * math.Sin(c)}, false)
			}
		}
	}
	t.Clear = t.Deep <= lying
	return t
}

// owner returns the feature that reaches highest at a place of half h's circles, or the product on it.
func (l *laid) owner(h, i, j int, a, b float64) string {
	side := [...]*half{l.base, l.lid}[h]
	if k := int(l.arc[h].tri[i*l.arc[h].nb+j]); k >= side.sheet {
		return side.products[k-side.sheet] + productOf
	}
	return l.feature(side, a, b)
}

// productOf stands behind the name of a feature where its product is meant.
const productOf = " (product)"
