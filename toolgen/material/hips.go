package material

import src "platen/toolgen/source"

func hips() Sheet {
	return Sheet{
		Name:      "HIPS",
		Aliases:   []string{"PS", "high impact polystyrene"},
		Structure: Amorphous,
		Look:      Opaque,
		Forming:   src.Between(130, 177, src.B, src.HIPSTrials+"; "+src.HIPSArticle),
		Core:      src.Of(150, src.B, src.HIPSArticle),
		Tool:      src.MemoryRange(40, 70),
		ToolAt:    src.Memory(55),
		Release:   src.Memory(85),
		Caution:   src.Say("130 and 140 degC gave the same walls over a male tool", src.A, src.HIPSTrials),
		Shrink: ShrinkTable{
			Male:   src.Of(0.004, src.M, src.MouldShrink),
			Female: src.Of(0.005, src.M, src.MouldShrink),
			Spread: src.Between(0.003, 0.008, src.M, src.MouldShrink),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      book(1050),
			SpecificHeat: book(1300),
			Conductivity: book(0.15),
			Expansion:    book(80e-6),
			Glass:        book(100),
			Deflection:   src.Between(68, 96, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying:  wrapped(),
		Areal:   areal(4, 6),
		Fold:    Fold{FewFolds, src.PracticeSay("under ten folds")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.03, 0.5),
		Modulus: src.Memory(2000),
		Stiff:   src.MemorySay("stiff and cheap, forms easily, the usual sheet for trays"),
	}
}
