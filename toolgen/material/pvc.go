package material

import src "platen/toolgen/source"

func pvc() Sheet {
	return Sheet{
		Name:      "PVC",
		Aliases:   []string{"rigid PVC", "PVC rigid", "PVC-U", "uPVC"},
		Structure: Amorphous,
		Look:      Clear,
		Forming:   src.MemoryRange(104, 149),
		Core:      src.Memory(138),
		Tool:      src.MemoryRange(30, 60),
		ToolAt:    src.Memory(45),
		Release:   src.Memory(60),
		Caution:   src.MemorySay("overheated PVC gives off acid fumes: keep under the range and vent the room"),
		Shrink: ShrinkTable{
			Male:   src.Of(0.003, src.M, src.MouldShrink),
			Female: src.Of(0.004, src.M, src.MouldShrink),
			Spread: src.Between(0.002, 0.006, src.M, src.MouldShrink),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      book(1400),
			SpecificHeat: book(900),
			Conductivity: book(0.16),
			Expansion:    book(70e-6),
			Glass:        book(80),
			Deflection:   src.Between(57, 82, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying:  wrapped(),
		Areal:   areal(4, 6),
		Fold:    Fold{SomeFolds, src.PracticeSay("tens to hundreds of folds")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.03, 0.5),
		Modulus: src.Memory(2900),
		Stiff:   src.MemorySay("stiff, self-extinguishing, heats slowly"),
	}
}
