// Package shop owns what a tool shop has on its shelves and its machines can do: drills, screws and
// dowels, fits and tolerances, pecks and reach, and the cusp a cutter leaves.
//
// Lengths are mm, angles in degrees. A list of drills is a Set; start at Drills.
package shop

import (
	"fmt"
	"math"
	"slices"

	"platen/toolgen/source"
)

// Drill is a twist drill of the jobber series.
type Drill struct {
	D       float64 // diameter, mm
	Flute   float64 // length of the flutes, mm
	Overall float64 // length over all, mm
}

// DrillSource is what stands behind the lengths of Drills: the length steps of the jobber series.
func DrillSource() source.Advice {
	return source.Say("jobber series, flute and overall lengths", source.M, "lengths of "+source.ISO235+", from memory")
}

// Set is a list of drills, thinnest first.
type Set []Drill

// lengthStep is one step of the jobber series: diameters over the step before, up to Upto.
type lengthStep struct{ upto, overall, flute float64 }

// lengthSteps are the lengths of the jobber series, from memory, unverified.
//
// SOURCE: ISO 235, DIN 338.
var lengthSteps = [...]lengthStep{
	{0.30, 19, 3}, {0.38, 19, 4}, {0.48, 20, 5}, {0.53, 22, 6}, {0.60, 24, 7}, {0.67, 26, 8},
	{0.75, 28, 9}, {0.85, 30, 10}, {0.95, 32, 11}, {1.06, 34, 12}, {1.18, 36, 14}, {1.32, 38, 16},
	{1.50, 40, 18}, {1.70, 43, 20}, {1.90, 46, 22}, {2.12, 49, 24}, {2.36, 53, 27}, {2.65, 57, 30},
	{3.00, 61, 33}, {3.35, 65, 36}, {3.75, 70, 39}, {4.25, 75, 43}, {4.75, 80, 47}, {5.30, 86, 52},
	{6.00, 93, 57}, {6.70, 101, 63}, {7.50, 109, 69}, {8.50, 117, 75}, {9.50, 125, 81},
	{10.6, 133, 87}, {11.8, 142, 94}, {13.2, 151, 101}, {14.0, 160, 108}, {15.0, 169, 114},
}

// ladder is a run of sizes in hundredths of a millimetre, ends included.
type ladder struct{ from, to, step int }

// ladders are the sizes on the shelf: steps of 0.05 up to 3 mm, of 0.1 up to 10, of 0.5 above with
// the tapping drill of M12 between.
var ladders = [...]ladder{{30, 300, 5}, {310, 1000, 10}, {1020, 1020, 1}, {1050, 1450, 50}}

// Drills returns the usual list from 0.3 to 14.5 mm.
func Drills() Set {
	var s Set
	for _, l := range ladders {
		for c := l.from; c <= l.to; c += l.step {
			d, _ := NewDrill(float64(c) / 100)
			s = append(s, d)
		}
	}
	return s
}

// NewDrill returns the jobber drill of diameter d. The error says which diameters have one.
func NewDrill(d float64) (Drill, error) {
	const least = 0.24 // mm, below the first step kept here
	if d > least {
		for _, s := range lengthSteps {
			if d <= s.upto {
				return Drill{D: d, Flute: s.flute, Overall: s.overall}, nil
			}
		}
	}
	return Drill{}, fmt.Errorf("no jobber drill of %g mm, allowed are diameters over %g up to %g mm",
		d, least, lengthSteps[len(lengthSteps)-1].upto)
}

// SetOf returns the drills of a shop's own list of diameters, in any order, repeats dropped.
func SetOf(diameters []float64) (Set, error) {
	if len(diameters) == 0 {
		return nil, fmt.Errorf("the list of drills is empty")
	}
	sorted := slices.Clone(diameters)
	slices.Sort(sorted)
	var s Set
	for _, d := range slices.Compact(sorted) {
		drill, err := NewDrill(d)
		if err != nil {
			return nil, err
		}
		s = append(s, drill)
	}
	return s, nil
}

// sizeSlack forgives the last bits of a diameter that was worked out, mm.
const sizeSlack = 1e-9

// AtMost returns the thickest drill not thicker than d; ok is false if all are thicker.
func (s Set) AtMost(d float64) (drill Drill, ok bool) {
	for _, x := range s {
		if x.D > d+sizeSlack {
			break
		}
		drill, ok = x, true
	}
	return drill, ok
}

// AtLeast returns the thinnest drill not thinner than d; ok is false if all are thinner.
func (s Set) AtLeast(d float64) (drill Drill, ok bool) {
	for _, x := range s {
		if x.D >= d-sizeSlack {
			return x, true
		}
	}
	return Drill{}, false
}

// Nearest returns the drill nearest in diameter, the thinner of two as near: a hole can be opened
// later. ok is false for an empty set.
func (s Set) Nearest(d float64) (drill Drill, ok bool) {
	for _, x := range s {
		if !ok || math.Abs(x.D-d) < math.Abs(drill.D-d)-sizeSlack {
			drill, ok = x, true
		}
	}
	return drill, ok
}

// Point angles of drills, degrees.
const (
	PointStandard = 118.0 // the jobber drill
	PointSplit    = 135.0 // self-centring
	PointFlat     = 140.0 // carbide
)

// Tip returns the length of the cone that a drill of diameter d leaves below the full diameter,
// d/2 / tan(point/2): 0.3004 d at 118 degrees.
//
// SOURCE: derived from the cone.
func Tip(d, point float64) float64 {
	return d / 2 / math.Tan(point/2*math.Pi/180)
}
