package material_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/material"
)

func TestSheetNamed(t *testing.T) {
	for asked, want := range map[string]string{
		"HIPS": "HIPS", "hips": "HIPS", " PetG ": "PETG", "rigid PVC": "PVC", "PVC-U": "PVC", "acrylic": "PMMA extruded",
		"pmma_cast": "PMMA cast", "Conductive  hips": "conductive HIPS", "ABS conductive": "conductive ABS",
		"RPET": "APET", "conductive-pp": "conductive PP",
	} {
		s, err := material.SheetNamed(asked)
		require.NoError(t, err, asked)
		require.Equal(t, want, s.Name, asked)
	}
}

func TestToolNamed(t *testing.T) {
	for asked, want := range map[string]string{
		"aluminium 5083": "aluminium 5083", "6082-T6": "aluminium 6082", "Aluminum 7075": "aluminium 7075",
		"tooling board medium": "tooling board medium", "mdf": "MDF", "Aluminium filled epoxy": "aluminium-filled epoxy",
	} {
		m, err := material.ToolNamed(asked)
		require.NoError(t, err, asked)
		require.Equal(t, want, m.Name, asked)
	}
}

func TestUnknownNameSaysTheNearest(t *testing.T) {
	_, err := material.SheetNamed("HIBS")
	require.EqualError(t, err, `unknown sheet material "HIBS", nearest is "HIPS"; allowed are ABS, HDPE, HIPS, PETG, `+
		`APET, PC, PP, PVC, PMMA extruded, PMMA cast, SBC, conductive HIPS, conductive PP, conductive ABS`)
	_, err = material.SheetNamed("acrylik")
	require.ErrorContains(t, err, `nearest is "acrylic"`)
	_, err = material.ToolNamed("aluminium 5038")
	var unknown *material.UnknownError
	require.ErrorAs(t, err, &unknown)
	require.Equal(t, "aluminium 5083", unknown.Nearest)
	require.Len(t, unknown.Known, len(material.Tools()))
	_, err = material.ToolNamed("")
	require.Error(t, err)
}

func TestNamesAreUnique(t *testing.T) {
	key := func(n string) string { return strings.ToLower(strings.ReplaceAll(n, "-", " ")) }
	seen := map[string]string{}
	add := func(owner string, names ...string) {
		for _, n := range names {
			require.NotEmpty(t, n)
			require.NotContains(t, seen, key(n), "%s and %s", owner, seen[key(n)])
			seen[key(n)] = owner
		}
	}
	for _, s := range material.Sheets() {
		add(s.Name, append([]string{s.Name}, s.Aliases...)...)
	}
	for _, m := range material.Tools() {
		add(m.Name, append([]string{m.Name}, m.Aliases...)...)
	}
}

func FuzzSheetNamed(f *testing.F) {
	for _, s := range []string{"HIPS", "conductive  PP", "", "é", "\xff\xfe"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		s, err := material.SheetNamed(name)
		if err == nil {
			require.NotEmpty(t, s.Name)
			return
		}
		var unknown *material.UnknownError
		require.ErrorAs(t, err, &unknown)
		_, err = material.SheetNamed(unknown.Nearest)
		require.NoError(t, err, "the nearest must itself be known")
	})
}
