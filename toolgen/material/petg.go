package material

import src "platen/toolgen/source"

func petg() Sheet {
	d := softDraft()
	d[Male].Want = src.Of(5, src.B, src.PETGGuide)
	return Sheet{
		Name:      "PETG",
		Aliases:   []string{"PET-G"},
		Structure: Amorphous,
		Look:      Clear,
		Forming:   src.Between(135, 154, src.B, src.PETGGuide),
		Core:      src.Of(145, src.B, src.PETGGuide),
		Tool:      src.MemoryRange(20, 50),
		ToolAt:    src.Memory(35),
		Release:   src.Memory(70),
		Caution:   src.Say("the range is that of the sheet's surface", src.B, src.PETGGuide),
		Shrink: ShrinkTable{
			Male:   src.Memory(0.003),
			Female: src.Memory(0.004),
			Spread: src.MemoryRange(0.002, 0.007),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      src.Memory(1270),
			SpecificHeat: src.Memory(1100),
			Conductivity: src.Memory(0.20),
			Expansion:    src.Memory(70e-6),
			Glass:        src.Of(77.5, src.C, src.PolymerTables),
			Deflection:   src.Between(70, 75, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying:  Drying{Need: NoDrying, Advice: src.Say("not needed", src.B, src.PETGGuide)},
		Areal:   areal(4, 6),
		Fold:    Fold{SomeFolds, src.PracticeSay("tens to hundreds of folds")},
		Draft:   d,
		Vent:    softVent(),
		Strip:   strip(0.05, 0.5),
		Modulus: src.Memory(2100),
		Stiff:   src.MemorySay("tough and clear, scratches easily"),
	}
}
