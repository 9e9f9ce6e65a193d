package air_test

import (
	"context"
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/air"
	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

// The tray has 4 x 3 pockets of 110 x 90 mm at the land and 40 deep.
const across, away = 140.0, 122.0

// pocketAt returns the number of the pocket over a place.
func pocketAt(p geom.Vec3) int {
	return 4*int(math.Round(p.Y/away+1)) + int(math.Round(p.X/across+1.5))
}

func name(i int) string { return fmt.Sprintf("p%d", i) }

// vents are eight holes of 0.8 mm in every pocket but those that skip takes: by the foot of the floor
// fillet in the corners, then in the middles of the sides.
func vents(skip func(pocket, hole int) bool) []air.Hole {
	var out []air.Hole
	for i := range 12 {
		c := geom.Vec3{X: across * (float64(i%4) - 1.5), Y: away * (float64(i/4) - 1), Z: -40}
		for k, d := range [...]geom.Vec2{{X: 44.7, Y: 34.7}, {X: -44.7, Y: 34.7}, {X: -44.7, Y: -34.7}, {X: 44.7, Y: -34.7}, {X: 46.7}, {X: -46.7}, {Y: 36.7}, {Y: -36.7}} {
			if skip == nil || !skip(i, k) {
				out = append(out, air.Hole{At: c.Add(d.At(0)), Dia: 0.8, Back: 4})
			}
		}
	}
	return out
}

// tray is the sheet on the 12-pocket tray, formed on one processor and on two.
var tray = sync.OnceValues(func() ([2]*form.Sheet, error) {
	tool, block := formtest.Tray()
	set := form.LevelFrame(block.Plan().Grow(-12), 0, 0) // within the round corners of the block
	set.Gauge, set.Law, set.Pressure = 1, form.Rubber(0.1, 0.1), 0.085
	var out [2]*form.Sheet
	for i := range out {
		var err error
		if out[i], err = form.Run(context.Background(), tool, set, form.Options{Workers: i + 1}); err != nil {
			return out, err
		}
	}
	return out, nil
})

// machine is strong enough to leave the time to the holes.
func machine() air.Machine {
	return air.Machine{Box: 2e-3, Hose: air.HoseArea(50, 1000), Tank: 0.4, Vacuum: 85e3, Pump: 0.011}
}

func pull(t *testing.T, holes []air.Hole, target float64) *air.Pulled {
	t.Helper()
	sheets, err := tray()
	require.NoError(t, err)
	p, err := air.Pull(context.Background(), sheets[0], air.Setup{
		Holes: holes, Feature: func(p geom.Vec3) string { return name(pocketAt(p)) },
		Machine: machine(), Enough: 68, Target: target,
	})
	require.NoError(t, err)
	return p
}

// TestPocketsAlike draws twelve like pockets with like holes out in like time, and nothing is caught.
//
// By hand: a pocket holds about 357 cm3 (the volume under the flat sheet, a frustum with rounded
// edges); eight holes of 0.8 mm have 4.02 mm2, times 0.65 is 2.61 mm2, which take 0.519 litre/s of the
// air that lies under the sheet: 0.69 s. What goes on at lower pressure adds less than a tenth.
func TestPocketsAlike(t *testing.T) {
	p := pull(t, vents(nil), 1)
	require.True(t, p.Done)
	require.Len(t, p.Regions, 12)
	require.Empty(t, p.Trapped)
	low := p.Regions[11].Time
	require.InEpsilon(t, p.Time, low, 0.01)
	for _, r := range p.Regions {
		require.False(t, r.Sealed)
		require.Equal(t, 8, r.Holes)
		require.InEpsilon(t, 357, r.Volume, 0.01)
		require.InEpsilon(t, 8*0.65*math.Pi*0.16, r.Area, 0.02)
		require.Equal(t, r.Feature, name(pocketAt(r.At)))
	}
	require.Greater(t, p.Time, 0.357/(0.1986*2.61))
	require.Less(t, p.Time, 1.15*0.357/(0.1986*2.61))
	require.Less(t, p.Floor, p.Time/3)
	require.Positive(t, p.Spare)
	require.Empty(t, p.Add)
	// The curve runs from a full box to the end, and the air under the sheet only ever gets less.
	require.Zero(t, p.Curve[0].Time)
	require.InEpsilon(t, p.Time, p.Curve[len(p.Curve)-1].Time, 0.01)
	for i := 1; i < len(p.Curve); i++ {
		require.LessOrEqual(t, p.Curve[i].Left, p.Curve[i-1].Left+1e-9)
	}
}

// TestHolesGone closes holes of one pocket: it gets slower and is named, with the holes to add; with
// those it meets the target. With none its air stays and it is named for that.
func TestHolesGone(t *testing.T) {
	const poor = 6
	all := pull(t, vents(nil), 1)
	before := 0.0
	for _, left := range []int{6, 4, 2} {
		p := pull(t, vents(func(pocket, hole int) bool { return pocket == poor && hole >= left }), 1)
		slow, ok := p.Slowest()
		require.True(t, ok)
		require.Equal(t, name(poor), slow.Feature)
		require.Equal(t, left, slow.Holes)
		require.Greater(t, slow.Time, before)
		require.Greater(t, slow.Time, 1.1*all.Time*6/float64(left))
		before = slow.Time
		require.InEpsilon(t, all.Time, p.Regions[1].Time, 0.03, "the others hardly mind")
		if p.Time <= 1 {
			continue
		}
		require.Len(t, p.Add, 1)
		require.Equal(t, name(poor), p.Add[0].Feature)
		require.InDelta(t, 0.8, p.Add[0].Dia, 0)
		require.Zero(t, p.Spare)
		more := pull(t, append(vents(func(pocket, hole int) bool { return pocket == poor && hole >= left }), spread(p.Add[0])...), 1)
		require.LessOrEqual(t, more.Time, 1.02, "with %d more", p.Add[0].Count)
		less := p.Add[0]
		less.Count -= 2
		fewer := pull(t, append(vents(func(pocket, hole int) bool { return pocket == poor && hole >= left }), spread(less)...), 1)
		require.Greater(t, fewer.Time, 1.0, "%d more would do", less.Count)
	}
	p := pull(t, vents(func(pocket, _ int) bool { return pocket == poor }), 1)
	require.True(t, p.Regions[0].Sealed)
	require.Equal(t, name(poor), p.Regions[0].Feature)
	require.NotEmpty(t, p.Trapped)
	require.Equal(t, name(poor), p.Trapped[0].Feature)
	require.True(t, p.Trapped[0].Stands())
	require.InEpsilon(t, 357e3, p.Trapped[0].Volume, 0.01)
	require.InDelta(t, 0, p.Trapped[0].Vacuum, 1e-9)
	require.InEpsilon(t, p.Trapped[0].Volume/p.Trapped[0].Area, p.Trapped[0].Gap, 1e-9)
	slow, ok := p.Slowest()
	require.True(t, ok)
	require.NotEqual(t, name(poor), slow.Feature)
}

// spread returns the holes that an advice asks for, all at its place.
func spread(e air.Extra) []air.Hole {
	var out []air.Hole
	for range e.Count {
		out = append(out, air.Hole{At: e.At, Dia: e.Dia, Back: 4})
	}
	return out
}

// TestCornersForgotten leaves holes in the middle of the floors alone: the sheet covers them long
// before it reaches the corners, and what it catches there is told.
func TestCornersForgotten(t *testing.T) {
	var holes []air.Hole
	for i := range 12 {
		c := geom.Vec3{X: across * (float64(i%4) - 1.5), Y: away * (float64(i/4) - 1), Z: -40}
		for k := range 8 {
			holes = append(holes, air.Hole{At: c.Add(geom.Vec3{X: 2 * float64(k%4), Y: 2 * float64(k/4)}), Dia: 0.8, Back: 4})
		}
	}
	p := pull(t, holes, 1)
	require.Len(t, p.Trapped, 12)
	for _, tr := range p.Trapped {
		require.True(t, tr.Stands())
		require.Greater(t, tr.Gap, 1.0)
	}
}

// TestMachineLimits shows that no hole helps a thin hose, and what tank a small one should be.
func TestMachineLimits(t *testing.T) {
	sheets, err := tray()
	require.NoError(t, err)
	set := air.Setup{Holes: vents(nil), Feature: func(geom.Vec3) string { return "tray" }, Machine: machine(), Enough: 68, Target: 1}
	set.Machine.Hose = air.HoseArea(8, 2000)
	p, err := air.Pull(context.Background(), sheets[0], set)
	require.NoError(t, err)
	require.Greater(t, p.Floor, p.Target)
	require.Greater(t, p.Time, p.Floor)
	require.Empty(t, p.Add)

	set.Machine = machine()
	set.Machine.Pump = 0
	set.Machine.Tank = 0.01
	p, err = air.Pull(context.Background(), sheets[0], set)
	require.NoError(t, err)
	require.False(t, p.Done)
	require.Less(t, p.Vacuum, 68.0)
	// By hand: 4.284 litre under the sheet and 2 in the box at 101.325 kPa end at 33.325 kPa in box and
	// tank, from 16.325 in the tank: (6.284 x 101.325 - 2 x 33.325) / 17 = 33.53 litre.
	require.InEpsilon(t, 33.53, p.Tank, 0.01)
	set.Machine.Tank = 1.02 * p.Tank / 1e3
	p, err = air.Pull(context.Background(), sheets[0], set)
	require.NoError(t, err)
	require.True(t, p.Done)
	require.Zero(t, p.Tank)
}

// TestSameOnAnyProcessors pulls the same air on the sheets of one and of two workers, twice.
func TestSameOnAnyProcessors(t *testing.T) {
	sheets, err := tray()
	require.NoError(t, err)
	set := air.Setup{Holes: vents(nil), Feature: func(p geom.Vec3) string { return name(pocketAt(p)) }, Machine: machine(), Enough: 68, Target: 0.5}
	var first *air.Pulled
	for _, sh := range []*form.Sheet{sheets[0], sheets[1], sheets[0]} {
		p, err := air.Pull(context.Background(), sh, set)
		require.NoError(t, err)
		if first == nil {
			first = p
		}
		require.Equal(t, first, p)
	}
}
