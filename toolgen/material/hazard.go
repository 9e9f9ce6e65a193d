package material

import src "platen/toolgen/source"

// localFirst ends every list of hazards.
func localFirst() src.Advice {
	return src.PracticeSay("local codes and the maker's safety data sheet come before these lines")
}

func metalHazards() []src.Advice {
	return []src.Advice{
		src.MemorySay("chips cut and are hot; aluminium burns only as fine dust: keep wet and dry dust apart"),
		src.MemorySay("a heated tool burns the skin: guard and mark it"),
		localFirst(),
	}
}

func resinHazards() []src.Advice {
	return []src.Advice{
		src.Say("dust: extract it, wear a mask; nuisance dust limits of Great Britain 10 mg/m3 inhalable, "+
			"4 mg/m3 respirable", src.C, src.DustArticles),
		src.MemorySay("sensitises when uncured or hot: gloves, no dry sanding by hand without extraction"),
		localFirst(),
	}
}

func woodHazards(glue string) []src.Advice {
	return []src.Advice{
		src.Say("hardwood dust: 2 mg/m3 inhalable over 8 h in the EU", src.C, src.DustDirective),
		src.Say(glue+"wood dust is an IARC group 1 carcinogen: local exhaust and a mask", src.C, src.DustArticles),
		localFirst(),
	}
}
