package material

import src "platen/toolgen/source"

func apet() Sheet {
	return Sheet{
		Name:      "APET",
		Aliases:   []string{"RPET", "PET", "A-PET"},
		Structure: Amorphous,
		Look:      Clear,
		Forming:   src.Between(100, 160, src.B, src.PlugTrials+"; "+src.APETGuide),
		// The low end: haze can not be undone, a cold sheet shows as lost detail.
		Core:    src.Of(110, src.B, src.PlugTrials+"; "+src.APETGuide),
		Tool:    src.Between(40, 60, src.B, src.TraySupplier),
		ToolAt:  src.Of(45, src.B, src.TraySupplier),
		Release: src.Memory(65),
		Caution: src.MemorySay("long above about 130 degC it crystallises and hazes: start cold"),
		Shrink: ShrinkTable{
			Male:   src.Of(0.003, src.M, src.MouldShrink),
			Female: src.Of(0.004, src.M, src.MouldShrink),
			Spread: src.Between(0.002, 0.006, src.M, src.MouldShrink),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      book(1360),
			SpecificHeat: book(1000),
			Conductivity: book(0.20),
			Expansion:    book(90e-6),
			Glass:        book(75),
			Deflection:   src.MemoryRange(63, 70),
			Latent:       noLatent(),
		},
		Drying:  wrapped(),
		Areal:   areal(4, 6),
		Fold:    Fold{SomeFolds, src.PracticeSay("tens to hundreds of folds")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.05, 0.5),
		Modulus: src.Memory(2700),
		Stiff:   src.MemorySay("stiff and clear in thin gauges, narrow forming window"),
	}
}
