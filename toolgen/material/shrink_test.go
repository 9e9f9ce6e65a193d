package material_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/material"
	"platen/toolgen/source"
)

// aluminium is the linear expansion used in the worked value, 1/K.
const aluminium = 23.4e-6

func TestToolFactorAgainstTheHotTool(t *testing.T) {
	// Worked by hand: 1.006 / (1 + 23.4e-6 x 40) = 1.006 / 1.000936 = 1.005059.
	s := material.Shrinkage{S: source.Of(0.006, source.B, "test"), Convention: material.HotTool}
	require.InDelta(t, 1.005059, s.ToolFactor(aluminium, 60), 1e-6)
	require.InDelta(t, 1.006, s.ToolFactor(aluminium, 20), 1e-12, "a tool at 20 degC does not grow")
}

func cold(s float64) material.Shrinkage {
	return material.Shrinkage{
		S: source.Of(s, source.B, "test"), Convention: material.ColdTool, RefTool: 60, RefAlpha: aluminium,
		Low: 0.003, High: 0.008,
	}
}

func TestToolFactorAgainstTheColdTool(t *testing.T) {
	// On the tool it was measured on, nothing is corrected: 1 / (1 - 0.006).
	require.InDelta(t, 1/0.994, cold(0.006).ToolFactor(aluminium, 60), 1e-12)
	// Same tool at 80 degC: it sets the hot part larger, so the cold tool may be smaller.
	// 1 / (0.994 (1 + 23.4e-6 x 57) / (1 + 23.4e-6 x 37)) = 1 / 0.99446479 = 1.0055660.
	require.InDelta(t, 1.0055660, cold(0.006).ToolFactor(aluminium, 80), 1e-7)
	// A tool that does not grow: s' = 0.006 + 23.4e-6 x 37 to first order.
	require.InDelta(t, 1/(1-0.0068658), cold(0.006).ToolFactor(0, 60), 2e-5)
}

func TestColdCorrectionIsTheFirstOrderRule(t *testing.T) {
	const seed = 41
	r := rand.New(rand.NewPCG(seed, seed))
	for range 2000 {
		s := cold(0.002 + 0.03*r.Float64())
		alpha, temp := 90e-6*r.Float64(), 20+100*r.Float64()
		ref, own := s.RefAlpha*(s.RefTool-23), alpha*(temp-23)
		want := 1 / (1 - (s.S.V + ref - own))
		// (1 - s)(1 + own)/(1 + ref) - (1 - s + own - ref) = (ref - own)(s + ref)/(1 + ref), and the
		// factor is the reciprocal of it: at most 1.1 times as far off for shrinkages up to 4 %.
		most := 1.1 * math.Abs(ref-own) * (s.S.V + ref)
		require.InDelta(t, want, s.ToolFactor(alpha, temp), most, "seed %d: %+v %g %g", seed, s, alpha, temp)
	}
}

func TestConventionsAgreeOnOnePart(t *testing.T) {
	// One part, measured both ways on one tool: 100 mm at 23 degC, tool at 60 degC, part 99.4 mm.
	hotTool := 100 * (1 + aluminium*37)
	hot := material.Shrinkage{
		S: source.Of((hotTool-99.4)/99.4, source.B, "test"), Convention: material.HotTool,
	}
	// The hot convention gives the tool at 20 degC, the cold one at room: 3 K of aluminium apart.
	require.InDelta(t, cold(0.006).ToolFactor(aluminium, 60), hot.ToolFactor(aluminium, 60), 3.1*aluminium)
}

func TestFactorSpread(t *testing.T) {
	low, high := cold(0.006).FactorSpread(aluminium, 60)
	require.InDelta(t, 1/0.997, low, 1e-12)
	require.InDelta(t, 1/0.992, high, 1e-12)
}

func TestGuess(t *testing.T) {
	abs, err := material.SheetNamed("ABS") // male 0.5, female 0.6, spread 0.3 to 0.8 %
	require.NoError(t, err)
	for _, c := range []struct {
		kind material.Kind
		cut  material.Cut
		want float64
		lean material.Lean
	}{
		{material.Female, material.FirstTime, 0.007, material.LeanHigh},
		{material.Male, material.FirstTime, 0.004, material.LeanLow},
		{material.Female, material.LeaveStock, 0.003, material.LeanLow},
		{material.Male, material.LeaveStock, 0.008, material.LeanHigh},
	} {
		g := material.Guess(c.kind, c.cut, abs)
		require.InDelta(t, c.want, g.S.V, 1e-12, "%s %s", c.kind, c.cut)
		require.Equal(t, c.lean, g.Lean, "%s %s", c.kind, c.cut)
		require.Equal(t, material.ColdTool, g.Convention)
		require.Equal(t, abs.ToolAt.V, g.RefTool)
		require.Contains(t, g.S.Source, "end of the spread")
		require.Equal(t, source.B, g.S.Mark)
		require.Equal(t, [2]float64{0.003, 0.008}, [2]float64{g.Low, g.High})
	}
	require.Equal(t, material.LeanNone, abs.Shrinkage(material.Male).Lean)
}

func TestLeaveStockLeavesMetalOverTheWholeSpread(t *testing.T) {
	const alpha, temp = aluminium, 60
	for _, s := range material.Sheets() {
		least, most := s.Shrinkage(material.Female).FactorSpread(alpha, temp)
		require.LessOrEqual(t, material.Guess(material.Female, material.LeaveStock, s).ToolFactor(alpha, temp), least, s.Name)
		require.GreaterOrEqual(t, material.Guess(material.Male, material.LeaveStock, s).ToolFactor(alpha, temp), most, s.Name)
		// The two ways lie on either side of the middle.
		for _, k := range []material.Kind{material.Female, material.Male} {
			mid := s.Shrinkage(k).S.V
			first := material.Guess(k, material.FirstTime, s).S.V
			stock := material.Guess(k, material.LeaveStock, s).S.V
			require.Less(t, (first-mid)*(stock-mid), 0.0, "%s %s", s.Name, k)
		}
	}
}

func TestShrinkageCheckCatchesPerCent(t *testing.T) {
	require.NoError(t, cold(0.006).Check())
	require.ErrorContains(t, cold(0.6).Check(), "shrinkage 0.6 is outside -0.02 to 0.1")
	var zero float64
	require.Error(t, cold(zero/zero).Check())
}

func TestPlusMovesValueAndSpread(t *testing.T) {
	s := cold(0.006).Plus(source.Practice(0.001))
	require.InDelta(t, 0.007, s.S.V, 1e-12)
	require.InDelta(t, 0.004, s.Low, 1e-12)
	require.InDelta(t, 0.009, s.High, 1e-12)
	require.Equal(t, source.P, s.S.Mark)
	require.Equal(t, cold(0.006), cold(0.006).Plus(source.Practice(0)))
}
