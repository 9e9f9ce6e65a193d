// Package features owns the feature kinds, one file each, and their list.
package features

import "platen/toolgen/part"

// All returns the feature kinds in the order the tables print them.
func All() []part.Kind {
	return []part.Kind{
		Pocket,
		SteppedPocket,
		Cradle,
		Slot,
		DividerSlot,
		FingerRecess,
		StackingLug,
		NestingCone,
		StiffeningRib,
		Step,
		Boss,
		Dome,
		Rim,
		Skirt,
		GripRib,
		Pip,
		HingeLine,
		SnapButton,
		SnapSocket,
		Lettering,
		Artwork,
		Marking,
		Aperture,
	}
}
