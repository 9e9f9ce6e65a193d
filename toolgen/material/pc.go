package material

import src "platen/toolgen/source"

func pc() Sheet {
	return Sheet{
		Name:      "PC",
		Aliases:   []string{"polycarbonate"},
		Structure: Amorphous,
		Look:      Clear,
		Forming:   src.Between(188, 213, src.B, src.PCGuide+"; "+src.PCLowHeat),
		Core:      src.Of(193, src.B, src.PCGuide+"; "+src.PCLowHeat),
		Tool:      src.MemoryRange(80, 125),
		ToolAt:    src.Memory(100),
		Release:   src.Memory(135),
		Caution:   src.Say("wet sheet bubbles; 177 to 188 degC does for simple bends without vacuum", src.B, src.PCGuide),
		Shrink: ShrinkTable{
			Male:   src.Of(0.006, src.M, src.MouldShrink),
			Female: src.Of(0.007, src.M, src.MouldShrink),
			Spread: src.Between(0.005, 0.009, src.M, src.MouldShrink),
			Along:  src.Practice(0.001),
		},
		Heat: Heat{
			// Crawford prints 1150; every other table says 1200.
			Density:      src.Of(1200, src.C, src.PolymerTables),
			SpecificHeat: book(1200),
			Conductivity: book(0.20),
			Expansion:    book(65e-6),
			Glass:        book(149),
			Deflection:   src.Between(138, 140, src.C, src.PolymerTables),
			Latent:       noLatent(),
		},
		Drying:  pcDrying(),
		Areal:   areal(3, 4),
		Fold:    Fold{NoFold, src.Say("brittle in a fold", src.C, "injection-moulding design guide")},
		Draft:   softDraft(),
		Vent:    softVent(),
		Strip:   strip(0.04, 0.5),
		Modulus: src.Memory(2350),
		Stiff:   src.MemorySay("very tough and clear, keeps its stiffness when warm"),
	}
}

// pcDrying lists the longest table first: drying too little scraps parts, too long costs oven time.
func pcDrying() Drying {
	return Drying{
		Need: DryAlways,
		Advice: src.Say("sheets 20 to 30 mm apart, air circulating; form within 1 to 10 h; "+
			"below 1.5 mm often formed undried", src.B, src.PCManual+"; "+src.PCGuide),
		Tables: []DryTable{
			{Temp: 125, Mark: src.B, Source: src.PCManual, Rows: []DryRow{
				{1, 1.5}, {2, 4}, {3, 7}, {4, 12}, {5, 18}, {6, 26}, {8, 45},
			}},
			{Temp: 121, Mark: src.B, Source: src.PCHours, Rows: []DryRow{
				{2.4, 4}, {3, 6}, {3.8, 8}, {4.5, 12}, {6, 24},
			}},
			{Temp: 82, Mark: src.B, Source: src.PCHours, Rows: []DryRow{
				{2.4, 8}, {3, 14}, {3.8, 20}, {4.5, 30}, {6, 50},
			}},
		},
	}
}
