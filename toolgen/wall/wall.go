// Package wall owns the thickness of the formed sheet: who needs a wall asks here. Until a forming
// simulation gives it, the wall is nominal (gauge over areal draw ratio) and says so.
package wall

import (
	"math"

	"platen/toolgen/part"
)

// Thickness is a wall, mm. An estimate is good for offsets, with a warning, but is never shown as
// the formed wall.
type Thickness struct {
	MM        float64
	Simulated bool
}

// Walls gives the wall of the formed sheet.
type Walls interface {
	// Land returns the wall on the land.
	Land() Thickness
	// End returns the wall on a feature's floor or top.
	End(f *part.Feature) Thickness
	// Side returns the wall of a feature's side at depth mm from its host level.
	Side(f *part.Feature, depth float64) Thickness
}

// None is the wall allowance of a job that asks for none: the tool face is the nominal face.
type None struct{}

// Land returns 0.
func (None) Land() Thickness { return Thickness{} }

// End returns 0.
func (None) End(*part.Feature) Thickness { return Thickness{} }

// Side returns 0.
func (None) Side(*part.Feature, float64) Thickness { return Thickness{} }

// Nominal is the wall by area balance: the gauge on the land, gauge / areal draw ratio everywhere in
// a feature.
type Nominal struct{ Gauge float64 }

// Land returns the gauge.
func (n Nominal) Land() Thickness { return Thickness{MM: n.Gauge} }

// End returns gauge / areal draw ratio of the feature.
func (n Nominal) End(f *part.Feature) Thickness { return Thickness{MM: n.Gauge / DrawRatio(f)} }

// Side returns the same as End: area balance knows no place.
func (n Nominal) Side(f *part.Feature, _ float64) Thickness { return n.End(f) }

// DrawRatio returns the areal draw ratio of a feature with sharp corners: formed area over the area
// of its opening or foot. Nested features multiply with those they lie in.
//
// SOURCE: definition in SPE Thermoforming Division, "The Ubiquitous Draw Ratio", Thermoforming
// Quarterly 24(4), 2005.
func DrawRatio(f *part.Feature) float64 {
	run := f.Height * f.Draft.Tan()
	host, end := 0.0, -run
	if f.Holds == part.AtEnd {
		host, end = run, 0
	}
	// A drafted wall over a smooth outline is as long as its mean girth.
	girth := f.Outline.Length() + 2*math.Pi*(host+end)/2
	side := girth * f.Height / f.Draft.Cos()
	r := (Area(f, end) + side) / Area(f, host)
	if f.Parent != nil {
		r *= DrawRatio(f.Parent)
	}
	return r
}

// Area returns the area inside the feature's outline moved outward by m, mm2: Steiner's formula for
// an outline whose corners are rounder than m.
func Area(f *part.Feature, m float64) float64 {
	return f.Outline.Area() + m*f.Outline.Length() + math.Pi*m*m
}
