package shop

import (
	"fmt"

	"platen/toolgen/source"
)

// Zone is a tolerance zone of the hole or shaft system.
type Zone uint8

// The zones kept.
const (
	H7     Zone = iota // hole for a dowel
	DowelM             // m6: parallel pin to ISO 8734
	DrillH             // h8: twist drill
)

// String returns the standard's letters.
func (z Zone) String() string { return [...]string{"H7", "m6", "h8"}[z] }

// deviations is one row of a zone: diameters over the row before, up to upto; micrometres.
type deviations struct {
	upto       float64
	lower, top float64
}

var zones = [...][]deviations{
	H7:     {{3, 0, 10}, {6, 0, 12}, {10, 0, 15}, {18, 0, 18}},
	DowelM: {{3, 2, 8}, {6, 4, 12}, {10, 6, 15}, {18, 7, 18}},
	DrillH: {{3, -14, 0}, {6, -18, 0}, {10, -22, 0}, {18, -27, 0}},
}

// Deviation returns the lower and upper limits, mm, of a diameter d in a zone.
//
// SOURCE: ISO 286-2, copies agreeing; the rows up to 3 mm of H7 and m6 and over 10 mm of h8 are
// from memory.
func Deviation(z Zone, d float64) (source.Range, error) {
	rows := zones[z]
	for i, r := range rows {
		if d > 0 && d <= r.upto {
			mark := source.C
			if (z == DrillH && i == 3) || (z != DrillH && i == 0) {
				mark = source.M
			}
			return source.Between(r.lower/1000, r.top/1000, mark, source.ISO286), nil
		}
	}
	return source.Range{}, fmt.Errorf("no %s for %g mm, allowed are diameters up to %g mm", z, d, rows[len(rows)-1].upto)
}

// Dowels returns the diameters of parallel pins kept, mm.
//
// SOURCE: ISO 8734, common sizes.
func Dowels() []float64 { return []float64{3, 4, 5, 6, 8, 10, 12} }

// General is a class of the general tolerances.
type General uint8

// The classes kept.
const (
	ClassM General = iota // medium: machined
	ClassC                // coarse: formed
)

// String returns the standard's letter.
func (g General) String() string { return [...]string{"m", "c"}[g] }

// generalUpto are the upper ends of the length ranges, mm; the first begins at 0.5.
var generalUpto = [...]float64{3, 6, 30, 120, 400, 1000, 2000, 4000}

var general = [...][len(generalUpto)]float64{
	ClassM: {0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2},
	ClassC: {0.2, 0.3, 0.5, 0.8, 1.2, 2, 3, 4},
}

// GeneralTolerance returns the plus-minus tolerance of a length, both mm, that carries none of its
// own.
//
// SOURCE: ISO 2768-1, the version two copies agree on.
func GeneralTolerance(g General, length float64) (source.Value, error) {
	const least = 0.5
	if length >= least {
		for i, upto := range generalUpto {
			if length <= upto {
				return source.Of(general[g][i], source.C, source.ISO2768+"-"+g.String()), nil
			}
		}
	}
	return source.Value{}, fmt.Errorf("no general tolerance for %g mm, allowed are %g to %g mm",
		length, least, generalUpto[len(generalUpto)-1])
}
