package limits

import "platen/toolgen/source"

// The limits of vents and of drawing the air out.
const (
	VentMark      = "vent.mark"
	VentWall      = "vent.wall"
	VentEdgeThin  = "vent.edge-pitch-thin"
	VentEdgeHeavy = "vent.edge-pitch-heavy"
	VentFloor     = "vent.floor-area"
	VentSlot      = "vent.slot"
	PullThin      = "vent.pull-down-thin"
	PullHeavy     = "vent.pull-down-heavy"
	Vacuum        = "vent.vacuum"
)

func vents() []Limit {
	return []Limit{
		{VentMark, "hole that leaves no mark, under", source.Of(0.5, source.A, source.Textbook), "mm", Note},
		{VentWall, "hole, at most", source.Memory(1), "x formed wall", Warning},
		{VentEdgeThin, "pitch along a concave edge, thin gauge, 10 to 25", source.Practice(20), "mm", Warning},
		{VentEdgeHeavy, "pitch along a concave edge, heavy gauge, 25 to 50", source.Practice(40), "mm", Warning},
		{VentFloor, "flat floor to a hole, 10 to 20", source.Practice(15), "cm2", Warning},
		{VentSlot, "width of a slot vent, 0.2 to 0.5", source.Memory(0.5), "mm", Warning},
		{PullThin, "time to draw the air out, thin gauge", source.Practice(1), "s", Warning},
		{PullHeavy, "time to draw the air out, heavy gauge", source.Practice(3), "s", Warning},
		{Vacuum, "vacuum at the tool, at least", source.Of(68, source.B, source.PETGGuide), "kPa below the air", Warning},
	}
}

// VentPitch returns the pitch of vents along a concave edge for a gauge.
func VentPitch(gauge float64) Limit {
	if gauge > HeavyFrom {
		return Get(VentEdgeHeavy)
	}
	return Get(VentEdgeThin)
}

// PullDown returns the longest time to draw the air out for a gauge.
func PullDown(gauge float64) Limit {
	if gauge > HeavyFrom {
		return Get(PullHeavy)
	}
	return Get(PullThin)
}
