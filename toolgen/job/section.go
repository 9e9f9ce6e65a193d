package job

// Sections returns the whole grammar but the features: every key at the top of a job file, for the
// manual and the editor schema. Choices that depend on the tables of names stand empty.
func Sections() []Param { return sections(Names{}) }

const practice = "common practice, no source"

func sections(n Names) []Param {
	return []Param{
		{Key: "format", Type: Count, Text: "version of this grammar", Required: true, Min: 1, Max: 1},
		{Key: "name", Type: Text, Text: "what the job is called", Required: true},
		{Key: "revision", Type: Text, Text: "the shop's revision mark"},
		{Key: "note", Type: Text, Text: "free text, printed in the report"},
		{Key: "units", Type: Choice, Text: "what lengths without a unit are written in",
			Default: "mm", Choices: []string{"mm", "inch"}},
		{Key: "values", Type: namedValues, Text: "numbers with a name, for use in any number of the job: {r: 12 mm, pitch: 2*r + 3}"},
		{Key: "sheet", Type: Group, Text: "the sheet to be formed", Required: true, Params: sheetKeys(n)},
		{Key: "tool", Type: Group, Text: "the forming tool", Required: true, Params: toolKeys(n)},
		{Key: "part", Type: Group, Text: "the part as trimmed", Required: true, Params: partKeys()},
		{Key: "forming", Type: Group, Text: "how the machine forms the sheet", Params: formingKeys()},
		{Key: "defaults", Type: Group, Text: "values for features that do not give their own", Params: defaultKeys()},
		{Key: "shrink", Type: Group, Text: "allowance for the shrinkage of the sheet", Params: shrinkKeys(),
			also: object{{"dependencies", object{{"x", []string{"reason"}}, {"y", []string{"reason"}}, {"z", []string{"reason"}}}}}},
		{Key: "stack", Type: Group, Text: "how the parts are nested and stacked", Params: stackKeys()},
		{Key: "limits", Type: Groups, Text: "limits of rules changed for this job", Params: limitKeys(n)},
		{Key: "features", Type: items, Text: "features of the land"},
	}
}

func sheetKeys(n Names) []Param {
	return []Param{
		{Key: "material", Type: Choice, Text: "sheet material", Required: true, Choices: n.Materials, alike: n.Alike},
		{Key: "gauge", Type: Length, Text: "thickness before forming", Required: true, Min: 0.1, Max: 12},
		{Key: "least_wall", Type: Length, Text: "thinnest wall the part may have", Min: 0.02, Max: 12},
		{Key: "extrusion", Type: Choice, Text: "axis of the part that lies along the sheet's extrusion",
			Default: "none", Choices: []string{"x", "y", "none"}},
		{Key: "stiffening", Type: Number, Text: "ratio C2/C1 of the hot sheet's stiffness as platen calibrate fits it to measured walls; not given: 0.1, unverified", Min: 0.001, Max: 10},
		{Key: "size", Type: Point, Text: "the sheet as cut, across and away; where forming.frame is not given, the clamp frame leaves 12 mm of it all round", Min: 10, Max: 5000},
		{Key: "texture", Type: Length, Text: "depth of the sheet's grain", Default: 0.0, Max: 1, Source: "plain sheet"},
		{Key: "finish", Type: Choice, Text: "what one face of the sheet bears; grained goes with texture", Default: "plain",
			Choices: []string{"plain", "grained", "flocked", "capped", "mirror", "film"}},
		{Key: "finish_face", Type: Choice, Text: "face of the part that bears the finish", Default: "upper", Choices: []string{"upper", "underside"}},
		{Key: "most_stretch", Type: Number, Text: "gauge over wall up to which a finish or a conductive grade keeps what it is for, as its maker gives it; not given: platen's own figures, common practice, no source", Min: 1, Max: 50},
		{Key: "look", Type: Choice, Text: "what light is to do in the part; not given: as the sheet is sold", Choices: []string{"clear", "translucent", "opaque"}},
	}
}

