package toolgen_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
)

// handed is a part that no mirror image of it fits: an L of pockets, a lug, lettering that reads from
// above and a line that reads from below.
const handed = `
format: 1
name: handed part
sheet: {material: HIPS, gauge: 1}
tool:
  material: aluminium 5083
  contact: %s
  measured: upper
  wall_allowance: none
part: {outline: {rect: [160, 120], corner: 8}}
shrink: {x: 0.6, y: 0.4, z: 0.5, reason: "unlike factors on purpose"}
features:
  - kind: pocket
    at: [-40, 20]
    turn: 25
    size: [44, 30]
    depth: 12
    draft: 5
    features:
      - {kind: stiffening_rib, length: 20, width: 6, height: 1.5, at: [5, 3], turn: 10, crown: 0.6, root: 0.6}
  - {kind: stacking_lug, at: [50, 35], size: [18, 9], height: 6, draft: 5}
  - {kind: lettering, text: "R2", at: [38, -20], height: 14}
  - {kind: lettering, text: "7F", at: [-40, -36], height: 12, reads_from: below, way: sunk}
`

// TestContactSide builds the same part on either side of the sheet. Both tools make the same part: a
// point of one tool's face, taken back to the part and forward to the other tool, lies on its face.
func TestContactSide(t *testing.T) {
	under := build(t, fmt.Sprintf(handed, "underside"), 0.05, "tool.stl")
	upper := build(t, fmt.Sprintf(handed, "upper"), 0.05, "tool.stl")
	require.Equal(t, len(under.Part.Features), len(upper.Part.Features))
	for _, pair := range [][2]*toolgen.Result{{under, upper}, {upper, under}} {
		a, b := pair[0], pair[1]
		rng := rand.New(rand.NewPCG(4, 2))
		worst, seen := 0.0, 0
		for seen < 20000 {
			i := rng.IntN(len(a.Mesh.T))
			u, v := rng.Float64(), rng.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			tri := a.Mesh.T[i]
			p, q, r := a.Mesh.V[tri[0]], a.Mesh.V[tri[1]], a.Mesh.V[tri[2]]
			x := p.Add(q.Sub(p).Scale(u)).Add(r.Sub(p).Scale(v))
			if !inside(a, x) {
				continue
			}
			s := a.Body.Field.Face(x) // onto the true face
			x = x.Sub(s.G.Scale(s.D))
			y := b.Body.Map.Point(a.Body.Map.Back(x))
			worst = max(worst, math.Abs(b.Body.Field.Face(y).D))
			seen++
		}
		// Walls and levels agree to rounding. Radii are asked on the tool, so with unlike factors a
		// rounding on one tool is that on the other to a hundredth of its radius.
		require.Less(t, worst, 0.004)
	}
}

// inside reports whether a point of the tool belongs to the forming face over the part.
func inside(r *toolgen.Result, p geom.Vec3) bool {
	f := r.Body.Field
	role := f.Pieces.At(f.At(p).Piece)
	return role.Feature != "block" && r.Part.Outline.At(r.Body.Map.Back(p).Plan()).D < -1
}
