package limits

import "platen/toolgen/source"

// The limits of the fit between a product and its pocket.
const (
	FitHeld = "fit.held"
	FitGrip = "fit.grip"
)

func fits() []Limit {
	return []Limit{
		{FitHeld, "depth of a pocket, of the product's height, at least", source.Practice(0.5), "x height", Warning},
		{FitGrip, "height of the product that stands out to be gripped, at least, where no recess lets fingers in", source.Practice(12), "mm", Warning},
	}
}