func toolKeys(n Names) []Param {
	return []Param{
		{Key: "material", Type: Choice, Text: "tool material", Required: true, Choices: n.ToolMaterials, alike: n.Alike},
		{Key: "temperature", Type: Temperature, Text: "tool temperature in the run", Min: 5, Max: 250},
		{Key: "run", Type: Count, Text: "parts the tool is to make", Min: 1, Max: 10000000},
		{Key: "contact", Type: Choice, Text: "side of the sheet that touches the tool",
			Default: "underside", Choices: []string{"underside", "upper"}},
		{Key: "measured", Type: Choice, Text: "side on which the job's sizes hold",
			Default: "upper", Choices: []string{"upper", "underside"}},
		{Key: "seal", Type: Choice, Text: "what the sheet seals on",
			Default: "frame", Choices: []string{"platen", "frame", "reducing_plate"}},
		{Key: "datum", Type: Choice, Text: "zero of every file of the tool",
			Default: "block_centre", Choices: []string{"block_centre", "block_corner", "land_centre"}},
		{Key: "cut", Type: Choice, Text: "sizes that should be right at once, or keep metal for a second cut",
			Default: "first_time", Choices: []string{"first_time", "leave_stock"}},
		{Key: "wall_allowance", Type: Choice, Text: "wall by which the tool face is moved where the other side is measured: as formed, by area balance, or none",
			Default: "formed", Choices: []string{"formed", "nominal", "none"}},
		{Key: "block", Type: Group, Text: "the block the tool is cut from", Params: []Param{
			{Key: "margin", Type: Length, Text: "from the part to the block's side", Default: 20.0, Max: 1000, Source: practice},
			{Key: "base", Type: Length, Text: "material under the deepest floor", Default: 20.0, Min: 1, Max: 1000, Source: practice},
			{Key: "corner", Type: Length, Text: "plan radius of the block's corners", Default: 5.0, Max: 1000, Source: practice},
			{Key: "skirt_draft", Type: Angle, Text: "draft of the block's sides", Default: 0.0, Max: 45},
			{Key: "edge", Type: Length, Text: "radius round the top of the block", Default: 0.0, Max: 100},
			{Key: "size", Type: Point, Text: "plan size of the block; stands in for margin", Min: 1, Max: 3000},
		}},
		{Key: "impressions", Type: Group, Text: "more parts on one tool, side by side", Params: []Param{
			{Key: "grid", Type: Grid, Text: "parts across and away", Required: true, Min: 1, Max: 100},
			{Key: "pitch", Type: Point, Text: "distance of parts across and away", Required: true},
			{Key: "trimmed", Type: Choice, Default: "together", Choices: []string{"together", "apart"}, Source: practice,
				Text: "together by one knife: the pitch holds on the cold parts, and shrinks with them; apart: the pitch holds on the tool"},
		}},
		{Key: "vents", Type: Group, Text: "vacuum holes", Params: []Param{
			{Key: "modelled", Type: Flag, Text: "the holes stand in the tool's mesh too", Default: false},
			{Key: "pitch", Type: Length, Text: "distance of holes along an edge", Min: 1, Max: 1000},
			{Key: "most", Type: Count, Text: "most holes to drill", Min: 1, Max: 50000},
			{Key: "keep_clear", Type: Texts, Text: "names of features that take no holes"},
			{Key: "drills", Type: Lengths, Text: "drill diameters at hand", Min: 0.2, Max: 20},
		}},
		{Key: "machine", Type: Group, Text: "the vacuum side of the forming machine; a built-in default stands in for what is not given", Params: []Param{
			{Key: "tank", Type: Number, Text: "volume of the vacuum tank, litres", Min: 1, Max: 100000},
			{Key: "vacuum", Type: Number, Text: "vacuum in the tank, kPa below the air", Min: 10, Max: 101},
			{Key: "hose_bore", Type: Length, Text: "bore of the hose from tank to table", Min: 3, Max: 300},
			{Key: "hose_length", Type: Length, Text: "length of the hose from tank to table", Min: 10, Max: 10000},
			{Key: "pump", Type: Number, Text: "volume flow of the pump, m3 an hour", Min: 0, Max: 5000},
			{Key: "box", Type: Length, Text: "height of the room for air between tool and table", Min: 1, Max: 500},
		}},
	}
}

func formingKeys() []Param {
	return []Param{
		{Key: "frame", Type: Point, Text: "clear inside of the clamp frame, centred over the block; not given: by sheet.size, else 20 mm outside the block with seal: platen and the block's plan with the others", Min: 10, Max: 5000},
		{Key: "travel", Type: Length, Text: "how far the tool goes into the clamped sheet before the vacuum; not given: until the frame meets what the sheet seals on", Max: 1000},
		{Key: "bubble", Type: Length, Text: "height of the bubble blown from the clamped sheet before the tool goes in; half the frame's shorter side at most", Max: 1000},
		{Key: "plug", Type: Group, Text: "a plug, or several on one plate, that pushes the sheet down before the vacuum", Params: []Param{
			{Key: "outline", Type: Outline, Text: "plan of its end, at the size of the plug itself", Required: true},
			{Key: "at", Type: Point, Text: "place on the part", Default: origin},
			{Key: "turn", Type: Angle, Text: "turned counter-clockwise, seen from above the part", Default: 0.0, Min: -360, Max: 360},
			repeatKey(),
			{Key: "travel", Type: Length, Text: "how far its end goes down past the land of the tool", Required: true, Min: 0.5, Max: 1000},
			{Key: "edge", Type: Length, Text: "rounding round its end", Default: 4.0, Max: 100, Source: practice},
			{Key: "draft", Type: Angle, Text: "slope of its sides from the vertical: it widens upward", Default: 4.0, Max: 45, Source: practice},
			{Key: "stick", Type: Flag, Text: "the sheet sticks where it touches the plug, until the vacuum pulls it off; false: it slides without friction", Default: true, Source: practice},
		}},
	}
}

