package review_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFixesThatHold: a fix names nothing that the part can not have.
func TestFixesThatHold(t *testing.T) {
	for _, c := range []struct{ name, rule, text, says, not string }{
		{"no skirt across a fold", "lift.sag", `sheet: {material: PETG, gauge: 0.5}
part: {outline: {rect: [240, 160], corner: 8}}
features:
  - {kind: hinge_line, name: fold, length: 150, turn: 90}
`, "hold it at I1/fold", "skirt 1"},
		{"a skirt along a fold", "lift.sag", `sheet: {material: PETG, gauge: 0.5}
part: {outline: {rect: [240, 160], corner: 8}}
features:
  - {kind: hinge_line, name: fold, length: 230}
`, "mm high down both sides along X", "hold it"},
		{"fingers go with their pocket", "hinge.across", `sheet: {material: PETG, gauge: 0.6}
tool: {material: aluminium 6082, wall_allowance: nominal}
features:
  - {kind: hinge_line, length: 190}
  - {kind: pocket, name: cup, product: {size: [60, 30], corner: 5, height: 15, edge: 3}, at: [0, -28], fingers: pair}
`, "move I1/cup away from the line", "move it"},
		{"no higher lugs the same way up", "stack.seat", `stack: {way: same_way}
features:
  - {kind: pocket, size: [80, 60], corner: 14, holds: opening, draft: 6, depth: 20, edge: 1.5, floor: 2}
`, "turn every other part: stack.way: half_turn", "higher by"},
		{"no depth for so low a product", "fit.grip", `tool: {material: aluminium 6082, wall_allowance: nominal}
features:
  - {kind: pocket, product: {size: [60, 40], corner: 5, height: 8, edge: 3}, depth: 8, fingers: none}
`, "fingers: pair, or a finger_recess", "depth at most"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := of(c.rule, judgeFor(t, c.rule, whole(c.text)))
			require.NotEmpty(t, found)
			require.Contains(t, found[0].Fix, c.says)
			require.NotContains(t, found[0].Fix, c.not)
		})
	}
}
