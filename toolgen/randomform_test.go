package toolgen_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/form"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
	"platen/toolgen/sheet"
)

// TestRandomForming reviews random jobs with their sheet formed, band and passes of the offset too, and
// holds every sheet to what any forming must keep. A job may be refused at its place, but few are.
//
// A long run: go test ./toolgen -run TestRandomForming -jobs 300 -timeout 0.
func TestRandomForming(t *testing.T) {
	n, formed := jobsOr(10), 0
	for seed := *from; seed < *from+n; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			text := jobtest.Random(seed)
			if seed%3 == 0 { // the passes of offsetting and forming again too
				text = strings.Replace(text, "wall_allowance: nominal", "wall_allowance: formed", 1)
			}
			o := options()
			o.NoSheet = false
			r, err := toolgen.Check(context.Background(), read(t, text), o)
			if err != nil {
				var refused *part.BuildError
				require.True(t, errors.As(err, &refused), "%v", err)
				require.NotZero(t, refused.Pos.Line)
				return
			}
			formed++
			requireSound(t, r.Formed)
			require.LessOrEqual(t, r.Passes, 6)
			require.NotNil(t, r.Air)
		})
	}
	t.Logf("%d of %d jobs formed", formed, n)
	switch { // of a few jobs the share says little
	case n >= slice:
		require.GreaterOrEqual(t, 5*formed, int(4*n), "jobs that were formed")
	case n >= 10:
		require.GreaterOrEqual(t, 2*formed, int(n), "jobs that were formed")
	}
}

// pressed is the thickness over the gauge from which a triangle must be flagged: with squared stretches
// c >= d and 1/sqrt(c d) above it, d sqrt(c) < 0.98^2 whatever c is.
const pressed = 1 / (0.98 * 0.98)

// requireSound holds a formed sheet to what holds of every one: finite, its mass kept, thicker than it
// was only where it is flagged as pressed together, and every node with a status that is true of it.
func requireSound(t *testing.T, f *sheet.Formed) {
	t.Helper()
	sh, face := f.Sheet, f.Body.Field.Face
	if f.Setup.Closed { // the sheet drapes down the block
		face = f.Body.Field.At
	}
	require.InDelta(t, 0, sh.Balance(), 1e-12, "mass")
	area, thickest := 0.0, 0.0
	for k := range sh.Triangles {
		x := &sh.Triangles[k]
		area += sh.Area(k)
		require.Positive(t, x.Thickness, "triangle %d", k)
		thickest = max(thickest, x.Thickness/sh.Gauge)
		require.True(t, x.Thickness <= pressed*sh.Gauge || x.Wrinkled, "triangle %d: %.3f mm of %.3f mm", k, x.Thickness, sh.Gauge)
	}
	require.Less(t, area, 8*sh.Flat)
	var count [4]int
	for i := range sh.Nodes {
		x := &sh.Nodes[i]
		require.True(t, x.At.IsFinite(), "node %d", i)
		require.LessOrEqual(t, x.Status, form.Webbing, "node %d", i)
		count[x.Status]++
		switch d := face(x.At).D; {
		case x.Status == form.Landed && !x.Off:
			require.InDelta(t, 0, d, form.Bridge+1e-5, "node %d at %.2f", i, x.At)
		case x.Status == form.Bridged:
			require.Greater(t, x.Gap, form.Bridge, "node %d", i)
			require.Greater(t, d, -1e-5, "node %d at %.2f", i, x.At)
		}
	}
	t.Logf("%d triangles, %d steps, area %.2f of the flat, thickest %.3f of the gauge, clamped landed bridged webbing %v", len(sh.Triangles), sh.Steps, area/sh.Flat, thickest, count)
}
