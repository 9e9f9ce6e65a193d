package toolgen

import (
	"context"
	"math"

	"platen/toolgen/limits"
	"platen/toolgen/stiff"
	"platen/toolgen/wall"
)

// LiftSummary is how a part sags that is lifted by its ends.
type LiftSummary struct {
	Axis string  `json:"axis"`
	Span float64 `json:"span_mm"`
	Sag  float64 `json:"sag_mm"`
	Low  float64 `json:"sag_low_mm"` // over the band of modulus, creep and flattening
	High float64 `json:"sag_high_mm"`
	Own  float64 `json:"own_g"`  // of the whole part
	Load float64 `json:"load_g"` // of the products that pockets tell
}

// liftSummary tells it, nil where the part was not cut.
func (r *Result) liftSummary() *LiftSummary {
	if r.Beam == nil {
		return nil
	}
	sag, _ := r.Beam.Sag(r.Part.Sheet.Modulus.V)
	if math.IsInf(sag, 0) || math.IsNaN(sag) {
		return nil
	}
	return &LiftSummary{
		Axis: r.Beam.Axis, Span: micron(r.Beam.Span()), Sag: micron(sag), Low: micron(sag * limits.Get(limits.SagLow).Value.V),
		High: micron(sag * limits.Get(limits.SagHigh).Value.V), Own: micron(r.Beam.Own), Load: micron(r.Beam.Load),
	}
}

// lift cuts the part, as formed where a sheet was, for lifting by its ends.
func (r *Result) lift(ctx context.Context) (err error) {
	var w stiff.Walls = stiff.NewNominal(r.Body, wall.Nominal{Gauge: r.Part.Gauge, Over: r.Body.Over()})
	if r.Formed != nil {
		w = r.Formed
	}
	r.Beam, err = stiff.Lift(ctx, r.Body, w)
	return err
}
