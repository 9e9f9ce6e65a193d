package material_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
	"platen/toolgen/material"
)

// TestFinishes holds the finishes against the words that the grammar takes, and their figures against what
// a figure without a source may be.
func TestFinishes(t *testing.T) {
	var words []string
	for _, s := range job.Sections() {
		for _, k := range s.Params {
			if s.Key == "sheet" && k.Key == "finish" {
				words = k.Choices
				require.Equal(t, "plain", k.Default)
			}
		}
	}
	var names []string
	for _, f := range material.Finishes() {
		names = append(names, f.Name)
		got, err := material.FinishNamed(f.Name)
		require.NoError(t, err)
		require.Equal(t, f, got)
		require.NotEmpty(t, f.Text)
		if f.Name == "plain" {
			require.Zero(t, f.Stretch.V)
			continue
		}
		require.Greater(t, f.Stretch.V, 1.0, "a formed sheet is stretched")
		require.False(t, f.Stretch.Mark.Firm(), "no source was found")
		require.NotEmpty(t, f.Loses)
	}
	require.Equal(t, words, names)
	_, err := material.FinishNamed("gilded")
	require.Error(t, err)
	for _, s := range material.Sheets() {
		most, ok := s.Conducts()
		require.Equal(t, s.Conductive, ok, s.Name)
		require.Greater(t, most.V, 1.0)
	}
}
