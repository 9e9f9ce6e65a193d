package limits

import "platen/toolgen/source"

// The limits of radii.
const (
	RadiusError      = "radius.gauge-error"
	RadiusWarn       = "radius.gauge-warn"
	RadiusFloorGauge = "radius.floor-gauge"
	RadiusFloorDepth = "radius.floor-depth"
	RadiusFloorLeast = "radius.floor-least"
	RadiusPressure   = "radius.female-pressure"
)

func radii() []Limit {
	return []Limit{
		{RadiusError, "least radius by vacuum", source.Of(1, source.A, source.Course), unitGauge, Error},
		{RadiusWarn, "good radius by vacuum", source.Of(2, source.B, source.PETGGuide), unitGauge, Warning},
		{RadiusFloorGauge, "floor radius by gauge", source.Practice(2), unitGauge, Note},
		{RadiusFloorDepth, "floor radius by depth", source.Practice(0.05), "x depth", Note},
		{RadiusFloorLeast, "floor radius at least", source.Practice(1.5), "mm", Note},
		{RadiusPressure, "female radius that only pressure reaches, to 64 mm deep", source.Of(0.4, source.A, source.Course), "mm", Note},
	}
}

// RadiusLeast returns the least radius for a gauge: one gauge.
func RadiusLeast(gauge float64) Limit {
	l := Get(RadiusError)
	return l.at(times(l.Value, gauge), "mm")
}

// RadiusGood returns the radius of good practice for a gauge: two gauges.
func RadiusGood(gauge float64) Limit {
	l := Get(RadiusWarn)
	return l.at(times(l.Value, gauge), "mm")
}

// FloorRadius returns the floor radius to give a pocket that asks for none: two gauges, a twentieth
// of the depth or 1.5 mm, whichever is largest.
func FloorRadius(gauge, depth float64) Limit {
	g, d, least := Get(RadiusFloorGauge), Get(RadiusFloorDepth), Get(RadiusFloorLeast)
	best := g.at(times(g.Value, gauge), "mm")
	if v := times(d.Value, depth); v.V > best.Value.V {
		best = d.at(v, "mm")
	}
	if least.Value.V > best.Value.V {
		best = least
	}
	return best
}

// FemalePressure returns the radius that pressure forming reaches in a female tool of a depth, in
// mm: 0.4 to 64 mm deep, 0.8 to 127, 1.5 to 254. ok is false beyond. The source leaves 127 to
// 152 mm open; the larger radius stands there. Vacuum does not reach these.
func FemalePressure(depth float64) (l Limit, ok bool) {
	l = Get(RadiusPressure)
	l.Text = "female radius that only pressure reaches"
	for _, s := range [...]struct{ upto, radius float64 }{{64, 0.4}, {127, 0.8}, {254, 1.5}} {
		if depth <= s.upto {
			v := l.Value
			v.V = s.radius
			return l.at(v, "mm"), true
		}
	}
	return Limit{}, false
}
