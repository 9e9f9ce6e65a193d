package exact

import "math"

// expansion is an exact number: the sum of its components, which grow in magnitude, do not overlap
// in their bits and are never zero. An empty expansion is zero.
type expansion []float64

// scratch holds the coordinate differences of one predicate without touching the heap.
type scratch [9][2]float64

// value returns an approximation with the exact sign: the last component, which outweighs the sum of
// all others.
func (e expansion) value() float64 {
	if len(e) == 0 {
		return 0
	}
	return e[len(e)-1]
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
	if len(e) < len(f) {
		e, f = f, e
	}
	if len(f) == 0 {
		return dst
	}
	if len(f) == 1 {
		return scale(dst, e, f[0])
	}
	var u, v, w [16]float64 // room for the usual lengths; longer expansions go to the heap
	total, part, next := scale(u[:0], e, f[0]), expansion(v[:0]), expansion(w[:0])
	for _, c := range f[1 : len(f)-1] {
		part = scale(part[:0], e, c)
		next = sum(next[:0], total, part)
		total, next = next, total
	}
	part = scale(part[:0], e, f[len(f)-1])
	return sum(dst, total, part)
}

// cross returns ax by - ay bx, appended to dst.
func cross(dst, ax, ay, bx, by expansion) expansion {
	var u, v [8]float64
	r := product(v[:0], ay, bx)
	for i := range r {
		r[i] = -r[i]
	}
	return sum(dst, product(u[:0], ax, by), r)
}

// square returns x x + y y, appended to dst.
func square(dst, x, y expansion) expansion {
	var u, v [8]float64
	return sum(dst, product(u[:0], x, x), product(v[:0], y, y))
}
