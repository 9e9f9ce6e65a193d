package limits

import "platen/toolgen/source"

// The limits of how stiff a part is.
const (
	LiftSag     = "lift.sag"
	PanelUneven = "panel.uneven"
	PanelFinger = "panel.finger"
	SagLow      = "lift.band-low"
	SagHigh     = "lift.band-high"
)

func stiffs() []Limit {
	return []Limit{
		{LiftSag, "sag of a part lifted by its ends, of the span, at most", source.Practice(0.02), "x span", Warning},
		{SagLow, "what a stiffer sheet leaves of the sag", source.Practice(0.8), "x sag", Note},
		{SagHigh, "what creep over hours, a softer sheet and flattening of the section make of the sag", source.Practice(2.5), "x sag", Note},
		{PanelUneven, "strain that uneven cooling leaves in a flat panel, of the sheet's shrinkage", source.Practice(0.2), "x shrinkage", Warning},
		{PanelFinger, "force of a finger that tries a panel", source.Practice(5), "N", Note},
	}
}
