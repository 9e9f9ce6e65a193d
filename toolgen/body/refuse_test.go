package body_test

import (
	"fmt"
	"regexp"
	"strings"
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

// TestTooClose says of recesses that overlap along their walls, or leave too little between them, how far they
// are to be moved, and that this is enough.
func TestTooClose(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	place := func(t *testing.T, feature, at string) error {
		j, err := job.Read([]byte(parttest.Head(500)+strings.ReplaceAll(feature, "AT", at)), "j.yaml", kinds, job.Names{})
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), nil)
		require.NoError(t, err)
		_, err = body.Assemble(p, wall.None{})
		return err
	}
	const pockets = "  - {kind: pocket, name: a, size: [60, 40], holds: opening, depth: 12}\n  - {kind: pocket, name: b, size: [60, 40], holds: opening, depth: 12, at: [AT]}\n"
	for _, c := range []struct{ name, text, at, want, mended string }{
		// 0.1 mm, and the tangent length 2 tan 42 deg = 1.801 mm of both edges: 3.70 mm.
		{"overlap", pockets, "50, 39.9", "it and I1/b overlap, by 10.00 mm along X and 0.10 mm along Y, and some of their walls run along each other: no rounding fits between them; move one by 3.8 mm along Y", "50, 43.7"},
		{"close", pockets, "60.1, 0", "web between I1/a and I1/b at", "65, 0"},
		{"cradles", "  - {kind: cradle, name: a, diameter: 30, length: 70}\n  - {kind: cradle, name: b, diameter: 30, length: 70, at: [AT]}\n", "0, 34",
			"can not be rounded together with I1/b, which it meets; move them apart: from I1/b by", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := place(t, c.text, c.at)
			require.ErrorContains(t, err, c.want)
			by := regexp.MustCompile(`by ([0-9.]+) mm along ([XY])[^0-9]*`).FindStringSubmatch(err.Error()[strings.Index(err.Error(), "; move"):])
			require.NotNil(t, by, err.Error())
			var x, y, far float64
			_, scanned := fmt.Sscanf(c.at, "%g, %g", &x, &y)
			require.NoError(t, scanned)
			_, scanned = fmt.Sscanf(by[1], "%g", &far)
			require.NoError(t, scanned)
			if by[2] == "X" {
				x += far
			} else {
				y += far
			}
			require.NoError(t, place(t, c.text, fmt.Sprintf("%g, %g", x, y)))
			if c.mended != "" {
				require.Equal(t, c.mended, fmt.Sprintf("%.4g, %.4g", x, y))
			}
		})
	}
}
