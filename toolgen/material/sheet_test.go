package material_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/material"
	"platen/toolgen/source"
)

// walk calls see for every source.Value, Range and Advice in v, with its path.
func walk(path string, v reflect.Value, see func(path string, v any)) {
	switch x := v.Interface().(type) {
	case source.Value, source.Range, source.Advice, material.DryTable:
		see(path, x)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			walk(path+"."+v.Type().Field(i).Name, v.Field(i), see)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(fmt.Sprintf("%s[%d]", path, i), v.Index(i), see)
		}
	}
}

// requireGround fails where a figure has no mark, no source, no number or ends out of order.
func requireGround(t *testing.T, path string, x any) {
	t.Helper()
	switch v := x.(type) {
	case source.Value:
		require.True(t, v.Mark.IsKnown(), path)
		require.NotEmpty(t, v.Source, path)
		require.False(t, math.IsNaN(v.V) || math.IsInf(v.V, 0), path)
	case source.Range:
		require.True(t, v.Mark.IsKnown(), path)
		require.NotEmpty(t, v.Source, path)
		require.LessOrEqual(t, v.Low, v.High, path)
	case source.Advice:
		if strings.HasSuffix(path, ".Trial") && v.Text == "" {
			return
		}
		require.True(t, v.Mark.IsKnown(), path)
		require.NotEmpty(t, v.Source, path)
		require.NotEmpty(t, v.Text, path)
	case material.DryTable:
		require.True(t, v.Mark.IsKnown(), path)
		require.NotEmpty(t, v.Source, path)
		require.NotEmpty(t, v.Rows, path)
	}
}

func TestEveryFigureHasAMarkAndASource(t *testing.T) {
	figures := 0
	see := func(path string, x any) { figures++; requireGround(t, path, x) }
	for _, s := range material.Sheets() {
		walk(s.Name, reflect.ValueOf(s), see)
	}
	for _, m := range material.Tools() {
		walk(m.Name, reflect.ValueOf(m), see)
	}
	require.Greater(t, figures, 500, "the walk must reach the figures")
}

func TestDefaultsLieInTheirRanges(t *testing.T) {
	for _, s := range material.Sheets() {
		require.True(t, s.Forming.Holds(s.Core.V), "%s: core %g", s.Name, s.Core.V)
		require.True(t, s.Tool.Holds(s.ToolAt.V), "%s: tool %g", s.Name, s.ToolAt.V)
		require.True(t, s.Shrink.Spread.Holds(s.Shrink.Male.V), s.Name)
		require.True(t, s.Shrink.Spread.Holds(s.Shrink.Female.V), s.Name)
		require.Less(t, s.Shrink.Male.V, s.Shrink.Female.V, "%s: a male tool holds the part", s.Name)
		require.Less(t, s.ToolAt.V, s.Release.V, "%s: the part must cool on the tool", s.Name)
		require.Less(t, s.Release.V, s.Forming.Low, s.Name)
		require.LessOrEqual(t, s.Areal.Free.V, s.Areal.Plug.V, s.Name)
		require.Less(t, s.Vent.Least.V, s.Vent.Most.V, s.Name)
		for _, k := range []material.Kind{material.Female, material.Male} {
			require.Less(t, s.DraftMin(k), s.DraftWant(k), "%s %s", s.Name, k)
			require.True(t, s.Draft[k].Min.Mark.Firm(), "%s %s: an error rests on it", s.Name, k)
		}
		require.Less(t, s.DraftMin(material.Female), s.DraftMin(material.Male), s.Name)
		require.Equal(t, s.IsCrystalline(), s.Heat.Latent.V > 0, s.Name)
		require.Equal(t, s.IsCrystalline(), s.NeedsTrial(), s.Name)
		require.NoError(t, s.Shrinkage(material.Male).Check(), s.Name)
	}
}

func TestDraftMinima(t *testing.T) {
	for _, c := range []struct {
		name         string
		female, male geom.Angle
	}{
		// SPE, Thermoforming 101: Draft Angles: 2 to 3 enough over a male tool, over 5 if crystalline.
		{"HIPS", 1 * geom.Degree, 3 * geom.Degree},
		{"PP", 1 * geom.Degree, 5 * geom.Degree},
		// Forming-machine builder: ABS 1-2 and 3-5, HDPE 3-5 and 5-8.
		{"ABS", 1 * geom.Degree, 3 * geom.Degree},
		{"HDPE", 3 * geom.Degree, 5 * geom.Degree},
	} {
		s, err := material.SheetNamed(c.name)
		require.NoError(t, err)
		require.Equal(t, c.female, s.DraftMin(material.Female), c.name)
		require.Equal(t, c.male, s.DraftMin(material.Male), c.name)
	}
}

func TestDiffusivity(t *testing.T) {
	// Worked from Crawford, Plastics Engineering, 3rd ed., Table 1.8: k / (rho cp), 1e-7 m2/s.
	for name, want := range map[string]float64{
		"HIPS": 1.10, "ABS": 1.85, "APET": 1.47, "PVC": 1.27, "PP": 1.10, "HDPE": 1.20, "PMMA": 1.13,
	} {
		s, err := material.SheetNamed(name)
		require.NoError(t, err)
		d := s.Heat.Diffusivity()
		require.InDelta(t, want, d.V*1e7, 0.006, name)
		require.Equal(t, source.D, d.Mark, name)
	}
	petg, err := material.SheetNamed("PETG")
	require.NoError(t, err)
	require.Equal(t, source.M, petg.Heat.Diffusivity().Mark, "no better than the data it is made from")
}

func TestVentRule(t *testing.T) {
	for _, c := range []struct {
		name       string
		wall, want float64
	}{
		{"HIPS", 0.5, 0.4},
		{"HIPS", 1.0, 0.6},
		{"HIPS", 3.0, 1.0},
		{"PP", 0.5, 0.3},
		{"PP", 1.0, 0.4},
		{"HDPE", 3.0, 0.6},
	} {
		s, err := material.SheetNamed(c.name)
		require.NoError(t, err)
		d := s.Vent.Diameter(c.wall)
		require.InDelta(t, c.want, d.V, 1e-12, "%s at %g mm", c.name, c.wall)
		require.Equal(t, source.P, d.Mark)
	}
}

func TestConductiveSheetFormsInTheUpperPartOfItsBase(t *testing.T) {
	for _, base := range []string{"HIPS", "PP", "ABS"} {
		b, err := material.SheetNamed(base)
		require.NoError(t, err)
		c, err := material.SheetNamed("conductive " + base)
		require.NoError(t, err)
		require.InDelta(t, b.Core.V+5, c.Core.V, 1e-12)
		require.Equal(t, b.Forming.High, c.Forming.High)
		require.Equal(t, material.Black, c.Look)
		require.True(t, c.Conductive)
		require.False(t, c.Core.Mark.Firm())
		require.False(t, c.Shrink.Male.Mark.Firm())
		require.False(t, b.Conductive)
	}
}
