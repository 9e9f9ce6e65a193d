package material

import src "platen/toolgen/source"

// moreHeat is how far above the base resin's core temperature a conductive sheet is started, degC.
// Common practice, no source: carbon stiffens the melt.
const moreHeat = 5

// Conducts returns how far, gauge over wall, a conductive sheet may be stretched anywhere and still drain
// charge: its carbon parts as it thins. ok is false for a sheet that does not conduct.
func (s Sheet) Conducts() (most src.Value, ok bool) { return src.Practice(3), s.Conductive }

// conductive returns the carbon-filled sheet of a base resin. Nothing was found in print on forming
// it, so every figure is the base resin's and marked as practice; it forms in the upper part of the
// base resin's range.
func conductive(base Sheet) Sheet {
	s := base
	s.Name = "conductive " + base.Name
	s.Aliases = []string{base.Name + " conductive", "antistatic " + base.Name, "ESD " + base.Name}
	s.Look = Black
	s.Conductive = true
	like := "as " + base.Name
	value := func(v src.Value) src.Value { return src.Of(v.V, src.Weaker(v.Mark, src.P), like) }
	span := func(r src.Range) src.Range { return src.Between(r.Low, r.High, src.Weaker(r.Mark, src.P), like) }

	s.Forming = src.Between(base.Core.V, base.Forming.High, src.P, "upper part of the range of "+base.Name)
	s.Core = src.Of(base.Core.V+moreHeat, src.P, "core temperature of "+base.Name+" and 5 degC more")
	s.Tool, s.ToolAt, s.Release = span(base.Tool), value(base.ToolAt), value(base.Release)
	s.Shrink = ShrinkTable{
		Male:   value(base.Shrink.Male),
		Female: value(base.Shrink.Female),
		Spread: span(base.Shrink.Spread),
		Along:  value(base.Shrink.Along),
	}
	s.Heat = Heat{
		Density:      value(base.Heat.Density),
		SpecificHeat: value(base.Heat.SpecificHeat),
		Conductivity: value(base.Heat.Conductivity),
		Expansion:    value(base.Heat.Expansion),
		Glass:        value(base.Heat.Glass),
		Deflection:   span(base.Heat.Deflection),
		Latent:       value(base.Heat.Latent),
	}
	s.Modulus = value(base.Modulus)
	s.Strip = Strip{Strain: value(base.Strip.Strain), Depth: value(base.Strip.Depth)}
	s.Caution = src.PracticeSay("stretching raises the surface resistance: check the thinnest place after forming; " +
		"keep regrind apart")
	s.Stiff = src.PracticeSay(like + ", more brittle for its carbon")
	return s
}
