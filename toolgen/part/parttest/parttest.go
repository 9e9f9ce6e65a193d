// Package parttest owns the promises that every feature kind keeps, as one suite: Kind. A kind's own
// test is one call. It needs nothing from the kind but its declaration and its example.
//
// An example is written as a list in block style, one key a line, so that the suite can set a key of
// it to any text.
package parttest

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// Sides of the part in which the suite places an example, mm.
const (
	small = 500  // for the example as it stands
	large = 9000 // for keys at their limits
)

// Kind runs the suite on a kind. others are the kinds that its example nests or is nested in.
func Kind(t *testing.T, k part.Kind, others ...part.Kind) {
	t.Helper()
	s := suite{kind: k, kinds: []part.Kind{k}}
	for _, o := range others {
		if o.Name != k.Name {
			s.kinds = append(s.kinds, o)
		}
	}
	t.Run("declaration", s.declaration)
	t.Run("example", s.example)
	t.Run("limits", s.limits)
	t.Run("order", s.order)
}

// suite is a kind with all kinds known to its jobs.
type suite struct {
	kind  part.Kind
	kinds []part.Kind
}

// Head returns a job up to its features: a square part of the given side, cut at part size.
func Head(side float64) string {
	return fmt.Sprintf(`format: 1
name: conformance
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none, block: {margin: 40, base: 30}}
part: {outline: {rect: [%g, %g], corner: 10}}
shrink: {off: true}
features:
`, side, side)
}

// Entry returns a feature as it stands below features.
func Entry(example string) string {
	lines := strings.Split(strings.TrimRight(example, "\n"), "\n")
	return "  - " + strings.Join(lines, "\n    ") + "\n"
}

// Make reads, resolves and assembles a job.
//
// ERROR: as those three; see Unplaced for what they have in common.
func Make(text string, kinds []part.Kind) (*body.Body, error) {
	j, err := job.Read([]byte(text), "job.yaml", plain(kinds), job.Names{})
	if err != nil {
		return nil, err
	}
	p, err := part.Resolve(j, kinds, open)
	if err != nil {
		return nil, err
	}
	return body.Assemble(p, wall.None{})
}

// files are what lies beside the suite's jobs.
var files = map[string]string{
	"wedge.stl": wedge,
	"plate.svg": `<svg xmlns="http://www.w3.org/2000/svg" width="70mm" height="50mm" viewBox="0 0 70 50">
<path d="M5 45 V5 H55 A10 10 0 0 1 65 15 V30 Q65 45 50 45 Z"/></svg>`,
	"mark.svg": `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<path d="M30 2 A18 18 0 0 1 30 38 A18 18 0 0 1 30 2 Z M30 6 A14 14 0 0 0 30 34 A14 14 0 0 0 30 6 Z"/><path d="M22 24 L30 12 L38 24 Z"/></svg>`,
	"ring.svg": `<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">
<circle cx="45" cy="45" r="44"/><circle cx="45" cy="45" r="14"/></svg>`,
}

// wedge is the mesh of a block 60 x 40 mm with one corner cut off, 15 mm high: its floor is enough of it.
const wedge = `solid wedge
facet
vertex 0 0 0
vertex 60 0 0
vertex 60 20 0
endfacet
facet
vertex 0 0 0
vertex 60 20 0
vertex 40 40 0
endfacet
facet
vertex 0 0 0
vertex 40 40 0
vertex 0 40 15
endfacet
endsolid
`

// open is the opener of the suite's jobs.
func open(name string) ([]byte, error) {
	if text, ok := files[name]; ok {
		return []byte(text), nil
	}
	return nil, fmt.Errorf("no file %q beside the job", name)
}

func plain(kinds []part.Kind) []job.Kind {
	out := make([]job.Kind, len(kinds))
	for i, k := range kinds {
		out[i] = k.Kind
	}
	return out
}

// source returns the generator of a sub-test: the same for every run, another for every kind.
func (s *suite) source() *rand.Rand {
	seed := uint64(0)
	for _, c := range s.kind.Name {
		seed = 31*seed + uint64(c)
	}
	return rand.New(rand.NewPCG(seed, 5))
}

// example checks that the example builds as it is, and every promise of its field.
func (s *suite) example(t *testing.T) {
	b, err := Make(Head(small)+Entry(s.kind.Example), s.kinds)
	require.NoError(t, err)
	ours := 0
	for _, f := range b.Part.Features {
		if f.Kind == s.kind.Name {
			ours++
			require.Greater(t, f.Height, 0.0)
			require.NotEmpty(t, f.Outline.Elems)
		}
	}
	require.NotZero(t, ours, "the example shows no %s", s.kind.Name)
	field(t, b, s.source(), 2000)
}
