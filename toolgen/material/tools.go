package material

import src "platen/toolgen/source"

// Tools returns all tool materials in the order of the printed table.
func Tools() []Tool {
	return []Tool{
		alu5083(), alu6082(), alu7075(), filledEpoxy(), boardLight(), boardMedium(), boardDense(), mdf(), hardwood(),
	}
}

// noHeatLimit is the limit of a metal, far above any sheet.
func noHeatLimit() src.Range {
	return src.Between(0, 0, src.M, "none in use: it melts far above any forming temperature")
}

// warmSkin is the movement of a tool that does not conduct.
func warmSkin() src.Advice {
	return src.PracticeSay("warms in the skin only and keeps warming over a run: first and last parts differ in size")
}

// warmThrough is the movement of a metal tool.
func warmThrough() src.Advice {
	return src.Say("without temperature control the size drifts as the tool warms over a run", src.B, src.ShopTooling)
}

func alu5083() Tool {
	return Tool{
		Name: "aluminium 5083", Aliases: []string{"5083", "aluminum 5083", "5083 plate", "aluminium", "aluminum"},
		Class:        Metal,
		Density:      src.Between(2650, 2660, src.B, src.MetalStock),
		Expansion:    src.Between(22.3e-6, 25e-6, src.B, src.MetalStock+" (two)"),
		Conductivity: src.Between(117, 121, src.B, src.MetalStock),
		Life:         src.Between(10000, 100000, src.B, src.ShopTooling+": tens of thousands and more"),
		Cost:         src.Practice(1),
		LeadDays:     src.PracticeRange(10, 20),
		LeastWall:    src.Practice(3),
		HeatLimit:    noHeatLimit(),
		Movement:     warmThrough(),
		Hazards:      metalHazards(),
	}
}

func alu6082() Tool {
	return Tool{
		Name: "aluminium 6082", Aliases: []string{"6082", "6082-T6", "aluminum 6082", "aluminium 6082-T6"},
		Class:        Metal,
		Density:      src.Between(2700, 2700, src.B, src.MetalStock),
		Expansion:    src.Between(23.4e-6, 23.4e-6, src.B, src.MetalStock),
		Conductivity: src.Between(170, 220, src.B, src.MetalStock),
		Life:         src.Between(10000, 100000, src.B, src.ShopTooling+": tens of thousands and more"),
		Cost:         src.Practice(1),
		LeadDays:     src.PracticeRange(10, 20),
		LeastWall:    src.Practice(2.5),
		HeatLimit:    noHeatLimit(),
		Movement:     warmThrough(),
		Hazards:      metalHazards(),
	}
}

func alu7075() Tool {
	return Tool{
		Name: "aluminium 7075", Aliases: []string{"7075", "7075-T6", "aluminum 7075", "aluminium 7075-T6"},
		Class:        Metal,
		Density:      src.MemoryRange(2810, 2810),
		Expansion:    src.MemoryRange(23.4e-6, 23.4e-6),
		Conductivity: src.MemoryRange(130, 130),
		Life:         src.Between(100000, 100000, src.M, "from memory, and more"),
		Cost:         src.Memory(1.3),
		LeadDays:     src.PracticeRange(10, 20),
		LeastWall:    src.Memory(2.5),
		HeatLimit:    noHeatLimit(),
		Movement:     warmThrough(),
		Hazards:      metalHazards(),
	}
}

func filledEpoxy() Tool {
	return Tool{
		Name: "aluminium-filled epoxy", Aliases: []string{"aluminum-filled epoxy", "filled epoxy", "epoxy"},
		Class:        Cast,
		Density:      src.MemoryRange(1600, 1800),
		Expansion:    src.MemoryRange(30e-6, 45e-6),
		Conductivity: src.MemoryRange(0.8, 1.2),
		Life:         src.Between(10000, 10000, src.B, src.EpoxyTools+": 10,000 ABS parts without visible wear"),
		Cost:         src.Practice(0.5),
		LeadDays:     src.PracticeRange(1, 5),
		LeastWall:    src.Practice(6),
		HeatLimit:    src.Between(206, 206, src.B, src.EpoxyTools+": glass transition of that system; ask the maker for yours"),
		Movement:     warmSkin(),
		Hazards:      resinHazards(),
	}
}

