package body_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/part/parttest"
	"platen/toolgen/wall"
)

// TestRefusalNamesKeys refuses roundings that do not fit at the first key that gives one, and names them all with
// what they say.
func TestRefusalNamesKeys(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	for text, want := range map[string]string{
		"{kind: pocket, size: [60, 40], depth: 3, floor: 2.5}":                                                "j.yaml:8:46: I1/pocket-1: the sum of both roundings 4.500 mm does not fit; at most 3.350 mm; change edge (2 mm), floor (2.5 mm) or draft (6 deg)",
		"{kind: stacking_lug, size: [18, 12], height: 2, crown: 2, root: 2}":                                  "change root (2 mm), crown (2 mm) or draft",
		"{kind: step, size: [60, 40], height: 3, edge: 3, floor: 2}":                                          "change floor (2 mm), edge (3 mm) or draft",
		"{kind: pocket, size: [60, 40], depth: 20, corner: 1, floor: 3}":                                      "corner at least 2.703 mm, or a smaller rounding or draft; change edge (2 mm), floor (3 mm), corner or draft (6 deg)",
		"{kind: stepped_pocket, steps: [{size: [60, 40], depth: 10}, {size: [30, 20], depth: 12}], ledge: 2}": "change ledge (2 mm), floor (2 mm) or draft",
	} {
		j, err := job.Read([]byte(parttest.Head(500)+"  - "+text+"\n"), "j.yaml", kinds, job.Names{})
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), nil)
		require.NoError(t, err)
		_, err = body.Assemble(p, wall.None{})
		require.ErrorContains(t, err, want)
	}
}
