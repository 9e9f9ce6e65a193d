// Package formula owns the closed forms of forming: draw ratios and walls, heating and cooling,
// nesting and cost. They are the check values that the simulation and the review are held to.
//
// Lengths are mm and angles geom.Angle; heat is in SI as each comment says.
package formula

import "math"

// Areal returns the areal draw ratio: part area over the area of sheet it is drawn from.
//
// SOURCE: SPE Thermoforming Division, Thermoforming 101: The Ubiquitous Draw Ratio, 2005.
func Areal(part, sheet float64) float64 { return part / sheet }

// MeanWall returns the mean wall of a part, gauge / areal draw ratio: the sheet keeps its volume.
func MeanWall(gauge, part, sheet float64) float64 { return gauge * sheet / part }

// StartGauge returns the gauge that gives a mean wall, areal draw ratio x wall.
func StartGauge(wall, part, sheet float64) float64 { return wall * part / sheet }

// BoxArea returns the inner area of an open box without draft: floor and four walls.
func BoxArea(length, width, depth float64) float64 {
	return length*width + 2*depth*(length+width)
}

// CupArea returns the inner area of an open cylinder: floor and wall.
func CupArea(diameter, depth float64) float64 {
	return math.Pi*diameter*diameter/4 + math.Pi*diameter*depth
}

// CupLinear returns the linear draw ratio of a cup: the line down, across and up over the diameter.
func CupLinear(diameter, depth float64) float64 { return (diameter + 2*depth) / diameter }

// PlugWall returns the wall of a box whose plug keeps its own face at the gauge: the sheet of the
// mouth less the plug's face, spread over the walls.
//
// SOURCE: R. J. Crawford, Plastics Engineering, 3rd ed., 1998, Example 4.7.
func PlugWall(gauge, length, width, depth, plugLength, plugWidth float64) float64 {
	return gauge * (length*width - plugLength*plugWidth) / (2 * depth * (length + width))
}

// Dome returns wall / gauge of a free cap of base radius and height: base area over cap area. The
// hemisphere gives 0.5.
//
// SOURCE: derived: the cap's area is pi (radius^2 + height^2), and a free cap is even.
func Dome(radius, height float64) float64 {
	return radius * radius / (radius*radius + height*height)
}
