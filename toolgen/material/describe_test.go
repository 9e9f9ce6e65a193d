package material_test

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/material"
	"platen/toolgen/source"
)

func rowsOf(t *testing.T, rows []source.Row, label string) source.Row {
	t.Helper()
	for _, r := range rows {
		if r.Label == label {
			return r
		}
	}
	require.Failf(t, "no such row", "%q", label)
	return source.Row{}
}

func TestDescribeWritesPlainNumbers(t *testing.T) {
	abs, err := material.SheetNamed("ABS")
	require.NoError(t, err)
	rows := material.Describe(abs)
	for label, want := range map[string][2]string{
		"forming, core of the sheet":      {"127 to 182", "degC"},
		"shrinkage, female":               {"0.6", "%"},
		"shrinkage, spread":               {"0.3 to 0.8", "%"},
		"specific heat":                   {"1.3", "kJ/(kg K)"},
		"thermal expansion":               {"90", "1e-6/K"},
		"draft, male, least":              {"3", "deg"},
		"vent hole, at most":              {"1", "mm"},
		"drying at 80 degC":               {"2 mm 2 h, 6 mm 4 h", ""},
		"heat deflection at 0.45 MPa":     {"90 to 98", "degC"},
		"areal draw with a plug, at most": {"6", "part / sheet"},
	} {
		r := rowsOf(t, rows, label)
		require.Equal(t, want, [2]string{r.Value, r.Unit}, label)
	}
	require.Equal(t, "common practice, no source", rowsOf(t, rows, "areal draw, at most").Source)
	require.Equal(t, "unverified", rowsOf(t, rows, "tool surface").Source)
	pmma, err := material.SheetNamed("PMMA")
	require.NoError(t, err)
	require.Equal(t, "any gauge 24 h", rowsOf(t, material.Describe(pmma), "drying at 80 degC").Value)
	mdf, err := material.ToolNamed("MDF")
	require.NoError(t, err)
	require.Equal(t, "none given", rowsOf(t, material.DescribeTool(mdf), "heat limit").Value)
}

func TestDescribeLeavesNoFigureOut(t *testing.T) {
	count := func(v any) int {
		n := 0
		walk("", reflect.ValueOf(v), func(path string, x any) {
			if a, ok := x.(source.Advice); ok && a.Text == "" {
				return
			}
			n++
		})
		return n
	}
	for _, s := range material.Sheets() {
		worked := 1 // the diffusivity; of a conductive sheet how far it conducts
		if _, ok := s.Conducts(); ok {
			worked++
		}
		require.Len(t, material.Describe(s), count(s)+worked, s.Name)
	}
	for _, m := range material.Tools() {
		require.Len(t, material.DescribeTool(m), count(m), m.Name)
	}
}

// nudge changes the figure at index at of those the walk finds and reports whether there was one.
func nudge(v reflect.Value, at *int) bool {
	switch v.Interface().(type) {
	case source.Value:
		*at--
		if *at == -1 {
			v.FieldByName("V").SetFloat(v.FieldByName("V").Float()*1.5 + 7)
			return true
		}
		return false
	case source.Range:
		*at--
		if *at == -1 {
			v.FieldByName("High").SetFloat(v.FieldByName("High").Float()*1.5 + 7)
			return true
		}
		return false
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if nudge(v.Field(i), at) {
				return true
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			if nudge(v.Index(i), at) {
				return true
			}
		}
	}
	return false
}

func TestDescribeFollowsEveryField(t *testing.T) {
	s, err := material.SheetNamed("PP")
	require.NoError(t, err)
	want := material.Describe(s)
	figures, changed := 0, 0
	walk("", reflect.ValueOf(s), func(_ string, x any) {
		switch x.(type) {
		case source.Value, source.Range:
			figures++
		}
	})
	for i := 0; ; i++ {
		at, moved := i, s
		if !nudge(reflect.ValueOf(&moved).Elem(), &at) {
			break
		}
		require.NotEqual(t, want, material.Describe(moved), "figure %d is not printed", i)
		changed++
	}
	require.Equal(t, figures, changed)
	require.GreaterOrEqual(t, figures, 25)
}

func TestDescribeRowsAreWhole(t *testing.T) {
	check := func(name string, rows []source.Row) {
		for _, r := range rows {
			require.NotEmpty(t, r.Label, name)
			require.NotEmpty(t, r.Value, "%s: %s", name, r.Label)
			require.NotEmpty(t, r.Source, "%s: %s", name, r.Label)
			require.True(t, r.Mark.IsKnown(), "%s: %s", name, r.Label)
			require.False(t, strings.Contains(r.Value, "0000000"), "%s: %s %s", name, r.Label, r.Value)
		}
	}
	for _, s := range material.Sheets() {
		check(s.Name, material.Describe(s))
	}
	for _, m := range material.Tools() {
		check(m.Name, material.DescribeTool(m))
	}
}
