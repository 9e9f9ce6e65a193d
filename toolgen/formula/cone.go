package formula

import (
	"math"

	"platen/toolgen/geom"
)

// Cone returns wall / gauge of a female cone at u = local radius / mouth radius, for a wall at angle
// a from the horizontal: (1 + cos a)/2 u^(1/cos a - 1).
//
// SHAPE: the sheet sticks where it touches; the free part is a spherical cap of even thickness that
// is tangent to the wall. a is over 0 and under 90 degrees; u from 0 to 1.
//
// SOURCE: University of California, Berkeley, ME 221, Thermoforming: theoretical considerations.
func Cone(a geom.Angle, u float64) float64 {
	return (1 + a.Cos()) / 2 * math.Pow(u, 1/a.Cos()-1)
}

// Tumbler is a female cone cut off by a flat base.
type Tumbler struct {
	Mouth, Base, Depth float64 // diameters and depth, mm
}

// Angle returns the wall's angle from the horizontal.
func (c Tumbler) Angle() geom.Angle {
	return geom.Angle(math.Atan2(c.Depth, (c.Mouth-c.Base)/2))
}

// Apex returns the depth at which the full cone would close, mm.
func (c Tumbler) Apex() float64 { return c.Mouth / 2 * c.Angle().Tan() }

// Wall returns wall / gauge at a distance s along the wall from the mouth, mm. It holds as far as
// the wall is touched before the base; see Contact.
func (c Tumbler) Wall(s float64) float64 {
	return Cone(c.Angle(), 1-s*c.Angle().Sin()/c.Apex())
}

// Contact returns the depth of the free cap's rim when its pole meets the base, mm: the cap at local
// radius r is r tan(a/2) high, so z + (R - z / tan a) tan(a/2) = depth.
func (c Tumbler) Contact() float64 {
	half := math.Tan(float64(c.Angle()) / 2)
	return max(0, (c.Depth-c.Mouth/2*half)/(1-half/c.Angle().Tan()))
}

// BaseCentre returns wall / gauge at the centre of the base, which keeps the thickness of the moment
// it is touched. A base met before the wall is touched at all has the thickness of the free dome.
func (c Tumbler) BaseCentre() float64 {
	z := c.Contact()
	if z == 0 {
		return Dome(c.Mouth/2, c.Depth)
	}
	return Cone(c.Angle(), 1-z/c.Apex())
}

// CupFloor returns wall / gauge at the floor centre of a cylindrical cup: the free dome up to a depth
// of one radius, then 0.5 exp(-(depth - radius)/radius).
//
// SOURCE: derived: the cone law's limit at 90 degrees.
func CupFloor(radius, depth float64) float64 {
	if depth <= radius {
		return Dome(radius, depth)
	}
	return 0.5 * math.Exp(-(depth-radius)/radius)
}

// CupWall returns wall / gauge of a cylindrical cup at a depth z that is touched before the floor.
//
// SOURCE: derived: the cone law's limit at 90 degrees.
func CupWall(radius, z float64) float64 { return 0.5 * math.Exp(-z/radius) }

// Corner returns the thinning of a straight corner that fills from radius from to radius to:
// (to/from)^(4/pi - 1). It multiplies the wall at the moment the floor was touched.
//
// SOURCE: derived: a shrinking quarter-round that sticks on both sides.
func Corner(from, to float64) float64 { return math.Pow(to/from, 4/math.Pi-1) }

// CupCorner returns the thinning of the corner of a round cup that fills from the cup's radius down
// to x times it.
//
// SOURCE: derived, cup of radius 1, b = pi/2, c = pi/2 - 1: the free quarter torus has the area
// A = 2 pi x (b - c x) and lays 2 pi (2 - x) down on wall and floor per unit of x, so
// t'/t = (2 - x)/(x (b - c x)) - A'/A. In partial fractions (2/b)/x + (2 c/b - 1)/(b - c x) - A'/A,
// which integrates to the two powers below.
func CupCorner(x float64) float64 {
	const (
		b = math.Pi / 2
		c = math.Pi/2 - 1
		p = 2/b - 1
		q = (1-2*c/b)/c - 1
	)
	return math.Pow(x, p) * math.Pow(b-c*x, q)
}

// VTrough returns wall / gauge of a long V trough at u = local / mouth half width:
// (sin a / a) u^(tan a / a - 1).
//
// SOURCE: derived: the cone's reasoning with a circular arc in plane strain.
func VTrough(a geom.Angle, u float64) float64 {
	return a.Sin() / float64(a) * math.Pow(u, a.Tan()/float64(a)-1)
}

// TroughWall returns wall / gauge of a long square trough of half width r at depth z, touched before
// the floor: (2/pi) exp(-2 z/(pi r)). At z = depth - r it is the floor's.
//
// SOURCE: derived: the V trough's limit at 90 degrees.
func TroughWall(r, z float64) float64 {
	return 2 / math.Pi * math.Exp(-2*z/(math.Pi*r))
}
