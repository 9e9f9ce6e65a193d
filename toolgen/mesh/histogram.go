package mesh

import "math"

// A histogram counts distances in steps of 1/128 of a power of two, from 2^-40 mm up. Counts are
// whole numbers, so that it does not matter in which order they come or are merged.
type histogram struct{ count []int }

const (
	stepBits  = 7   // steps per doubling, as a power of two
	leastExp  = -40 // distances below 2^-40 mm count as that
	doublings = 80  // up to 2^40 mm
)

func (h *histogram) add(d float64) {
	if h.count == nil {
		h.count = make([]int, doublings<<stepBits)
	}
	// The top bits of a positive floating-point number are its exponent and first binary places:
	// read as a whole number they grow with it, in even steps within each doubling.
	i := int(math.Float64bits(d)>>(52-stepBits)) - (1023+leastExp)<<stepBits
	h.count[min(max(i, 0), len(h.count)-1)]++
}

// merge returns the sum of histograms.
func merge(hs []histogram) *histogram {
	all := &histogram{make([]int, doublings<<stepBits)}
	for _, h := range hs {
		for i, n := range h.count {
			all.count[i] += n
		}
	}
	return all
}

// quantile returns the upper end of the step that the share q of all distances does not exceed; 0
// for an empty histogram.
func (h *histogram) quantile(q float64) float64 {
	all := 0
	for _, n := range h.count {
		all += n
	}
	need := int(math.Ceil(q * float64(all)))
	for i, n := range h.count {
		if need -= n; need <= 0 && all > 0 {
			return math.Float64frombits(uint64(i+1+(1023+leastExp)<<stepBits) << (52 - stepBits))
		}
	}
	return 0
}
