package shop

// A pin chuck for small drills: outside radius and how much of a drill's length it grips, mm (from
// memory, unverified).
const (
	ChuckRadius = 4.0
	chuckGrip   = 12.0
)

// StickOut returns how far a jobber drill stands out of a pin chuck, mm.
func (d Drill) StickOut() float64 { return d.Overall - chuckGrip }
