package material

import "platen/toolgen/source"

// ShrinkTable is what is published of a sheet's mould shrinkage: part at room temperature against
// tool at room temperature over the tool (ColdTool), on an aluminium tool at the sheet's usual tool
// temperature.
type ShrinkTable struct {
	Male   source.Value // sheet over the tool; the tool holds the part while it cools
	Female source.Value // sheet in the tool; the part draws away
	Spread source.Range // of either
	Along  source.Value // added along the extrusion direction
}

// refAlpha is the expansion of the aluminium that table values are taken to be measured on, 1/K.
// The tables do not name their tools; aluminium is the trade's usual one.
const refAlpha = 23.4e-6

// Cut says how the first tool is meant to be cut.
type Cut uint8

// The ways to cut.
const (
	FirstTime  Cut = iota // the product shall go in at the first forming
	LeaveStock            // metal is left where it can still be cut off
)

// String returns the word a job file uses.
func (c Cut) String() string { return [...]string{"first-time", "leave-stock"}[c] }

// leanShare is how far a first-time guess goes from the middle value to the end of the spread. Half:
// the fit's clearance has to carry the other half in any case. Common practice, no source.
const leanShare = 0.5

// Guess returns the shrinkage to cut a feature of kind k by, for a sheet whose own shrinkage nobody
// has measured in this shop.
//
// FirstTime leans so that the product goes in: a female recess is guessed half-way to the high end
// of the spread (larger tool), a male block, which must itself enter something, half-way to the low
// end. LeaveStock takes the end of the spread at which metal is left whatever the sheet does: low
// for a female recess, which cutting opens, high for a male block, which cutting reduces.
func Guess(k Kind, c Cut, sheet Sheet) Shrinkage {
	g := sheet.Shrinkage(k)
	high := (k == Female) == (c == FirstTime)
	end, why := g.Low, "the low end"
	g.Lean = LeanLow
	if high {
		end, why = g.High, "the high end"
		g.Lean = LeanHigh
	}
	if c == FirstTime {
		g.S.V += leanShare * (end - g.S.V)
		why = "half-way to " + why
	} else {
		g.S.V = end
		why = "at " + why
	}
	g.S.Mark = source.Weaker(g.S.Mark, sheet.Shrink.Spread.Mark)
	g.S.Source += ", guessed " + why + " of the spread"
	return g
}

// Shrinkage returns the table's middle value for forming of kind k, leaning nowhere.
func (s Sheet) Shrinkage(k Kind) Shrinkage {
	v := s.Shrink.Female
	if k == Male {
		v = s.Shrink.Male
	}
	return Shrinkage{
		S:          v,
		Convention: ColdTool,
		RefTool:    s.ToolAt.V,
		RefAlpha:   refAlpha,
		Low:        s.Shrink.Spread.Low,
		High:       s.Shrink.Spread.High,
	}
}
