package limits

import "platen/toolgen/source"

// The limits of holes punched in the part.
const (
	PunchEdge  = "punch.edge"
	PunchLeast = "punch.edge-least"
)

func punches() []Limit {
	return []Limit{
		{PunchEdge, "flat left round a punched hole by gauge", source.Practice(2), unitGauge, Warning},
		{PunchLeast, "flat left round a punched hole, at least", source.Practice(3), "mm", Warning},
	}
}

// PunchFlat returns the flat to leave round a punched hole: two gauges, and at least 3 mm.
func PunchFlat(gauge float64) Limit { return larger(PunchEdge, gauge, PunchLeast) }
