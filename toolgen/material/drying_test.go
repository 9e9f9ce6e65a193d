package material_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/material"
	"platen/toolgen/source"
)

func TestPCDrying(t *testing.T) {
	pc, err := material.SheetNamed("PC")
	require.NoError(t, err)
	require.Equal(t, material.DryAlways, pc.Drying.Need)
	// PC sheet supplier's user manual, hours at 125 degC.
	for gauge, want := range map[float64]float64{
		1: 1.5, 2: 4, 3: 7, 4: 12, 5: 18, 6: 26, 8: 45,
		0.5: 1.5,  // thinner than the first row takes it
		2.5: 5.5,  // between the rows
		7:   35.5, //
	} {
		h, temp, ok := pc.Drying.For(gauge)
		require.True(t, ok, "%g mm", gauge)
		require.InDelta(t, want, h.V, 1e-12, "%g mm", gauge)
		require.Equal(t, 125.0, temp)
		require.Equal(t, source.B, h.Mark)
	}
	_, _, ok := pc.Drying.For(8.1)
	require.False(t, ok, "beyond the table nothing is known")
}

func TestPCDryingGoesByTheLongerTable(t *testing.T) {
	pc, err := material.SheetNamed("PC")
	require.NoError(t, err)
	first, second := pc.Drying.Tables[0], pc.Drying.Tables[1]
	require.Len(t, second.Rows, 5)
	for _, r := range second.Rows {
		h, ok := first.Hours(r.Gauge)
		require.True(t, ok)
		require.Greater(t, h, r.Hours, "%g mm", r.Gauge)
	}
}

func TestOtherDrying(t *testing.T) {
	for _, c := range []struct {
		name  string
		gauge float64
		hours float64
		temp  float64
		ok    bool
	}{
		{"PMMA cast", 3, 24, 80, true},
		{"PMMA cast", 50, 24, 80, true},
		{"ABS", 2, 2, 80, true},
		{"ABS", 4, 3, 80, true},
		{"HIPS", 1, 0, 0, false},
		{"PETG", 1, 0, 0, false},
	} {
		s, err := material.SheetNamed(c.name)
		require.NoError(t, err)
		h, temp, ok := s.Drying.For(c.gauge)
		require.Equal(t, c.ok, ok, c.name)
		require.InDelta(t, c.hours, h.V, 1e-12, c.name)
		require.InDelta(t, c.temp, temp, 1e-12, c.name)
	}
}

func TestDryTablesRise(t *testing.T) {
	for _, s := range material.Sheets() {
		for _, table := range s.Drying.Tables {
			for i := 1; i < len(table.Rows); i++ {
				require.Less(t, table.Rows[i-1].Gauge, table.Rows[i].Gauge, s.Name)
				require.Less(t, table.Rows[i-1].Hours, table.Rows[i].Hours, s.Name)
			}
		}
	}
}
