package material

import src "platen/toolgen/source"

// pmma returns what both kinds of acrylic sheet share.
func pmma() Sheet {
	d := softDraft()
	d[Male].Want = src.Of(5, src.B, src.AcrylicBrief)
	return Sheet{
		Structure: Amorphous,
		Look:      Clear,
		Tool:      src.MemoryRange(60, 85),
		ToolAt:    src.Memory(70),
		Release:   src.Memory(85),
		Shrink: ShrinkTable{
			Male:   src.Of(0.004, src.M, src.MouldShrink),
			Female: src.Of(0.005, src.M, src.MouldShrink),
			Spread: src.Between(0.002, 0.008, src.M, src.MouldShrink),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			Density:      book(1180),
			SpecificHeat: book(1500),
			Conductivity: book(0.20),
			Expansion:    book(70e-6),
			Glass:        book(105),
			Deflection:   src.Between(79, 107, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying: Drying{
			Need:   DryIfPitted,
			Advice: src.Say("rarely needed; 24 h at 80 degC dries most sheet", src.B, src.AcrylicDrying),
			Tables: []DryTable{{
				Temp: 80, Mark: src.B, Source: src.AcrylicDrying,
				Rows: []DryRow{{Gauge: anyGauge, Hours: 24}},
			}},
		},
		Areal:   areal(3, 4),
		Fold:    Fold{NoFold, src.PracticeSay("breaks")},
		Draft:   d,
		Vent:    softVent(),
		Strip:   strip(0.015, 0.2),
		Modulus: src.Memory(3100),
		Stiff:   src.MemorySay("stiff, clear and brittle, weathers best"),
	}
}

func pmmaExtruded() Sheet {
	s := pmma()
	s.Name = "PMMA extruded"
	s.Aliases = []string{"PMMA", "acrylic", "acrylic extruded"}
	s.Forming = src.MemoryRange(140, 160)
	s.Core = src.Memory(155)
	s.Caution = src.Say("unclamped it shrinks up to 3 % along the extrusion and grows 0.5 % across when heated",
		src.B, src.AcrylicDrying)
	return s
}

func pmmaCast() Sheet {
	s := pmma()
	s.Name = "PMMA cast"
	s.Aliases = []string{"acrylic cast"}
	s.Forming = src.Between(160, 182, src.M, src.Acrylics+" gives 110 to 182 over all grades")
	s.Core = src.Memory(175)
	s.Shrink.Along = src.Of(0, src.B, src.AcrylicDrying+": cast sheet has no extrusion direction")
	s.Caution = src.Say("unclamped it shrinks up to 1.5 % both ways when heated", src.B, src.AcrylicDrying)
	return s
}
