package material

import src "platen/toolgen/source"

func sbc() Sheet {
	return Sheet{
		Name:      "SBC",
		Aliases:   []string{"SBC clear", "clear SBC", "styrene-butadiene"},
		Structure: Amorphous,
		Look:      Clear,
		Forming:   src.Between(135, 152, src.A, src.Stephenson),
		Core:      src.Of(140, src.A, src.Stephenson),
		Tool:      src.MemoryRange(30, 55),
		ToolAt:    src.Memory(40),
		Release:   src.Memory(80),
		Caution: src.Say("after forming weaker along the extrusion than across; data are of a blend with PS",
			src.A, src.Stephenson),
		Shrink: ShrinkTable{
			Male:   src.Memory(0.004),
			Female: src.Memory(0.005),
			Spread: src.MemoryRange(0.003, 0.008),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      src.Memory(1020),
			SpecificHeat: src.Memory(1800),
			Conductivity: src.Memory(0.16),
			Expansion:    src.Memory(80e-6),
			Glass:        src.Of(95, src.M, "of the polystyrene phase"),
			Deflection:   src.MemoryRange(70, 70),
			Latent:       noLatent(),
		},
		Drying:  wrapped(),
		Areal:   areal(4, 6),
		Fold:    Fold{FewFolds, src.PracticeSay("a few folds, more along the extrusion")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.03, 0.5),
		Modulus: src.Memory(1500),
		Stiff:   src.MemorySay("clear and tougher than polystyrene, softer"),
	}
}
