package limits

import "platen/toolgen/source"

// The limits of lettering. No published size for forming was found.
const (
	Stroke      = "lettering.stroke"
	StrokeLeast = "lettering.stroke-least"
	Relief      = "lettering.relief"
	ReliefMost  = "lettering.relief-most"
	LetterDraft = "lettering.draft"
)

func letters() []Limit {
	return []Limit{
		{Stroke, "stroke on the tool by gauge", source.Practice(2), unitGauge, Warning},
		{StrokeLeast, "stroke on the tool, at least", source.Practice(1.0), "mm", Warning},
		{Relief, "relief, at most", source.Practice(1), "x stroke", Warning},
		{ReliefMost, "relief, 0.5 to 1.5", source.Practice(1.5), "mm", Warning},
		{LetterDraft, "draft of a stroke, 10 to 20", source.Practice(10), unitDeg, Warning},
	}
}

// StrokeMin returns the least stroke on the tool for a gauge.
func StrokeMin(gauge float64) Limit { return larger(Stroke, gauge, StrokeLeast) }

// ReliefMax returns the deepest relief of a stroke: the stroke, and not over 1.5 mm.
func ReliefMax(stroke float64) Limit {
	l, most := Get(Relief), Get(ReliefMost)
	if v := times(l.Value, stroke); v.V < most.Value.V {
		return l.at(v, "mm")
	}
	return most
}

// larger returns the limit id times f, or the limit least where that is larger.
func larger(id string, f float64, least string) Limit {
	l, floor := Get(id), Get(least)
	if v := times(l.Value, f); v.V > floor.Value.V {
		return l.at(v, "mm")
	}
	return floor
}
