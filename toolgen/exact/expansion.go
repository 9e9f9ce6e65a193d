package exact

import "math"

// expansion is an exact number: the sum of its components, which grow in magnitude, do not overlap
// in their bits and are never zero. An empty expansion is zero.
type expansion []float64

// scratch holds the coordinate differences of one predicate without touching the heap.
type scratch [9][2]float64

// value returns an approximation with the exact sign. The last component outweighs all others, but
// their rounded sum may just cancel it.
func (e expansion) value() float64 {
	if len(e) == 0 {
		return 0
	}
	v, last := 0.0, e[len(e)-1]
	for _, c := range e {
		v += c
	}
	if v*last > 0 {
		return v
	}
	return last
}

// twoSum returns the rounded sum of a and b and what the rounding left out.
func twoSum(a, b float64) (x, y float64) {
	x = a + b
	bv := x - a
	av := x - bv
	return x, (a - av) + (b - bv)
}

// twoProduct returns the rounded product of a and b and what the rounding left out.
func twoProduct(a, b float64) (x, y float64) {
	x = a * b
	return x, math.FMA(a, b, -x)
}

// put appends a component unless it is zero.
func put(e expansion, c float64) expansion {
	if c != 0 {
		return append(e, c)
	}
	return e
}

// diff returns a - b, appended to dst.
func diff(dst expansion, a, b float64) expansion {
	x, y := twoSum(a, -b)
	return put(put(dst, y), x)
}

// sum returns e + f, appended to dst, which must not share memory with them. The components of both
// are run through in order of magnitude and the rest of each addition is kept (Shewchuk 1997,
// fast expansion sum).
func sum(dst, e, f expansion) expansion {
	q := 0.0
	for len(e) > 0 || len(f) > 0 {
		var c, h float64
		if len(f) == 0 || len(e) > 0 && math.Abs(e[0]) < math.Abs(f[0]) {
			c, e = e[0], e[1:]
		} else {
			c, f = f[0], f[1:]
		}
		q, h = twoSum(q, c)
		dst = put(dst, h)
	}
	return put(dst, q)
}

// scale returns b e, appended to dst (Shewchuk 1997, scale expansion).
func scale(dst, e expansion, b float64) expansion {
	q := 0.0
	for _, c := range e {
		x, y := twoProduct(c, b)
		var h float64
		q, h = twoSum(q, y)
		dst = put(dst, h)
		q, h = twoSum(x, q)
		dst = put(dst, h)
	}
	return put(dst, q)
}

// product returns e f, appended to dst.
func product(dst, e, f expansion) expansion {
	if len(f) == 1 {
		return scale(dst, e, f[0])
	}
	if len(e) == 1 {
		return scale(dst, f, e[0])
	}
	var total expansion
	for _, c := range f {
		total = sum(nil, total, scale(nil, e, c))
	}
	return append(dst, total...)
}

// negate turns the sign of e in place.
func negate(e expansion) expansion {
	for i := range e {
		e[i] = -e[i]
	}
	return e
}

// cross returns ax by - ay bx.
func cross(ax, ay, bx, by expansion) expansion {
	return sum(nil, product(nil, ax, by), negate(product(nil, ay, bx)))
}

// square returns x x + y y.
func square(x, y expansion) expansion {
	return sum(nil, product(nil, x, x), product(nil, y, y))
}
