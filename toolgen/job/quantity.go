package job

import (
	"fmt"
	"math"
	"strings"
)

// quantity is a number of an expression and what it is a number of.
//
// A number written without a unit is free: it is in the job's own units, and becomes a length, an area or an
// angle where it is added to one or stands for one. A ratio of two lengths is not free: it is a plain number
// and never becomes a length, multiplied by free numbers either: of 20 * w / h nobody knows whether 20 is a
// length. A sine is neither: 20 * sin(30) is as free as 20.
type quantity struct {
	v     float64 // mm, mm2 ..., deg, degC, or plain
	dims  dims
	free  bool // dims are zero, and v is in the job's units
	ratio bool // dims are zero for they cancelled; never with free
}

// dims are the exponents of the units a quantity is made of.
type dims struct{ mm, deg, degC int }

var plainNumber = dims{}

// mostValue is the largest number an expression may come to on its way: nothing that is measured or
// counted in a shop is larger.
const mostValue = 1e12

// dims returns what the numbers of a measure are made of.
func (m *measure) dims() dims {
	switch m {
	case &lengths:
		return dims{mm: 1}
	case &angles:
		return dims{deg: 1}
	case &temps:
		return dims{degC: 1}
	}
	return plainNumber
}

// of returns the value of a quantity in what d is made of; bare is mm in a length without a unit.
func (q quantity) of(d dims, bare float64) (float64, bool) {
	if q.free {
		return q.v * math.Pow(bare, float64(d.mm)), true
	}
	return q.v, q.dims == d
}

// String says what a quantity is.
func (q quantity) String() string {
	switch {
	case q.free:
		return "a number without a unit"
	case q.ratio:
		return "a ratio"
	case q.dims == plainNumber:
		return "a plain number"
	case q.dims == dims{mm: 1}:
		return "a length"
	case q.dims == dims{mm: 2}:
		return "an area"
	case q.dims == dims{mm: 3}:
		return "a volume"
	case q.dims == dims{deg: 1}:
		return "an angle"
	case q.dims == dims{degC: 1}:
		return "a temperature"
	case q.dims == dims{mm: -1}:
		return "one over a length"
	}
	var of []string
	for _, u := range []struct {
		name string
		n    int
	}{{"mm", q.dims.mm}, {"deg", q.dims.deg}, {"degC", q.dims.degC}} {
		switch {
		case u.n == 1:
			of = append(of, u.name)
		case u.n != 0:
			of = append(of, fmt.Sprintf("%s^%d", u.name, u.n))
		}
	}
	return "a number of " + strings.Join(of, " ")
}

// alike gives two quantities the same units, a free one those of the other.
func alike(a, b quantity, bare float64) (x, y quantity, err error) {
	switch {
	case a.free && !b.free && b.dims != plainNumber:
		a.v, _ = a.of(b.dims, bare)
		a.dims, a.free = b.dims, false
	case b.free && !a.free && a.dims != plainNumber:
		b.v, _ = b.of(a.dims, bare)
		b.dims, b.free = a.dims, false
	case a.dims != b.dims:
		return a, b, fmt.Errorf("%s and %s do not go together", a, b)
	}
	// A free number beside a ratio is a plain number.
	a.free = a.free && b.free
	a.ratio = a.ratio || b.ratio
	b.free, b.ratio = a.free, a.ratio
	return a, b, nil
}

// times multiplies, or divides where power is -1.
func (q quantity) times(b quantity, power int) quantity {
	out := quantity{v: q.v * b.v, dims: q.dims.plus(b.dims, power)}
	if power < 0 {
		out.v = q.v / b.v
	}
	if out.dims == plainNumber {
		out.ratio = q.ratio || b.ratio || q.dims != plainNumber
		out.free = !out.ratio && (q.free || b.free)
	}
	return out
}

func (d dims) plus(e dims, times int) dims {
	return dims{d.mm + times*e.mm, d.deg + times*e.deg, d.degC + times*e.degC}
}

// raised is q to a power.
func (q quantity) raised(to quantity) (quantity, error) {
	if to.dims != plainNumber {
		return q, fmt.Errorf("an exponent is a plain number, not %s", to)
	}
	out := quantity{v: math.Pow(q.v, to.v), free: q.free && !to.ratio, ratio: q.ratio || q.dims == plainNumber && to.ratio}
	if q.dims == plainNumber {
		return out, nil
	}
	n := int(max(-9, min(9, to.v)))
	if float64(n) != to.v || n < -4 || n > 4 {
		return q, fmt.Errorf("%s to the power of %s; a whole number from -4 to 4", q, short(to.v))
	}
	out.dims = plainNumber.plus(q.dims, n)
	out.ratio = n == 0
	return out, nil
}
