package material

import (
	"math"

	"platen/toolgen/source"
)

// Drying says what a sheet wants before it is heated.
type Drying struct {
	Need   DryNeed
	Advice source.Advice
	Tables []DryTable // the table to go by first; the others for comparison
}

// DryNeed grades the need.
type DryNeed uint8

// The needs.
const (
	NoDrying DryNeed = iota // keep it wrapped
	DryIfPitted
	DryAlways
)

// String returns the words for the need.
func (n DryNeed) String() string {
	return [...]string{"normally none", "if moisture shows as pits", "always"}[n]
}

// DryTable gives oven hours by gauge at one temperature.
type DryTable struct {
	Temp   float64 // degC
	Rows   []DryRow
	Mark   source.Mark
	Source string
}

// anyGauge marks hours that hold whatever the gauge, mm.
var anyGauge = math.Inf(1)

// DryRow is one line of a drying table.
type DryRow struct {
	Gauge float64 // mm; +Inf where the hours hold for any
	Hours float64
}

// Hours returns the oven time of a gauge in mm, linear between the rows. A gauge thinner than the
// first row takes that row's time; one thicker than the last is not known, and ok is false.
func (t DryTable) Hours(gauge float64) (hours float64, ok bool) {
	for i, r := range t.Rows {
		if gauge > r.Gauge {
			continue
		}
		if i == 0 || r.Gauge == anyGauge {
			return r.Hours, true
		}
		p := t.Rows[i-1]
		return p.Hours + (r.Hours-p.Hours)*(gauge-p.Gauge)/(r.Gauge-p.Gauge), true
	}
	return 0, false
}

// For returns the oven time in hours and the temperature in degC for a gauge in mm, from the first
// table. ok is false where none is needed or none is known.
func (d Drying) For(gauge float64) (hours source.Value, temp float64, ok bool) {
	if len(d.Tables) == 0 {
		return source.Value{}, 0, false
	}
	t := d.Tables[0]
	h, ok := t.Hours(gauge)
	if !ok {
		return source.Value{}, 0, false
	}
	return source.Of(h, t.Mark, t.Source), t.Temp, true
}
