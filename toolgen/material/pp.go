package material

import src "platen/toolgen/source"

func pp() Sheet {
	return Sheet{
		Name:      "PP",
		Aliases:   []string{"polypropylene"},
		Structure: Crystalline,
		Look:      Translucent,
		Forming:   src.Between(150, 180, src.B, src.PPSheet),
		// Between the best found for 0.5 mm sheet (155) and the melting range.
		Core:    src.Of(158, src.B, src.PPSheet+"; "+src.PPThesis),
		Tool:    src.Between(70, 90, src.B, src.PPSheet),
		ToolAt:  src.Of(70, src.B, src.PPSheet),
		Release: src.Memory(88),
		Caution: src.Say("narrow window: just under 165 degC it forms solid, above it melts and sags", src.B, src.PPGuide),
		Shrink: ShrinkTable{
			Male:   src.Of(0.018, src.B, src.PPSheet+" gives 0.02 to 0.03; "+src.MouldShrink+" 0.01 to 0.025; taken between"),
			Female: src.Of(0.022, src.B, src.PPSheet+" gives 0.03 to 0.04; "+src.MouldShrink+" 0.01 to 0.025; taken between"),
			Spread: src.Between(0.010, 0.040, src.B, src.PPSheet+"; "+src.MouldShrink),
			Along:  src.Practice(0.003),
		},
		Trial: src.Say("make a trial shot: the middle value lies below the only forming source, which gives "+
			"2 to 3 % male and 3 to 4 % female", src.B, src.PPSheet),
		Heat: Heat{
			Density:      book(905),
			SpecificHeat: book(2000),
			Conductivity: book(0.20),
			Expansion:    book(100e-6),
			Glass:        book(-10),
			Deflection:   src.Between(85, 121, src.C, src.PolymerTables),
			Latent:       src.Memory(95e3),
		},
		Drying: wrapped(),
		Areal:  areal(3, 5),
		Fold:   Fold{ManyFolds, src.Say("the best hinge, with PE", src.C, src.HingePage)},
		Draft: [2]Draft{
			Female: {Min: src.Of(1, src.A, src.DraftFemale), Want: src.Of(3, src.B, src.MachineDraft)},
			Male:   {Min: src.Of(5, src.A, src.DraftMelt), Want: src.Of(6, src.A, src.DraftMelt)},
		},
		Vent:    meltVent(),
		Strip:   strip(0.08, 1.0),
		Modulus: src.Memory(1400),
		Stiff:   src.MemorySay("tough and light, less stiff than HIPS at the same gauge, creeps under load"),
	}
}
