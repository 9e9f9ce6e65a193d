package material_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/material"
)

func TestToolData(t *testing.T) {
	for _, m := range material.Tools() {
		require.Positive(t, m.Density.Low, m.Name)
		require.Positive(t, m.Conductivity.Low, m.Name)
		require.Positive(t, m.LeastWall.V, m.Name)
		require.Positive(t, m.Cost.V, m.Name)
		require.GreaterOrEqual(t, len(m.Hazards), 2, m.Name)
		require.Contains(t, m.Hazards[len(m.Hazards)-1].Text, "local codes", m.Name)
		require.Equal(t, m.Class == material.Metal, m.WarmsThrough(), m.Name)
		require.Equal(t, m.Class == material.Wood, m.Alpha() == 0, m.Name)
		limit, ok := m.HeatLimitAt()
		require.Equal(t, m.Class == material.Cast || m.Class == material.Board, ok, m.Name)
		require.InDelta(t, m.HeatLimit.Low, limit.V, 0, m.Name)
	}
}

func TestAluminiumExpansion(t *testing.T) {
	m, err := material.ToolNamed("6082-T6")
	require.NoError(t, err)
	require.InDelta(t, 23.4e-6, m.Alpha(), 1e-12) // metal stockholder's data sheet
	plate, err := material.ToolNamed("5083")
	require.NoError(t, err)
	require.InDelta(t, 23.65e-6, plate.Alpha(), 1e-12) // middle of two data sheets
}

func TestWordsOfTheTrade(t *testing.T) {
	require.Equal(t, "female", material.Female.String())
	require.Equal(t, "male", material.Male.String())
	require.Equal(t, "crystalline", material.Crystalline.String())
	require.Equal(t, "translucent", material.Translucent.String())
	require.Equal(t, "thousands of folds", material.ManyFolds.String())
	require.Equal(t, "always", material.DryAlways.String())
	require.Equal(t, "against the hot tool", material.HotTool.String())
	require.Equal(t, "leave-stock", material.LeaveStock.String())
	require.Equal(t, "high: tool larger", material.LeanHigh.String())
	require.Equal(t, "low: tool smaller", material.LeanLow.String())
	require.Equal(t, "cast resin", material.Cast.String())
}

func TestSummary(t *testing.T) {
	for name, want := range map[string]string{
		"PETG": "amorphous, clear", "PP": "crystalline, translucent", "conductive HIPS": "amorphous, black, conductive",
	} {
		s, err := material.SheetNamed(name)
		require.NoError(t, err)
		require.Equal(t, want, s.Summary())
	}
}
