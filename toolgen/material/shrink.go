package material

import (
	"fmt"

	"platen/toolgen/source"
)

// Convention says against which tool a shrinkage was measured.
type Convention uint8

// The conventions in use.
const (
	// ColdTool is the standard test: (cold tool - cold part) / cold tool, the tool at RefTool while
	// forming and at room temperature while measured. The tables here use it.
	ColdTool Convention = iota
	// HotTool is (hot tool - cold part) / cold part.
	HotTool
)

// String returns the words for the convention.
func (c Convention) String() string {
	return [...]string{"against the cold tool", "against the hot tool"}[c]
}

// Room temperatures of the two conventions, degC. Standard test climate is 23; drawings hold at 20.
const (
	testRoom    = 23.0
	drawingRoom = 20.0
)

// Shrinkage is a linear mould shrinkage with all it takes to use it. A bare number would leave open
// what it was divided by and how warm which tool was.
type Shrinkage struct {
	S          source.Value // ratio, 0.005 for 0.5 %
	Convention Convention
	RefTool    float64 // temperature of the tool it was measured on, degC; ColdTool only
	RefAlpha   float64 // linear expansion of that tool, 1/K; ColdTool only
	Low, High  float64 // spread to be expected of S
	Lean       Lean    // which way S was moved from the middle value
}

// Lean says which way a guess was moved from the middle value, and why.
type Lean int8

// The leans of a guess.
const (
	LeanLow  Lean = -1 // tool guessed small
	LeanNone Lean = 0  // middle value, or the shop's own
	LeanHigh Lean = 1  // tool guessed large
)

// String returns what the lean does to the tool.
func (l Lean) String() string {
	return [...]string{"low: tool smaller", "none", "high: tool larger"}[l+1]
}

// Bounds of a shrinkage that can be meant.
const (
	leastShrink = -0.02
	mostShrink  = 0.10
)

// Check reports a shrinkage that can not be meant, such as per cent written for a ratio.
func (s Shrinkage) Check() error {
	if !(s.S.V >= leastShrink && s.S.V <= mostShrink) {
		return fmt.Errorf("shrinkage %g is outside %g to %g (a ratio: 0.005 for 0.5 %%)", s.S.V, leastShrink, mostShrink)
	}
	return nil
}

// ToolFactor returns tool size at 20 degC / part size at room temperature for a tool of linear
// expansion alpha (1/K) that stands at toolTemp (degC) while forming.
//
// HotTool: the hot tool is part (1 + s), so the factor is (1 + s) / (1 + alpha (T - 20)).
//
// ColdTool: the hot tool sets the size of the hot part, so with another tool or temperature the
// same plastic gives (1 - s') = (1 - s) (1 + alpha (T - 23)) / (1 + alpha_ref (T_ref - 23)); to
// first order s' = s + alpha_ref (T_ref - 23) - alpha (T - 23). The factor is 1 / (1 - s').
//
// ERROR: exact for a tool that is warm throughout. Board and wood warm in the skin only, so their
// own expansion is overstated. ColdTool values do not tell 20 from 23 degC: 0.00007 in aluminium.
//
// SOURCE: derived from the two definitions.
func (s Shrinkage) ToolFactor(alpha, toolTemp float64) float64 {
	if s.Convention == HotTool {
		return (1 + s.S.V) / (1 + alpha*(toolTemp-drawingRoom))
	}
	grown := (1 + alpha*(toolTemp-testRoom)) / (1 + s.RefAlpha*(s.RefTool-testRoom))
	return 1 / ((1 - s.S.V) * grown)
}

// FactorSpread returns the tool factors at the two ends of the spread.
func (s Shrinkage) FactorSpread(alpha, toolTemp float64) (low, high float64) {
	at := s
	at.S.V = s.Low
	low = at.ToolFactor(alpha, toolTemp)
	at.S.V = s.High
	return low, at.ToolFactor(alpha, toolTemp)
}

// Plus returns the shrinkage moved by d, spread and all, e.g. for the extrusion direction.
func (s Shrinkage) Plus(d source.Value) Shrinkage {
	s.S.V += d.V
	s.Low += d.V
	s.High += d.V
	if d.V != 0 {
		s.S.Mark = source.Weaker(s.S.Mark, d.Mark)
		s.S.Source += ", plus the extrusion direction's share"
	}
	return s
}
