package skin

import "math"

// steps is how an arc is divided into chords. The ends stay on the arc, because a neighbour or a
// level plane shares them; the corners between may stand off it, away from the centre, so that the
// chords leave the arc as far on one side as on the other: that takes fewer of them.
type steps struct {
	n            int
	sweep        float64
	first, inner float64 // angles of the first and last chord, and of those between
	high, low    float64 // farthest and nearest to the centre, as a multiple of the radius
}

// division makes n chords of an arc of the given angle.
type division func(sweep float64, n int) steps

// even returns n equal chords between points of the arc.
func even(sweep float64, n int) steps {
	a := sweep / float64(n)
	return steps{n, sweep, a, a, 1, math.Cos(a / 2)}
}

// balanced returns n chords that leave the arc by the same amount on both sides; with one chord
// there is nothing to balance.
func balanced(sweep float64, n int) steps {
	if n == 1 {
		return even(sweep, 1)
	}
	// With corners at 1 + e and the nearest points of the chords at 1 - e, an end chord spans
	// acos(1-e) + acos((1-e)/(1+e)) and an inner one twice the latter. The sum is monotone in e.
	spans := func(e float64) (end, half float64) {
		return math.Acos(1 - e), math.Acos((1 - e) / (1 + e))
	}
	k := sweep / (2*math.Sqrt2 + 4*float64(n-1))
	e := k * k // right for small e
	for range 6 {
		end, half := spans(e)
		k := sweep / (2*end + 2*float64(n-1)*half)
		e *= k * k
	}
	end, half := spans(e)
	return steps{n, sweep, end + half, 2 * half, 1 + e, 1 - e}
}

// angle returns where corner k stands, from the start of the arc.
func (s steps) angle(k int) float64 {
	switch k {
	case 0:
		return 0
	case s.n:
		return s.sweep
	}
	// Counted from the middle, so that both halves are alike.
	return s.sweep/2 + (float64(k)-float64(s.n)/2)*s.inner
}

// rise returns the distance of corner k from the centre as a multiple of the radius.
func (s steps) rise(k int) float64 {
	if k == 0 || k == s.n {
		return 1
	}
	return s.high
}

// spread returns how far the chords leave an arc of radius r, mm.
func (s steps) spread(r float64) float64 { return r * max(s.high-1, 1-s.low) }
