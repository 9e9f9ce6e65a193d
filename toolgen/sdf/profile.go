package sdf

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// far is where a profile's end rays stop, mm: beyond any tool.
const far = 1e5

// Profile is the section of a feature in the (d, z) plane, d being the signed distance to its
// outline. It is an open chain with the material to its left; the first and last elements are level
// rays that stand for the planes the feature joins.
type Profile []outline.Elem

// Wall describes a drafted wall between two levels and its roundings, all on the tool.
type Wall struct {
	Host   float64    // height of the level the feature stands on or sinks from, mm
	End    float64    // height of its floor (below Host) or crown (above Host), mm
	Datum  float64    // height at which the wall stands over the outline (d = 0), mm
	Draft  geom.Angle // from the vertical; the feature narrows from Host to End
	HostR  float64    // rounding between wall and host level, mm; 0 sharp
	EndR   float64    // rounding between wall and end level, mm; 0 sharp
	Inside float64    // how far inside the outline the section may run, mm (the largest disc); 0 unknown

	Undercut Undercut // of a wall that is waisted
}

// Raised reports whether the feature stands up from its host.
func (w Wall) Raised() bool { return w.End > w.Host }

// D returns the wall's distance from the outline at height z, before rounding: positive outside.
func (w Wall) D(z float64) float64 {
	if w.Waisted() {
		if s, err := w.section(); err == nil {
			return s.d(min(math.Abs(z-w.Host), s.height))
		}
		return 0
	}
	d := (z - w.Datum) * w.Draft.Tan()
	if w.Raised() {
		return -d
	}
	return d
}

// TooTight is the refusal of a section whose roundings do not fit.
type TooTight struct {
	What    string  // which quantity is too large
	Got     float64 // mm
	Largest float64 // the largest that fits, mm
}

// Error names the quantity, its value and the largest that fits.
func (e *TooTight) Error() string {
	return fmt.Sprintf("%s %.3f mm does not fit; at most %.3f mm", e.What, e.Got, e.Largest)
}

// Profile returns the closed profile: host ray, rounding, wall, rounding, end ray.
//
// ERROR: *TooTight when the two roundings need more wall than there is, or the walls meet before
// the end level.
func (w Wall) Profile() (Profile, error) {
	height := math.Abs(w.End - w.Host)
	if height <= 0 {
		return nil, fmt.Errorf("the feature has no height")
	}
	if w.Draft < 0 || w.Draft >= 85*geom.Degree {
		return nil, fmt.Errorf("draft %.2f deg is not between 0 and 85", w.Draft.Degrees())
	}
	if w.HostR < 0 || w.EndR < 0 {
		return nil, fmt.Errorf("a rounding of %.3f mm is below 0", min(w.HostR, w.EndR))
	}
	if w.Waisted() {
		return w.waisted()
	}
	// Level and wall enclose 90 deg + draft on the open side, so a rounding of radius r takes
	// r tan((90 deg - draft)/2) off each.
	k := ((90*geom.Degree - w.Draft) / 2).Tan()
	wall := height / w.Draft.Cos()
	if need := k * (w.HostR + w.EndR); need > wall*(1+1e-12) {
		return nil, &TooTight{"the sum of both roundings", w.HostR + w.EndR, math.Floor(wall/k*1000) / 1000}
	}
	host, end := geom.Vec2{X: w.D(w.Host), Y: w.Host}, geom.Vec2{X: w.D(w.End), Y: w.End}
	if run := k*w.EndR - end.X; w.Inside > 0 && run >= w.Inside {
		if k*w.EndR >= w.Inside {
			return nil, &TooTight{"the rounding at its end", w.EndR, math.Floor(w.Inside/k*1000-1) / 1000}
		}
		// The walls meet before the end level: say how much lower it must be.
		most := height - (run-w.Inside)/w.Draft.Tan()
		if w.Draft == 0 || most <= 0 {
			return nil, &TooTight{"the run of the wall and its rounding", run, w.Inside}
		}
		return nil, &TooTight{"its walls meet before they reach their end: the height or depth", height, math.Floor(most*1000) / 1000}
	}
	dir := end.Sub(host).Unit()
	h1, h2 := host.Add(geom.Vec2{X: k * w.HostR}), host.Add(dir.Scale(k*w.HostR))
	e1, e2 := end.Sub(dir.Scale(k*w.EndR)), end.Sub(geom.Vec2{X: k * w.EndR})
	up := 1.0 // sense of the host rounding: convex for a sunk feature
	if w.Raised() {
		up = -1
	}
	p := Profile{{A: geom.Vec2{X: far, Y: w.Host}, B: h1}}
	if w.HostR > 0 {
		p = append(p, outline.Elem{A: h1, B: h2, C: h1.Sub(geom.Vec2{Y: up * w.HostR}), R: up * w.HostR})
	}
	if e1.Sub(h2).Norm() > 1e-9 {
		p = append(p, outline.Elem{A: h2, B: e1})
	}
	if w.EndR > 0 {
		p = append(p, outline.Elem{A: e1, B: e2, C: e2.Add(geom.Vec2{Y: up * w.EndR}), R: -up * w.EndR})
	}
	return append(p, outline.Elem{A: e2, B: geom.Vec2{X: -far, Y: w.End}}), nil
}

// Level reports whether the element is a level plane.
func Level(e outline.Elem) bool { return e.R == 0 && e.A.Y == e.B.Y }

// Reach returns the distance outside the outline beyond which the profile is its host plane alone.
func (p Profile) Reach() float64 {
	most := p[0].B.X
	for i := 1; i < len(p)-1; i++ {
		e := p[i]
		most = max(most, e.A.X, e.B.X)
		if x := e.C.X + math.Abs(e.R); e.R != 0 && x > most && (e.A.Y-e.C.Y)*(e.B.Y-e.C.Y) < 0 && max(e.A.X, e.B.X) > e.C.X {
			most = x // the arc runs over its own widest
		}
	}
	return most
}

// Inner returns the distance from the outline (negative inside) below which the profile is its end
// plane.
func (p Profile) Inner() float64 { return p[len(p)-1].A.X }

// at returns the signed distance in the (d, z) plane, its gradient there and the nearest element.
func (p Profile) at(d, z float64) (v float64, g geom.Vec2, seg int) {
	q := geom.Vec2{X: d, Y: z}
	best := outline.Nearest{}
	for i := range p {
		best.Try(p[i], q, i)
	}
	v, g = best.Signed(q)
	return v, g, best.Index
}
