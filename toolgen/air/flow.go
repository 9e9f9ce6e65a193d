package air

import "math"

// The air: ideal, and at one temperature from the sheet to the tank. Under a hot sheet it is warmer
// and leaves faster, so the times are on the safe side.
const (
	Gas         = 287.05   // gas constant of air, J/(kg K)
	Gamma       = 1.4      // ratio of its specific heats
	Temperature = 293.15   // K
	Atmosphere  = 101325.0 // Pa
)

// Discharge is the discharge coefficient of a drilled sharp hole (a flow tutorial gives 0.60 to
// 0.65; 0.7 to 0.85 for short thick holes is from memory, unverified). The lower range gives the
// slower, safer time.
const Discharge = 0.65

// rt is p V / m, J/kg.
const rt = Gas * Temperature

// CriticalRatio returns the ratio of the pressures behind and before a hole under which the flow is
// choked: the air in the hole is as fast as sound.
//
// SOURCE: isentropic flow of an ideal gas: (2/(g+1))^(g/(g-1)).
func CriticalRatio() float64 { return math.Pow(2/(Gamma+1), Gamma/(Gamma-1)) }

// Choked returns the mass flow of a choked hole, kg/s, per m2 and Pa, times the root of the
// temperature before it: sqrt(K) s/m.
//
// SOURCE: isentropic flow of an ideal gas, as derived on a gas-dynamics course's pages:
// sqrt(g/R (2/(g+1))^((g+1)/(g-1))).
func Choked() float64 {
	return math.Sqrt(Gamma / Gas * math.Pow(2/(Gamma+1), (Gamma+1)/(Gamma-1)))
}

var (
	critical = CriticalRatio()
	choked   = Choked() / math.Sqrt(Temperature)
)

// Flow returns the mass flow from pressure p1 to p2 through an effective area, kg/s; 0 where p2 is
// not below p1.
//
// UNIT: area m2, discharge coefficient included; absolute pressures, Pa.
//
// SOURCE: isentropic flow: Choked up to the critical ratio, then
// sqrt(2g/((g-1) R T) (r^(2/g) - r^((g+1)/g))), r = p2/p1.
func Flow(area, p1, p2 float64) float64 {
	if p2 >= p1 {
		return 0
	}
	r := max(0, p2/p1)
	if r <= critical {
		return choked * area * p1
	}
	x := math.Pow(r, 1/Gamma)
	return area * p1 * math.Sqrt(2*Gamma/((Gamma-1)*rt)*max(0, x*x-r*x))
}

// HoleArea returns the effective area of a small drill and a back drill behind it (0: none), m2.
//
// UNIT: diameters mm.
func HoleArea(small, back float64) float64 {
	a := Discharge * math.Pi * small * small / 4e6
	if back <= 0 {
		return a
	}
	return Series(a, Discharge*math.Pi*back*back/4e6)
}

// Series returns the effective area of restrictions one behind the other.
//
// SOURCE: derived: at the same slow flow their pressure losses, as 1/area^2, add up.
func Series(areas ...float64) float64 {
	sum := 0.0
	for _, a := range areas {
		sum += 1 / (a * a)
	}
	return 1 / math.Sqrt(sum)
}

// Losses of a hose: inlet and outlet in velocity heads, and the friction factor of a smooth hose at
// a Reynolds number of some 50 000 (both from memory, unverified).
const (
	endLosses = 1.5
	friction  = 0.025
)

// HoseArea returns the effective area of a hose, m2.
//
// UNIT: bore and length mm.
//
// ERROR: exact for slow flow; the flow it gives for a choked one is too small, so the time is on the
// safe side: a long pipe chokes later than a hole.
//
// SOURCE: derived: the loss of (endLosses + friction L/D) velocity heads as a hole of the same loss.
func HoseArea(bore, length float64) float64 {
	return math.Pi * bore * bore / 4e6 / math.Sqrt(endLosses+friction*length/bore)
}
