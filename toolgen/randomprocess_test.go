package toolgen_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/body"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
)

// process returns a section forming for a job made up as r, some of which no machine could do.
func process(seed uint64, r *toolgen.Result) string {
	rng := rand.New(rand.NewPCG(seed, 7))
	size := r.Body.Field.Box().Plan().Size()
	var b strings.Builder
	b.WriteString("forming:\n")
	grow := 60*rng.Float64() - 5
	fmt.Fprintf(&b, "  frame: [%.1f, %.1f]\n", size.X+grow, size.Y+grow)
	if rng.IntN(2) == 0 {
		fmt.Fprintf(&b, "  bubble: %.1f\n", 0.55*min(size.X, size.Y)*rng.Float64())
	}
	if rng.IntN(12) == 0 {
		fmt.Fprintf(&b, "  travel: %.1f\n", 40*rng.Float64())
	}
	var sunk []*body.Solid
	for _, s := range r.Body.Solids {
		if s.Female() && s.Height > 6 {
			sunk = append(sunk, s)
		}
	}
	if len(sunk) > 0 {
		f := sunk[rng.IntN(len(sunk))]
		box := f.Feature.Outline.Bounds()
		fmt.Fprintf(&b, "  plug: {outline: {rect: [%.1f, %.1f], corner: 1}, at: [%.1f, %.1f], turn: %d, travel: %.1f, edge: %.1f, draft: %d, stick: %t}\n",
			2+0.4*box.Size().X*rng.Float64(), 2+0.4*box.Size().Y*rng.Float64(), box.Centre().X, box.Centre().Y, 5*rng.IntN(2),
			0.6+f.Height*rng.Float64(), rng.Float64(), rng.IntN(12), rng.IntN(2) == 0)
	}
	return b.String()
}

// TestRandomProcess forms random jobs in random ways: refused at the key of the section, or as sound as any
// forming.
//
// A long run: go test ./toolgen -run TestRandomProcess -jobs 300 -timeout 0.
func TestRandomProcess(t *testing.T) {
	n, formed, refusals := jobsOr(2), 0, 0
	for seed := *from; seed < *from+n; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			o := options()
			plain, err := toolgen.Check(context.Background(), read(t, jobtest.Random(seed)), o)
			if err != nil {
				return // of another test
			}
			text := strings.Replace(jobtest.Random(seed), "features:\n", process(seed, plain)+"features:\n", 1)
			text = strings.Replace(text, "wall_allowance: formed", "wall_allowance: nominal", 1)
			o.NoSheet, o.NoBand = false, true
			r, err := toolgen.Check(context.Background(), read(t, text), o)
			var refused *part.BuildError
			if errors.As(err, &refused) {
				require.NotZero(t, refused.Pos.Line)
				t.Logf("%v", refused)
				refusals++
				return
			}
			require.NoError(t, err, text)
			formed++
			requireSound(t, r.Formed)
		})
	}
	t.Logf("%d formed, %d refused", formed, refusals)
	if n >= 10 {
		require.Greater(t, formed, 3)
		require.Positive(t, refusals)
	}
}
