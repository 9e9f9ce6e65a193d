package limits

import "platen/toolgen/source"

// The limits of the sheet in its frame and of plugs.
const (
	MarginMale    = "sheet.margin-male"
	MarginMaleMin = "sheet.margin-male-least"
	MarginFemale  = "sheet.margin-female"
	Grip          = "sheet.grip"
	BubbleHigh    = "sheet.bubble"
	PlugTravel    = "plug.travel"
	PlugVolume    = "plug.volume"
	PlugClearance = "plug.clearance"
	PlugWall      = "plug.wall"
)

func sheets() []Limit {
	return []Limit{
		{MarginMale, "tool to clamp frame, male", source.Practice(1), "x height", Warning},
		{MarginMaleMin, "tool to clamp frame, male, at least", source.Practice(20), "mm", Warning},
		{MarginFemale, "tool to clamp frame, female, 15 to 25", source.Practice(20), "mm", Warning},
		{Grip, "grip of the clamp, each side, 10 to 15", source.Practice(12), "mm", Warning},
		{BubbleHigh, "height of a blown bubble, at most", source.Practice(1), "x what the tool goes into the sheet", Warning},
		{PlugTravel, "plug travel before the pressure, at most", source.Of(0.9, source.A, source.PlugRole), "of the depth", Warning},
		{PlugVolume, "plug volume, 0.7 to 0.9", source.Memory(0.8), "of the cavity", Note},
		{PlugWall, "wall of a deep recess under which a plug is advised", source.Of(0.5, source.B, source.TraySupplier), unitGauge, Note},
		{PlugClearance, "plug to cavity, to start with", source.Of(3.2, source.B, source.PlugSupplier), "mm", Note},
	}
}

// Margin returns the distance from the tool to the clamp frame: a male tool's height, at least
// 20 mm; 20 mm round a female tool.
func Margin(male bool, height float64) Limit {
	if !male {
		return Get(MarginFemale)
	}
	l, least := Get(MarginMale), Get(MarginMaleMin)
	if v := times(l.Value, height); v.V > least.Value.V {
		return l.at(v, "mm")
	}
	return least
}

// SheetSize returns the side of the sheet to clamp over a tool's side: tool and, on both sides,
// margin and grip. All mm.
func SheetSize(tool float64, margin, grip source.Value) source.Value {
	v := plus(margin, grip)
	v.V = tool + 2*v.V
	return v
}
