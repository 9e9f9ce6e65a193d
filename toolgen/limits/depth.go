package limits

import "platen/toolgen/source"

// The limits of depth and draw.
const (
	DepthWarn  = "depth.width-warn"
	DepthPlug  = "depth.width-plug"
	DepthError = "depth.width-error"
	DrawAreal  = "draw.areal"
)

func depths() []Limit {
	const unit = "depth / shorter side"
	return []Limit{
		{DepthWarn, "the wall thins fast from here", source.Of(0.5, source.B, source.ShopTips), unit, Warning},
		{DepthPlug, "a plug is advised from here", source.Of(0.8, source.B, source.TraySupplier), unit, Warning},
		{DepthError, "at most without a plug", source.Of(1.0, source.B, source.ShopDesign), unit, Error},
		{DrawAreal, "areal draw ratio, common up to here", source.Of(3, source.A, source.Course), "part / sheet", Note},
	}
}

// Areal returns the areal draw limit of a sheet, from its own figure.
func Areal(sheet source.Value) Limit {
	l := Get(DrawAreal)
	l.Text, l.Grade = "areal draw ratio of this sheet, at most", Error
	return l.at(sheet, l.Unit)
}
