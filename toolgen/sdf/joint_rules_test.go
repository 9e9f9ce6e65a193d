package sdf_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/sdf"
)

func TestScenesFit(t *testing.T) {
	for name, ms := range scenes(t) {
		for _, m := range joint(t, ms...).j.Check() {
			require.Falsef(t, m.Hard, "%s: %s", name, m)
		}
	}
}

func TestCheckFindsWhatDoesNotFit(t *testing.T) {
	pocket := sdf.Member{Feature: "pocket", Outline: rect(t, 110, 90, 15, 0, 0, 0), Wall: sunk(0, -20, 0, 3, 4), Host: -1}
	boss := func(x, size, turn float64) sdf.Member {
		return sdf.Member{Feature: "boss", Outline: rect(t, size, size, 4, x, 0, turn), Wall: raised(-20, -10, 0, 4, 1), Host: 0}
	}
	beside := func(gap float64) sdf.Member {
		return sdf.Member{Feature: "next", Outline: rect(t, 40, 60, 8, 55+20+gap, 0, 0), Wall: sunk(0, -15, 0, 3, 4), Host: -1}
	}
	tight := pocket
	tight.Outline = rect(t, 110, 90, 3, 0, 0, 0)
	narrow := sdf.Member{Feature: "slot", Outline: rect(t, 60, 7, 3.5, 0, 0, 0), Wall: sunk(0, -10, 0, 3, 4), Host: -1}
	across := func(turn float64) sdf.Member {
		return sdf.Member{Feature: "channel", Outline: slot(t, 200, 20, 0, 45, turn), Wall: sunk(0, -12, 0, 3, 4), Host: -1}
	}
	edged := func(r float64, ms ...sdf.Member) []sdf.Member {
		for i := range ms {
			ms[i].Wall.HostR = r
		}
		return ms
	}
	for name, c := range map[string]struct {
		ms   []sdf.Member
		want []sdf.Misfit // What, Got, Limit, Largest and Hard are compared; none: fits
	}{
		// An upright wall takes rf of floor: two take 8 mm, with play 8.8.
		"gap just kept":  {[]sdf.Member{pocket, boss(36.1, 20, 0)}, nil},
		"gap too small":  {[]sdf.Member{pocket, boss(38, 20, 0)}, []sdf.Misfit{{What: "gap", Got: 7, Limit: 8.8, Largest: 3.181, Hard: true}}},
		"boss in wall":   {[]sdf.Member{pocket, boss(50, 20, 0)}, nil},
		"web just kept":  {[]sdf.Member{pocket, beside(7.6)}, nil},
		"web thin":       {[]sdf.Member{pocket, beside(7)}, []sdf.Misfit{{What: "web", Got: 7, Limit: 7.5, Largest: 2.8}}},
		"web too thin":   {[]sdf.Member{pocket, beside(3)}, []sdf.Misfit{{What: "web", Got: 3, Limit: 7.5, Largest: 1.2, Hard: true}}},
		"corner tight":   {[]sdf.Member{tight}, []sdf.Misfit{{What: "floor width or corner", Got: 3, Limit: 4, Largest: 3, Hard: true}}},
		"floor too slim": {[]sdf.Member{narrow}, []sdf.Misfit{{What: "floor width or corner", Got: 3.5, Limit: 4, Largest: 3.5, Hard: true}}},
		"square across":  {[]sdf.Member{pocket, across(90)}, nil},
		// Upright walls: two edges of 45 deg to the ball's way out bend its path by sqrt(2) r/(r + e).
		"edge small": {edged(2, pocket, across(90)), []sdf.Misfit{{What: "edge radius where the floor rounding runs out", Got: 2, Limit: 2.071067811865, Largest: 3.862}}},
		"edge sharp": {edged(1.5, pocket, across(90)), []sdf.Misfit{{What: "edge radius where the floor rounding runs out", Got: 1.5, Limit: 2.071067811865, Largest: 2.897, Hard: true}}},
		// The channel leaves through a side wall: normals at 90 + 45 deg on one flank.
		"slanting":      {[]sdf.Member{pocket, across(45)}, []sdf.Misfit{{What: "ridge angle", Got: 135, Limit: 120}}},
		"nearly a wall": {[]sdf.Member{pocket, across(20)}, []sdf.Misfit{{What: "ridge angle", Got: 160, Limit: 150, Hard: true}}},
		// rc 1, rf 4: sin t = 0.8 at most 126.87 deg, with play never beyond 90 deg.
		"boss turned": {[]sdf.Member{pocket, boss(55, 20, 30)}, []sdf.Misfit{{What: "wedge angle", Got: 120, Limit: 90, Largest: 2.256}}},
		"boss steep":  {[]sdf.Member{pocket, boss(55, 40, 38)}, []sdf.Misfit{{What: "wedge angle", Got: 128, Limit: 90, Largest: 1.705, Hard: true}}},
	} {
		t.Run(name, func(t *testing.T) {
			got := joint(t, c.ms...).j.Check()
			require.Len(t, got, len(c.want), "%v", got)
			for i, w := range c.want {
				g := got[i]
				require.Equal(t, w.What, g.What)
				require.InDelta(t, w.Got, g.Got, 0.02, "%s", g)
				require.InDelta(t, w.Limit, g.Limit, 1e-9, "%s", g)
				require.InDelta(t, w.Largest, g.Largest, 0.0011, "%s", g)
				require.Equal(t, w.Hard, g.Hard, "%s", g)
				require.NotEmpty(t, g.Members[0])
			}
		})
	}
}
