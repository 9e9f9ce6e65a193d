package limits

import "platen/toolgen/source"

// The limits of machining the tool.
const (
	MillReach     = "mill.reach"
	MillReachHard = "mill.reach-hard"
	MillFillet    = "mill.fillet"
	DrillStraight = "drill.reach-straight"
	DrillPeck     = "drill.reach-peck"
	DrillVent     = "drill.reach-vent"
)

func mills() []Limit {
	const cutter, drill = "depth / cutter diameter", "depth / drill diameter"
	return []Limit{
		{MillReach, "design for less", source.Of(4, source.C, source.CalcPages), cutter, Warning},
		{MillReachHard, "hard to mill from here", source.Of(6, source.C, source.CalcPages), cutter, Warning},
		{MillFillet, "fillet a cutter runs round without stopping", source.Practice(1.1), "x cutter radius", Warning},
		{DrillStraight, "drilled in one stroke up to", source.Of(3, source.C, source.CalcPages), drill, Note},
		{DrillPeck, "drilled in pecks up to, then from the back too", source.Of(8, source.C, source.CalcPages), drill, Warning},
		{DrillVent, "reach planned for a vent", source.Practice(5), drill, Note},
	}
}
