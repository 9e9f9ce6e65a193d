package material

import src "platen/toolgen/source"

func hdpe() Sheet {
	return Sheet{
		Name:      "HDPE",
		Aliases:   []string{"PE", "PE-HD"},
		Structure: Crystalline,
		Look:      Opaque,
		Forming:   src.MemoryRange(127, 182),
		// A published chart says about 138, at the edge of melting; a little above it here.
		Core:    src.Of(145, src.M, "the middle of the window; "+src.SheetChart+" gives about 138"),
		Tool:    src.MemoryRange(60, 90),
		ToolAt:  src.Memory(75),
		Release: src.Memory(80),
		Caution: src.MemorySay("sags soon once molten: watch the sag, not the clock"),
		Shrink: ShrinkTable{
			Male:   src.Of(0.022, src.B, src.MachineDraft),
			Female: src.Of(0.026, src.B, src.MachineDraft),
			Spread: src.Between(0.015, 0.040, src.B, src.MachineDraft),
			Along:  src.Practice(0.003),
		},
		Trial: src.PracticeSay("make a trial shot: shrinkage follows gauge, cooling and tool temperature"),
		Heat: Heat{
			Density:      book(950),
			SpecificHeat: book(2200),
			Conductivity: book(0.25),
			Expansion:    book(120e-6),
			Glass:        book(-120),
			Deflection:   src.Between(79, 91, src.C, src.PolymerTables),
			Latent:       src.Memory(190e3),
		},
		Drying: wrapped(),
		Areal:  areal(3, 5),
		Fold:   Fold{ManyFolds, src.Say("among the best hinges, with PP", src.C, src.HingePage)},
		Draft: [2]Draft{
			Female: {Min: src.Of(3, src.B, src.MachineDraft), Want: src.Of(5, src.B, src.MachineDraft)},
			Male:   {Min: src.Of(5, src.B, src.MachineDraft), Want: src.Of(6, src.A, src.DraftMelt)},
		},
		Vent:    meltVent(),
		Strip:   strip(0.08, 1.5),
		Modulus: src.Memory(1000),
		Stiff:   src.MemorySay("tough and waxy, soft in thin gauges, warps when cooled unevenly"),
	}
}
