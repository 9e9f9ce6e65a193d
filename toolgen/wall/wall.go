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

// Nominal is the wall by area balance: the gauge on the land, gauge / areal draw ratio everywhere in a
// recess of the tool. A block's top is touched first and keeps the gauge; its sides take what is
// left of the sheet over its foot (common practice, no source).
type Nominal struct {
	Gauge float64
	Over  bool // the upper side touches the tool: sunk features are blocks
}

// Land returns the gauge.
func (n Nominal) Land() Thickness { return Thickness{MM: n.Gauge} }

// End returns the wall on a feature's floor or top.
func (n Nominal) End(f *part.Feature) Thickness {
	for f != nil && (n.male(f) || fine(f)) {
		f = f.Parent
	}
	if f == nil {
		return n.Land()
	}
	return Thickness{MM: n.Gauge / DrawRatio(f)}
}

// Side returns the mean wall of a feature's sides: area balance knows no place.
func (n Nominal) Side(f *part.Feature, _ float64) Thickness {
	if fine(f) {
		return n.End(f)
	}
	return Thickness{MM: n.Gauge / DrawRatio(f)}
}

// male reports whether a feature is a block on the tool.
func (n Nominal) male(f *part.Feature) bool { return f.Sunk == n.Over }

// fine reports whether a feature is too shallow to stretch the sheet.
func fine(f *part.Feature) bool { return f.Use.Fine() }

// DrawRatio returns the areal draw ratio of a feature with sharp corners: formed area over the area
// of its opening or foot. Nested features multiply with those they lie in.
//
// SOURCE: definition in SPE Thermoforming Division, "The Ubiquitous Draw Ratio", Thermoforming
// Quarterly 24(4), 2005.
func DrawRatio(f *part.Feature) float64 {
	host, end, side := Areas(f)
	r := (end + side) / host
	if f.Parent != nil {
		r *= DrawRatio(f.Parent)
	}
	return r
}

// Areas returns the areas of a feature's opening or foot, of its floor or top, and of its walls, mm2,
// roundings left out: Steiner's formulas for outlines whose corners are rounder than the walls' run.
func Areas(f *part.Feature) (host, end, side float64) {
	run := f.Height * f.Draft.Tan()
	h, e := 0.0, -run
	if f.Holds == part.AtEnd {
		h, e = run, 0
	}
	pi := math.Pi * float64(turns(f))
	grown := func(m float64) float64 { return f.Outline.Area() + m*f.Outline.Length() + pi*m*m }
	girth := f.Outline.Length() + pi*(h+e) // mean over the height
	return grown(h), grown(e), girth * f.Height / f.Draft.Cos()
}

// turns returns how many more outer loops a feature's outline has than holes.
func turns(f *part.Feature) int {
	n := 0
	for _, d := range f.Outline.Depths() {
		n += 1 - 2*(d%2)
	}
	return n
}

// Change returns the largest difference between two accounts of a part's walls, mm, at the places
// that offsets are taken from.
func Change(p *part.Part, a, b Walls) float64 {
	most := math.Abs(a.Land().MM - b.Land().MM)
	for _, f := range p.Features {
		depth := 0.0
		if f.Holds == part.AtEnd {
			depth = f.Height
		}
		most = max(most, math.Abs(a.End(f).MM-b.End(f).MM), math.Abs(a.Side(f, depth).MM-b.Side(f, depth).MM))
	}
	return most
}

// Snug returns the largest difference of two accounts at the waists and the widests of undercuts, mm: what
// meets them fits far closer than a pocket fits its product.
func Snug(p *part.Part, a, b Walls) float64 {
	most := 0.0
	for _, f := range p.Features {
		if f.Undercut.Depth == 0 {
			continue
		}
		for _, depth := range [...]float64{f.HostR, f.Undercut.Rise} {
			most = max(most, math.Abs(a.Side(f, depth).MM-b.Side(f, depth).MM))
		}
	}
	return most
}
