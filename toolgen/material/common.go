package material

import src "platen/toolgen/source"

// Sheets returns all sheet materials in the order of the printed table.
func Sheets() []Sheet {
	return []Sheet{
		abs(), hdpe(), hips(), petg(), apet(), pc(), pp(), pvc(), pmmaExtruded(), pmmaCast(), sbc(),
		conductive(hips()), conductive(pp()), conductive(abs()),
	}
}

// softDraft is the draft of sheet that softens without melting. The female minimum is the upper end
// of the average in use; the male one the upper end of what is called enough.
func softDraft() [2]Draft {
	return [2]Draft{
		Female: {Min: src.Of(1, src.A, src.DraftFemale), Want: src.Of(3, src.B, src.MachineDraft)},
		Male:   {Min: src.Of(3, src.A, src.DraftMale), Want: src.Of(5, src.B, src.MachineDraft)},
	}
}

// softVent is the vent rule of sheet that softens without melting.
func softVent() VentRule {
	return VentRule{Share: src.Practice(0.6), Least: src.Practice(0.4), Most: src.Practice(1.0)}
}

// meltVent is the vent rule of PP and PE, which are thinner and softer when they arrive.
func meltVent() VentRule {
	return VentRule{Share: src.Practice(0.4), Least: src.Practice(0.3), Most: src.Practice(0.6)}
}

// areal returns areal draw limits of common practice.
func areal(free, plug float64) ArealLimits {
	return ArealLimits{Free: src.Practice(free), Plug: src.Practice(plug)}
}

// noLatent is the heat of melting of sheet that does not melt.
func noLatent() src.Value { return src.Derived(0, "amorphous sheet does not melt") }

// book returns a figure of Crawford's table of physical data.
func book(v float64) src.Value { return src.Of(v, src.A, src.Crawford18) }

// wrapped is the drying of sheet that takes up next to no water.
func wrapped() Drying {
	return Drying{Need: NoDrying, Advice: src.PracticeSay("keep wrapped")}
}

// strip returns what a wall takes for a moment: a strain below that at yield, from memory, and the undercut
// that common practice strips without slides.
func strip(strain, depth float64) Strip {
	return Strip{Strain: src.Memory(strain), Depth: src.Practice(depth)}
}