func boardLight() Tool {
	return Tool{
		Name: "tooling board light", Aliases: []string{"light tooling board", "light board"},
		Class:        Board,
		Density:      src.Between(400, 1000, src.B, src.BoardClasses),
		Expansion:    src.MemoryRange(50e-6, 70e-6),
		Conductivity: src.MemoryRange(0.1, 0.2),
		Life:         src.PracticeRange(50, 500),
		Cost:         src.Practice(0.3),
		LeadDays:     src.PracticeRange(1, 5),
		LeastWall:    src.Practice(8),
		HeatLimit:    src.MemoryRange(70, 80),
		Movement:     warmSkin(),
		Hazards:      resinHazards(),
	}
}

func boardMedium() Tool {
	return Tool{
		Name: "tooling board medium", Aliases: []string{"medium tooling board", "medium board", "tooling board"},
		Class:        Board,
		Density:      src.Between(1200, 1500, src.B, src.BoardClasses),
		Expansion:    src.MemoryRange(50e-6, 90e-6),
		Conductivity: src.MemoryRange(0.3, 0.5),
		Life:         src.PracticeRange(500, 5000),
		Cost:         src.Practice(0.5),
		LeadDays:     src.PracticeRange(1, 5),
		LeastWall:    src.Practice(5),
		HeatLimit:    src.MemoryRange(80, 110),
		Movement:     warmSkin(),
		Hazards:      resinHazards(),
	}
}

func boardDense() Tool {
	return Tool{
		Name: "tooling board dense", Aliases: []string{"dense tooling board", "dense board"},
		Class:        Board,
		Density:      src.Between(1600, 1700, src.B, src.BoardClasses),
		Expansion:    src.MemoryRange(35e-6, 60e-6),
		Conductivity: src.MemoryRange(0.6, 1.0),
		Life:         src.Between(5000, 5000, src.P, "and more"),
		Cost:         src.Practice(0.8),
		LeadDays:     src.PracticeRange(1, 5),
		LeastWall:    src.Practice(4),
		HeatLimit:    src.MemoryRange(100, 130),
		Movement:     warmSkin(),
		Hazards:      resinHazards(),
	}
}

func mdf() Tool {
	return Tool{
		Name: "MDF", Aliases: []string{"medium density fibreboard"},
		Class:        Wood,
		Density:      src.MemoryRange(700, 800),
		Expansion:    src.Between(0, 0, src.M, "left out: moisture moves it more than heat"),
		Conductivity: src.MemoryRange(0.12, 0.14),
		Life:         src.Between(10, 200, src.P, "10 to 50 unsealed, to 200 sealed"),
		Cost:         src.Practice(0.15),
		LeadDays:     src.PracticeRange(1, 2),
		LeastWall:    src.Practice(10),
		HeatLimit:    src.Between(0, 0, src.M, "no figure: it warms up between shots and chars slowly"),
		Movement:     src.MemorySay("swells about 0.3 % for 5 % more humidity, in thickness more: seal it"),
		Hazards:      woodHazards("treat as hardwood; the binder gives off formaldehyde that sticks to the dust; "),
	}
}

func hardwood() Tool {
	return Tool{
		Name: "hardwood", Aliases: []string{"wood"},
		Class:        Wood,
		Density:      src.MemoryRange(600, 750),
		Expansion:    src.Between(0, 0, src.M, "left out: moisture moves it more than heat"),
		Conductivity: src.MemoryRange(0.15, 0.2),
		Life:         src.PracticeRange(50, 300),
		Cost:         src.Practice(0.2),
		LeadDays:     src.PracticeRange(2, 4),
		LeastWall:    src.Practice(10),
		HeatLimit:    src.Between(0, 0, src.M, "no figure: it warms up between shots and chars slowly"),
		Movement:     src.MemorySay("moves across the grain with moisture far more than along it"),
		Hazards:      woodHazards(""),
	}
}
