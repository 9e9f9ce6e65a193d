package review

// Rules returns all rules in the order in which the review applies them.
func Rules() []Rule {
	return []Rule{
		undercut,
		draftLow,
		radiusGauge,
		radiusFree,
		ridgeSharp,
		depthWidth,
		webGap,
		drawAreal,
		wallMean,
		wallNominal,
		wallLeast,
		wallBridged,
		wallWeb,
		wallModel,
		letteringStroke,
		letteringRelief,
		fitFillet,
		partFlange,
		markingIn,
		punchFlat,
		toolWall,
		toolBase,
		toolHeat,
		toolClear,
		toolLife,
		shrinkSpread,
		shrinkKind,
		shrinkTrial,
		shrinkSkin,
		ventMissing,
		ventPullDown,
		ventTrapped,
	}
}
