package limits

import "platen/toolgen/source"

// The tolerances of formed parts, plus-minus.
const (
	FormedLeast     = "tolerance.formed-least"
	FormedAmorphous = "tolerance.formed-amorphous"
	FormedMelt      = "tolerance.formed-crystalline"
	FormedMachined  = "tolerance.machined-tool"
	FormedCast      = "tolerance.cast-tool"
	FormedPrototype = "tolerance.prototype-tool"
	FormedGrowth    = "tolerance.growth"
	WallVariation   = "tolerance.stock-gauge"
)

func tolerances() []Limit {
	const mm = "mm to 300 mm"
	return []Limit{
		{FormedLeast, "formed size on the tool side, at least", source.Practice(0.5), "mm", Warning},
		{FormedAmorphous, "formed size, amorphous sheet", source.Practice(0.003), "x length", Warning},
		{FormedMelt, "formed size, PP and PE", source.Practice(0.008), "x length", Warning},
		{FormedMachined, "formed size by agreement, machined tool", source.Of(0.50, source.B, source.ShopTolerance), mm, Note},
		{FormedCast, "formed size by agreement, cast tool", source.Of(0.75, source.B, source.ShopTolerance), mm, Note},
		{FormedPrototype, "formed size by agreement, prototype tool without temperature control",
			source.Of(1.20, source.B, source.ShopTolerance), mm, Note},
		{FormedGrowth, "more beyond 300 mm", source.Of(0.025, source.B, source.ShopTolerance), "mm per 25 mm", Note},
		{WallVariation, "gauge of sheet as sold", source.Of(0.10, source.B, source.ShopParams), "x gauge", Note},
	}
}

// FormedTolerance returns what a formed length holds on the tool side, plus-minus mm, where nothing
// was agreed.
func FormedTolerance(length float64, crystalline bool) Limit {
	id := FormedAmorphous
	if crystalline {
		id = FormedMelt
	}
	return larger(id, length, FormedLeast)
}

// AgreedTolerance returns what a shop's table gives for a formed length on a tool, plus-minus mm: id
// is FormedMachined, FormedCast or FormedPrototype. It is to be used by agreement only.
func AgreedTolerance(id string, length float64) Limit {
	const base, step = 300.0, 25.0
	l := Get(id)
	v := plus(l.Value, times(Get(FormedGrowth).Value, max(0, length-base)/step))
	return l.at(v, "mm")
}
