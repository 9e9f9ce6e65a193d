package shop

import (
	"fmt"
	"strings"
)

// Machine is the vacuum side of a forming machine.
type Machine struct {
	Tank       float64 // volume, litres
	Vacuum     float64 // in the tank, kPa below the air
	HoseBore   float64 // mm
	HoseLength float64 // mm
	Pump       float64 // volume flow at its inlet, m3/h
	Box        float64 // height of the box between tool and table that fills with air, mm
	Default    bool    // all of it is the built-in default
}

// DefaultMachine returns a small machine with a tank (from memory, unverified): it stands in for a
// shop that has not said what it has.
func DefaultMachine() Machine {
	return Machine{Tank: 100, Vacuum: 85, HoseBore: 25, HoseLength: 2000, Pump: 40, Box: 20, Default: true}
}

// String says what the machine is, and whether the shop said so.
func (m Machine) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "tank %g l at %g kPa below the air, hose %.4g mm bore and %.4g m long, pump %g m3/h, box %.4g mm high", m.Tank, m.Vacuum, m.HoseBore, m.HoseLength/1000, m.Pump, m.Box)
	if m.Default {
		return b.String() + " (built-in default, unverified)"
	}
	return b.String()
}
