package limits

import "platen/toolgen/source"

// The limits of walls.
const (
	DraftLow          = "wall.draft-low"
	DraftGood         = "wall.draft-good"
	DraftLowMale      = "wall.draft-low-male"
	DraftLowMelt      = "wall.draft-low-male-crystalline"
	DraftTexture      = "wall.draft-texture"
	DraftTextureLeast = "wall.draft-texture-least"
	DraftDeep         = "wall.draft-deep"
	DraftHeavy        = "wall.draft-heavy-gauge"
	DraftSharp        = "wall.draft-sharp-corner"
	DraftTray         = "wall.draft-tray"
	DraftSide         = "wall.draft-side"
	DraftDetail       = "wall.draft-detail"
	DraftRib          = "wall.draft-friction-rib"
)

// How the limits of walls are put.
const (
	perTextureStep = 0.025 // mm of texture depth
	deepFrom       = 1.0   // depth over width
	unitTexture    = "deg per 0.025 mm"
	unitGauge      = "x gauge"
	unitDeg        = "deg"
)

func walls() []Limit {
	const a, b, p = source.A, source.B, source.P
	return []Limit{
		{DraftLow, "least draft of a smooth wall in a female tool", source.Of(1, a, source.DraftFemale), unitDeg, Error},
		{DraftLowMale, "least draft over a male tool, amorphous sheet", source.Of(3, a, source.DraftMale), unitDeg, Error},
		{DraftLowMelt, "least draft over a male tool, PP and PE", source.Of(5, a, source.DraftMelt), unitDeg, Error},
		{DraftGood, "good draft of a wall in a female tool", source.Of(3, b, source.MachineDraft), unitDeg, Warning},
		{DraftTexture, "more draft on a textured wall", source.Of(1.5, b, source.TexturePages), unitTexture, Error},
		{DraftTextureLeast, "least that is published for texture", source.Of(1, b, source.TexturePages), unitTexture, Note},
		{DraftDeep, "more draft where deeper than wide", source.Of(1, b, source.HeavyGauge), unitDeg, Error},
		{DraftHeavy, "more draft for heavy gauge", source.Of(0.5, b, source.HeavyGauge), unitDeg, Warning},
		{DraftSharp, "more draft at a sharp plan corner of a pocket", source.Of(1, b, source.HeavyGauge), unitDeg, Warning},
		{DraftTray, "usual draft of trays that stack", source.Of(6, b, source.SchoolCard+": 5 to 10"), unitDeg, Note},
		{DraftSide, "usual draft of side walls", source.Of(5, b, source.SchoolCard+": 5 to 10"), unitDeg, Note},
		{DraftDetail, "usual draft of fine details", source.Of(10, b, source.SchoolCard+": 5 to 10"), unitDeg, Note},
		{DraftRib, "draft of ribs that hold by friction, 5 to 15", source.Of(8, p, source.RibPatent+" prefers 5 to 15"), unitDeg, Note},
	}
}

// Wall is what the draft of a wall depends on.
type Wall struct {
	Texture      float64 // depth of the texture, mm; 0 if smooth
	DepthToWidth float64 // of the pocket or block
	Heavy        bool    // gauge over HeavyFrom
	Sharp        bool    // plan corner without a radius in a pocket
}

// HeavyFrom is the gauge from which a sheet counts as heavy, mm.
//
// SOURCE: common practice, no source: roll-fed sheet ends about there.
const HeavyFrom = 1.5

// DraftMin returns the least draft of a wall from the sheet's own least, in degrees: more for
// texture, and one degree more where deeper than wide.
func DraftMin(base source.Value, w Wall) Limit {
	v := plus(base, times(Get(DraftTexture).Value, max(0, w.Texture)/perTextureStep))
	if w.DepthToWidth > deepFrom {
		v = plus(v, Get(DraftDeep).Value)
	}
	l := Get(DraftLow)
	l.Text = "least draft of this wall"
	return l.at(v, unitDeg)
}

// DraftWant returns the draft of good practice from the sheet's own, in degrees: as DraftMin, and
// more for heavy gauge and for a sharp plan corner.
func DraftWant(base source.Value, w Wall) Limit {
	v := DraftMin(base, w).Value
	if w.Heavy {
		v = plus(v, Get(DraftHeavy).Value)
	}
	if w.Sharp {
		v = plus(v, Get(DraftSharp).Value)
	}
	l := Get(DraftGood)
	l.Text = "good draft of this wall"
	return l.at(v, unitDeg)
}

// plus adds two values: as firm as the weaker, citing both. Adding nothing changes nothing.
func plus(a, b source.Value) source.Value {
	if b.V == 0 {
		return a
	}
	a.V += b.V
	a.Mark = source.Weaker(a.Mark, b.Mark)
	a.Source += "; " + b.Source
	return a
}
