package toolgen

import (
	"context"

	"platen/toolgen/air"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/review"
	"platen/toolgen/shop"
)

// pull draws the air out from under the formed sheet.
func (r *Result) pull(ctx context.Context) (err error) {
	if r.Formed == nil {
		return nil
	}
	m := r.machine()
	base := r.Body.Field.Box().Size()
	set := air.Setup{
		Feature: r.feature,
		Enough:  limits.Get(limits.Vacuum).Value.V,
		Target:  r.pullTarget(),
		Machine: air.Machine{
			Box:    base.X * base.Y * m.Box * 1e-9,
			Hose:   air.HoseArea(m.HoseBore, m.HoseLength),
			Tank:   m.Tank * 1e-3,
			Vacuum: m.Vacuum * 1e3,
			Pump:   m.Pump / 3600,
		},
	}
	for _, h := range r.Vents.Holes {
		set.Holes = append(set.Holes, air.Hole{At: h.At, Dia: h.Dia, Back: h.BackDia})
	}
	r.Air, err = air.Pull(ctx, r.Formed.Sheet, set)
	return err
}

// machine returns the vacuum side of the machine: what the job says, else the built-in default.
func (r *Result) machine() shop.Machine {
	m, own := shop.DefaultMachine(), r.Job.Machine
	for _, v := range []struct {
		key  string
		into *float64
	}{{"tank", &m.Tank}, {"vacuum", &m.Vacuum}, {"pump", &m.Pump}} {
		if own.Has(v.key) {
			*v.into, m.Default = own.Number(v.key), false
		}
	}
	for _, v := range []struct {
		key  string
		into *float64
	}{{"hose_bore", &m.HoseBore}, {"hose_length", &m.HoseLength}, {"box", &m.Box}} {
		if own.Has(v.key) {
			*v.into, m.Default = own.Length(v.key), false
		}
	}
	return m
}

// pullTarget returns the longest time to draw the air out, s.
func (r *Result) pullTarget() float64 {
	for _, o := range r.Job.Overrides {
		if o.Rule == review.PullDownRule {
			return o.Limit
		}
	}
	return limits.PullDown(r.Part.Gauge).Value.V
}

// feature returns the feature whose face lies nearest to a place.
func (r *Result) feature(at geom.Vec3) string {
	for range 8 { // on to the face
		s := r.Body.Field.Face(at)
		at = at.Sub(s.G.Scale(s.D))
	}
	return r.Body.Field.Pieces.At(r.Body.Field.Face(at).Piece).Feature
}

// AirSummary is the drawing out of the air.
type AirSummary struct {
	Time    float64     `json:"s"`
	Done    bool        `json:"done"`
	Target  float64     `json:"target_s"`
	Enough  float64     `json:"enough_kpa"`
	Vacuum  float64     `json:"vacuum_kpa"`   // in the box at the end
	Floor   float64     `json:"machine_s"`    // with holes that hold nothing up
	Machine string      `json:"machine"`      //
	Slowest string      `json:"slowest"`      // feature
	Add     int         `json:"holes_to_add"` //
	Spare   int         `json:"holes_to_spare"`
	Regions []AirRegion `json:"regions"` // slowest first
	Curve   []air.Point `json:"curve"`
}

// AirRegion is the air that leaves last over one feature.
type AirRegion struct {
	Feature string  `json:"feature"`
	Volume  float64 `json:"cm3"`
	Holes   int     `json:"holes"`
	Area    float64 `json:"hole_area_mm2"` // discharge coefficient included
	Time    float64 `json:"s,omitempty"`   // absent where it is not done
	Sealed  bool    `json:"no_hole,omitempty"`
}

func (r *Result) airSummary() *AirSummary {
	a := r.Air
	if a == nil {
		return nil
	}
	out := &AirSummary{
		Time: a.Time, Done: a.Done, Target: a.Target, Enough: a.Enough, Vacuum: a.Vacuum, Floor: a.Floor,
		Machine: r.machine().String(), Spare: a.Spare, Curve: a.Curve,
	}
	slow, _ := a.Slowest()
	out.Slowest = slow.Feature
	for _, e := range a.Add {
		out.Add += e.Count
	}
	for _, g := range a.Regions {
		s := AirRegion{Feature: g.Feature, Volume: g.Volume, Holes: g.Holes, Area: g.Area, Sealed: g.Sealed}
		if !g.Sealed && g.Time <= a.Time {
			s.Time = g.Time
		}
		out.Regions = append(out.Regions, s)
	}
	return out
}
