package export

import (
	"math"
	"strconv"
)

// gridSteps is the number of grid steps a millimetre: mesh vertices are quantised to 2^-14 mm.
const gridSteps = 1 << 14

// gridSpan bounds the integer path: below it a coordinate in steps fits an int64 with room to spare.
const gridSpan = 1 << 40 // mm

// fractions holds ".xxxx" without trailing zeros for every k/2^14, "" for k = 0.
var fractions = gridFractions()

func gridFractions() [gridSteps]string {
	var out [gridSteps]string
	for k := 1; k < gridSteps; k++ {
		// A float64 holds k/2^14 exactly, and 14 decimals write it exactly.
		s := strconv.FormatFloat(float64(k)/gridSteps, 'f', 14, 64)
		n := len(s)
		for s[n-1] == '0' {
			n--
		}
		out[k] = s[1:n]
	}
	return out
}

// appendDecimal appends x in plain decimal notation, without exponent and without negative zero.
//
// A multiple of 2^-14 is written as its exact value without trailing zeros, so readers of any
// precision get the checked vertex. Any other number is written with the fewest digits that read
// back as the same float64.
func appendDecimal(buf []byte, x float64) []byte {
	steps := x * gridSteps // a power of two: exact
	if math.Abs(x) >= gridSpan || steps != math.Trunc(steps) {
		return strconv.AppendFloat(buf, x, 'f', -1, 64)
	}
	k := int64(steps)
	if k < 0 {
		buf = append(buf, '-')
		k = -k
	}
	buf = strconv.AppendInt(buf, k/gridSteps, 10)
	return append(buf, fractions[k%gridSteps]...)
}
