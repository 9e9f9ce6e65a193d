package limits

import "platen/toolgen/source"

// The limits against webs.
const (
	WebError = "web.gap-error"
	WebGauge = "web.gap-gauge"
	WebWarn  = "web.gap-warn"
)

func webs() []Limit {
	const unit = "clear gap / height"
	return []Limit{
		{WebError, "clear gap of raised features, at least", source.Of(1.0, source.A, source.Course), unit, Error},
		{WebGauge, "clear gap, never less than the gauge", source.Of(1.0, source.A, source.Course), unitGauge, Error},
		{WebWarn, "clear gap of steep male blocks", source.Memory(1.75), unit, Warning},
	}
}

// WebGapLeast returns the least clear gap beside a feature of a height, for a gauge: the height, and
// never less than the gauge.
func WebGapLeast(height, gauge float64) Limit {
	l, g := Get(WebError), Get(WebGauge)
	if v := times(g.Value, gauge); v.V > l.Value.V*height {
		return g.at(v, "mm")
	}
	return l.at(times(l.Value, height), "mm")
}

// WebGapGood returns the clear gap of good practice beside a feature of a height.
func WebGapGood(height float64) Limit {
	l := Get(WebWarn)
	return l.at(times(l.Value, height), "mm")
}
