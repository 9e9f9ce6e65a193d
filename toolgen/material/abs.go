package material

import src "platen/toolgen/source"

func abs() Sheet {
	return Sheet{
		Name:      "ABS",
		Structure: Amorphous,
		Look:      Opaque,
		Forming:   src.Between(127, 182, src.B, src.SheetChart),
		Core:      src.Of(152, src.B, src.SheetChart),
		Tool:      src.MemoryRange(40, 85),
		ToolAt:    src.Memory(70),
		Release:   src.Of(85, src.B, src.SheetChart),
		Caution:   src.Say("moisture shows as pits", src.B, src.Glossary),
		Shrink: ShrinkTable{
			Male:   src.Of(0.005, src.B, src.MachineDraft),
			Female: src.Of(0.006, src.B, src.MachineDraft),
			Spread: src.Between(0.003, 0.008, src.B, src.MachineDraft),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      book(1040),
			SpecificHeat: book(1300),
			Conductivity: book(0.25),
			Expansion:    book(90e-6),
			Glass:        book(115),
			Deflection:   src.Between(90, 98, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying: Drying{
			Need:   DryIfPitted,
			Advice: src.PracticeSay("2 to 4 h at 80 degC"),
			Tables: []DryTable{{
				Temp: 80, Mark: src.P, Source: "shop practice",
				Rows: []DryRow{{Gauge: 2, Hours: 2}, {Gauge: 6, Hours: 4}},
			}},
		},
		Areal:   areal(4, 6),
		Fold:    Fold{FewFolds, src.PracticeSay("whitens and breaks at a tight fold")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.04, 0.5),
		Modulus: src.Memory(2200),
		Stiff:   src.MemorySay("stiff and tough, the usual sheet for covers"),
	}
}
