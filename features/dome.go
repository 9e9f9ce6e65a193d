package features

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Dome is a raised cap whose top is one arc.
var Dome = part.Kind{
	Kind: job.Kind{
		Name: "dome",
		Text: "raised cap: one arc from foot to top, over walls where it is higher than wide; round by diameter, or of a slot or another outline, over whose corners the arc runs",
		On:   "raised",
		Params: []job.Param{
			diameterKey, sizeKey, outlineKey,
			{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 1000, Text: "from the level it stands on to its top"},
			cornerKey("half the shorter side"),
			draftKey(6, draftRange),
			{Key: "root", Type: job.Length, Min: 0, Max: 100, Source: practice, Text: "rounding where it meets its surroundings; not given: 1.5 gauges, at least 1.5 mm"},
		},
		Example: "kind: dome\ndiameter: 60\nheight: 12\n",
	},
	Shape: domeShape,
}

// domeFlat is how far from the middle of its top a dome is level, mm: over a cap of 50 mm radius it lies
// 0.01 mm below the sphere.
const domeFlat = 1.0

func domeShape(e part.Env) ([]part.Solid, error) {
	v := e.Values
	root := max(1.5, 1.5*e.Gauge)
	if v.Has("root") {
		root = v.Length("root")
	}
	corner := min(v.Point("size").X, v.Point("size").Y) / 2
	if v.Has("corner") {
		corner = v.Length("corner")
	}
	o, err := footprint(e, corner)
	if err != nil {
		return nil, err
	}
	s, err := domed(o, v.Length("height"), v.Angle("draft"), root, domeFlat)
	if err != nil {
		return nil, err
	}
	return []part.Solid{s}, nil
}

// domed returns the solid of a cap on an outline: an arc that ends level at flat mm from the middle and
// meets the root's rounding, at the draft or at the flatter slope that height and width ask.
//
// ERROR: a KeyError at height where walls and arc meet before the top.
func domed(o *outline.Outline, height float64, draft geom.Angle, root, flat float64) (part.Solid, error) {
	half := min(o.Inside(), o.Convex()) - flat
	// The arc runs k r inward, k = tan((90 deg - slope) / 2), and the wall's line height tan(slope). Arc and
	// root take k (r + root) of the wall, but for the least that is left of it.
	run := func(a geom.Angle) (r, run float64) {
		k := ((90*geom.Degree - a) / 2).Tan()
		r = (height/a.Cos()-part.ShortWall)/k - root
		return r, r*k + height*a.Tan()
	}
	slope := draft
	if _, w := run(draft); w < half {
		lo, hi := draft, 89*geom.Degree
		for range 60 {
			if slope = (lo + hi) / 2; slope == lo || slope == hi {
				break
			}
			if _, w := run(slope); w < half {
				lo = slope
			} else {
				hi = slope
			}
		}
		slope = lo
	}
	r, w := run(slope)
	if w > half { // higher than wide: walls below the arc
		r = (half - height*slope.Tan()) / ((90*geom.Degree - slope) / 2).Tan()
	}
	switch {
	case slope > flattest:
		return part.Solid{}, part.Blame("height", "height %.3f mm is a slope of %.1f deg from the vertical over a half width of %.3f mm; at most %.0f deg, a height of about %.3f mm",
			height, slope.Degrees(), half+flat, flattest.Degrees(), math.Ceil(half*(1-flattest.Sin())/flattest.Cos()*1000)/1000)
	case r < leastCap:
		return part.Solid{}, part.Blame("height", "height %.3f mm leaves the top an arc of %.3f mm over a half width of %.3f mm; at least %.1f mm: a height of at most %.3f mm, less draft or a smaller root",
			height, r, half+flat, leastCap, round3(max(0, half-leastCap)/max(slope.Tan(), 1e-3)))
	}
	return part.Solid{Outline: o, Height: height, Holds: part.AtHost, Draft: slope, HostR: root, EndR: r, EndSize: true}, nil
}

// Bounds of a cap.
const (
	flattest = 84 * geom.Degree // slope from the vertical
	leastCap = 0.3              // radius of its arc, mm
)
