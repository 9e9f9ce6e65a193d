package formula

import "math"

// SheetHeat returns the heat that brings a sheet to temperature, J/m2: mass per area times specific
// heat times the rise, and the heat of melting where there is one.
//
// UNIT: density kg/m3, gauge mm, specific heat J/(kg K), rise K, latent J/kg.
func SheetHeat(density, gauge, specificHeat, rise, latent float64) float64 {
	return density * gauge / 1000 * (specificHeat*rise + latent)
}

// HeatByConduction returns the time until the centre of a sheet has come within share of a sudden
// step at both faces, s: Fo (gauge/2)^2 / diffusivity with Fo = (4/pi^2) ln(4 / (pi share)).
//
// UNIT: gauge mm, diffusivity m2/s; share is a ratio, usually 0.05.
//
// ERROR: first term of the series; within 1e-4 of it for shares under 0.2.
//
// SOURCE: derived: first term of the series for a plate.
func HeatByConduction(gauge, diffusivity, share float64) float64 {
	half := gauge / 2000
	fourier := 4 / (math.Pi * math.Pi) * math.Log(4/(math.Pi*share))
	return fourier * half * half / diffusivity
}

// HeatByFlux returns the time until heaters have put the heat into the sheet, s.
//
// UNIT: heat J/m2, flux of the heaters W/m2; share is the part of it that the sheet takes.
//
// SOURCE: derived. J. L. Throne, notes on modelling sheet heating, gives 0.4 to 0.6 for the share.
func HeatByFlux(heat, flux, share float64) float64 { return heat / (flux * share) }

// CoolBothSides returns the time until the middle of a formed wall has cooled from hot to release
// between two faces at the tool's temperature, s:
// wall^2 / (pi^2 diffusivity) ln(4/pi (hot - tool)/(release - tool)). It is 0 where the sheet starts
// cool enough, and somewhat long just above that, where the series wants more terms.
//
// UNIT: wall mm, diffusivity m2/s, temperatures degC. NaN unless tool < release.
//
// SOURCE: machining and moulding calculator pages; derived: first term of the series for a plate.
func CoolBothSides(wall, diffusivity, hot, tool, release float64) float64 {
	if !(tool < release) {
		return math.NaN()
	}
	if hot <= release {
		return 0
	}
	s := wall / 1000
	return s * s / (math.Pi * math.Pi * diffusivity) * math.Log(4/math.Pi*(hot-tool)/(release-tool))
}

// CoolOneSide returns the same for a sheet that cools on its tool only, the air taking
// no heat: as a sheet twice as thick, so four times as long.
func CoolOneSide(wall, diffusivity, hot, tool, release float64) float64 {
	return CoolBothSides(2*wall, diffusivity, hot, tool, release)
}
