package limits_test

import (
	"encoding/json"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/finding"
	"platen/toolgen/limits"
	"platen/toolgen/material"
	"platen/toolgen/shop"
	"platen/toolgen/source"
)

func TestEveryLimitIsWhole(t *testing.T) {
	id := regexp.MustCompile(`^[a-z]+\.[a-z]+(-[a-z]+)*$`)
	seen := map[string]bool{}
	groups := []string{}
	for _, l := range limits.All() {
		require.Regexp(t, id, l.ID)
		require.False(t, seen[l.ID], l.ID)
		seen[l.ID] = true
		require.NotEmpty(t, l.Text, l.ID)
		require.NotEmpty(t, l.Unit, l.ID)
		require.NotEmpty(t, l.Value.Source, l.ID)
		require.True(t, l.Value.Mark.IsKnown(), l.ID)
		require.Positive(t, l.Value.V, l.ID)
		require.Equal(t, l, limits.Get(l.ID))
		require.NotEmpty(t, l.Row().Source)
		groups = append(groups, l.Group())
	}
	require.Greater(t, len(seen), 50)
	require.Contains(t, groups, "web")
	require.Panics(t, func() { limits.Get("wall.no-such") })
}

func TestAnErrorRestsOnAFirmMark(t *testing.T) {
	firm := 0
	for _, l := range limits.All() {
		if l.Grade == limits.Error {
			require.True(t, l.Value.Mark.Firm(), "%s rests on %s", l.ID, l.Value.Cite())
			firm++
		}
	}
	require.GreaterOrEqual(t, firm, 8)
	// So do those that depend on the case, whatever they are made from.
	for _, m := range []source.Mark{source.A, source.B, source.C, source.D, source.M, source.P} {
		base := source.Of(3, m, "test")
		for _, l := range []limits.Limit{
			limits.DraftMin(base, limits.Wall{Texture: 0.05, DepthToWidth: 2}), limits.Areal(base),
		} {
			require.Equal(t, m.Firm(), l.Grade == limits.Error, "%s with mark %c", l.ID, m)
			require.NotEqual(t, limits.Note, l.Grade)
		}
		require.Equal(t, limits.Warning, limits.DraftWant(base, limits.Wall{}).Grade)
	}
}

func TestGradesAreThoseOfFindings(t *testing.T) {
	for _, g := range []limits.Grade{limits.Note, limits.Warning, limits.Error} {
		require.Equal(t, finding.Severity(g).String(), g.String())
	}
	b, err := json.Marshal(limits.Get(limits.RadiusError))
	require.NoError(t, err)
	require.Contains(t, string(b), `"grade":"error"`)
}

func TestOneNumberForOneThing(t *testing.T) {
	require.Equal(t, shop.ReachStraight(), limits.Get(limits.DrillStraight).Value)
	require.Equal(t, shop.ReachPeck(), limits.Get(limits.DrillPeck).Value)
	require.Equal(t, shop.ReachVent(), limits.Get(limits.DrillVent).Value)
	require.InDelta(t, shop.LeastFillet(1).V, limits.Get(limits.MillFillet).Value.V, 1e-12)
	for name, want := range map[string]struct{ female, male string }{
		"HIPS": {limits.DraftLow, limits.DraftLowMale},
		"PP":   {limits.DraftLow, limits.DraftLowMelt},
	} {
		s, err := material.SheetNamed(name)
		require.NoError(t, err)
		require.Equal(t, limits.Get(want.female).Value, s.Draft[material.Female].Min, name)
		require.Equal(t, limits.Get(want.male).Value, s.Draft[material.Male].Min, name)
		require.Equal(t, limits.Get(limits.DraftGood).Value, s.Draft[material.Female].Want, name)
	}
}
