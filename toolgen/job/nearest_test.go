package job_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
)

// TestNearestIsCertainOrSilent asks for a material by a mistyped name: within two edits, one for
// words under five letters, and never between two names as near.
func TestNearestIsCertainOrSilent(t *testing.T) {
	tests := []struct{ written, known, want string }{
		{"sheat", "sheet panel", "sheet"},
		{"shet", "sheet panel", "sheet"},
		{"sheets", "sheet panel", "sheet"},
		{"hseet", "sheet panel", "sheet"}, // neighbours swapped count one
		{"shaat", "sheet panel", "sheet"},
		{"shaap", "sheet panel", ""}, // three edits
		{"abs", "abd", "abd"},
		{"axy", "abs", ""}, // two edits in a short word
		{"ABS", "abs", "abs"},
		{"sheet a", "sheet-a", "sheet-a"}, // case and joints cost nothing
		{"sheet-c", "sheet-a sheet-b", ""},
		{"sheet-aa", "sheet-a sheet-b", "sheet-a"}, // one edit beats two
		{"ö", "ä", ""},
		{"cm", "mm", ""}, // ten times wrong
		{"entirely else", "sheet panel", ""},
		{strings.Repeat("sheet", 100), "sheet", ""},
	}
	for _, tt := range tests {
		text := strings.Replace(top, "sheet-a", `"`+tt.written+`"`, 1)
		_, err := job.Read([]byte(text), "j.yaml", nil, job.Names{Materials: strings.Fields(tt.known)})
		var ref *job.Refusal
		require.True(t, errors.As(err, &ref), tt.written)
		require.Equal(t, tt.want, ref.Faults[0].Nearest, tt.written)
	}
}

// TestNoNamesTakeAny holds that a reader without tables does not refuse names it can not know.
func TestNoNamesTakeAny(t *testing.T) {
	j, err := job.Read([]byte(top), "j.yaml", nil, job.Names{})
	require.NoError(t, err)
	require.Equal(t, "sheet-a", j.Sheet.Choice("material"))
}
