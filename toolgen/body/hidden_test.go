package body_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// TestHidden refuses a recess that does not reach the rim of its pocket, and takes one that does by a
// millimetre.
func TestHidden(t *testing.T) {
	const text = `
format: 1
name: hidden
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none}
part: {outline: {rect: [160, 120], corner: 8}}
features:
  - kind: pocket
    size: [70, 50]
    depth: 16
    features:
      - {kind: finger_recess, at: AT, length: 24, width: 20, depth: 10}
`
	for at, want := range map[string]string{
		"[10, 0]": "job.yaml:12:9: I1/pocket-1/finger_recess-1: 10.00 mm high or deep at part x 10.00, y 0.00, it lies wholly within I1/pocket-1 and leaves no surface of its own; move it, or leave it out",
		"[30, 0]": "",
	} {
		var kinds []job.Kind
		for _, k := range features.All() {
			kinds = append(kinds, k.Kind)
		}
		j, err := job.Read([]byte(strings.Replace(text, "AT", at, 1)), "job.yaml", kinds, job.Names{})
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), os.ReadFile)
		require.NoError(t, err)
		_, err = body.Assemble(p, wall.None{})
		if want == "" {
			require.NoError(t, err)
			continue
		}
		require.EqualError(t, err, want)
	}
}