func partKeys() []Param {
	return []Param{
		{Key: "outline", Type: Outline, Text: "trim line", Required: true},
		{Key: "flange", Type: Length, Text: "land kept outside the last feature", Default: 8.0, Max: 1000, Source: practice},
	}
}

func defaultKeys() []Param {
	return []Param{
		{Key: "draft", Type: Angle, Text: "draft of walls", Max: 60},
		{Key: "edge", Type: Length, Text: "radius where a wall meets the level above", Max: 100},
		{Key: "floor", Type: Length, Text: "radius where a wall meets its floor", Max: 1000},
		{Key: "corner", Type: Length, Text: "plan corner radius", Max: 1000},
		{Key: "crossing", Type: Length, Text: "radius where features cross", Max: 100},
	}
}

func shrinkKeys() []Param {
	return []Param{
		{Key: "basis", Type: Choice, Text: "column of the shrinkage table", Default: "auto", Choices: []string{"auto", "female", "male"}},
		{Key: "x", Type: Number, Text: "per cent along X, in place of the table", Min: -2, Max: 10},
		{Key: "y", Type: Number, Text: "per cent along Y, in place of the table", Min: -2, Max: 10},
		{Key: "z", Type: Number, Text: "per cent along Z, in place of the table", Min: -2, Max: 10},
		{Key: "off", Type: Flag, Text: "no allowance", Default: false},
		{Key: "reason", Type: Text, Text: "why x, y or z stand in place of the table; required with them"},
	}
}

func stackKeys() []Param {
	return []Param{
		{Key: "way", Type: Choice, Text: "how loaded parts stand on each other; not given: by half a turn where the job has stacking lugs, else they are not held to any",
			Choices: []string{"half_turn", "same_way", "none"}},
		{Key: "nests", Type: Flag, Text: "empty parts go into each other, the same way, and come out again; not given: where the job has nesting cones"},
		{Key: "layers", Type: Count, Text: "parts one on another", Default: 10, Min: 2, Max: 1000, Source: practice},
		{Key: "load", Type: Number, Text: "load of every part, g; not given: the products of its pockets, where all tell their mass", Min: 0, Max: 1000000},
		{Key: "product", Type: Length, Text: "height of the product over the floor it stands on, of pockets that do not tell their product", Min: 0.1, Max: 1000},
		{Key: "inner_height", Type: Length, Text: "inner height of what the stack is packed in", Min: 1, Max: 10000},
	}
}

func limitKeys(n Names) []Param {
	return []Param{
		{Key: "rule", Type: Choice, Text: "id of the rule", Required: true, Choices: n.Rules},
		{Key: "limit", Type: Number, Text: "the limit for this job, in the rule's unit", Required: true},
		{Key: "reason", Type: Text, Text: "why; printed beside the finding", Required: true},
	}
}

// FeatureKeys returns the keys every feature has beside those of its kind, for the manual.
func FeatureKeys() []Param { return frameKeys(nil) }

// frameKeys are the keys every feature has beside those of its kind.
func frameKeys(kinds []string) []Param {
	return []Param{
		{Key: "kind", Type: Choice, Text: "kind of feature", Required: true, Choices: kinds},
		{Key: "name", Type: Text, Text: "name of the feature, unique in the job"},
		{Key: "at", Type: Point, Text: "place in the frame of the parent", Default: origin},
		{Key: "turn", Type: Angle, Text: "turned counter-clockwise, seen from above", Default: 0.0, Min: -360, Max: 360},
		repeatKey(),
		{Key: "features", Type: items, Text: "features on the floor or crown of this one"},
	}
}

// repeatKey is the key for more places of one thing.
func repeatKey() Param {
	return Param{Key: "repeat", Type: Group, Text: "more places of the same feature", Params: []Param{
		{Key: "grid", Type: Grid, Text: "places across and away, centred on at", Min: 1, Max: mostFeatures},
		{Key: "pitch", Type: Point, Text: "distance of places across and away"},
		{Key: "points", Type: Points, Text: "offsets from at", least: 1},
	}, also: object{{"oneOf", []object{
		{{"required", []string{"grid", "pitch"}}, {"not", object{{"required", []string{"points"}}}}},
		{{"required", []string{"points"}}, {"not", object{{"anyOf", []object{{{"required", []string{"grid"}}}, {{"required", []string{"pitch"}}}}}}}},
	}}}}
}
