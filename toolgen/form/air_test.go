package form_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

// hollow returns the volume of the reference pocket below its land, by slices: each is a rounded
// rectangle, found where the field is zero along x.
func hollow(tool form.Tool) float64 {
	const slices = 4000
	sum := 0.0
	for i := range slices {
		z := -40 * (float64(i) + 0.5) / slices
		lo, hi := 0.0, 70.0
		for range 50 {
			x := (lo + hi) / 2
			if d, _ := tool.Distance(geom.Vec3{X: x, Z: z}); d > 0 {
				lo = x
			} else {
				hi = x
			}
		}
		m := lo - 55 // offset of the opening
		sum += (110+2*m)*(90+2*m) - (4-3.141592653589793)*(15+m)*(15+m)
	}
	return sum * 40 / slices
}

func TestTrappedAir(t *testing.T) {
	tool := formtest.Pocket()
	sh := formed(t, tool, pocketSetup(0.1), form.Options{})
	require.Greater(t, len(sh.States), 25)
	first, last := sh.States[0], sh.States[len(sh.States)-1]
	// At no pressure the sheet lies flat: it traps the pocket, one island.
	require.Zero(t, first.Pressure)
	require.Len(t, first.Islands, 1)
	require.InEpsilon(t, hollow(tool), first.Islands[0].Volume, 0.005)
	require.Equal(t, 0.09, last.Pressure)
	for _, isle := range last.Islands { // single nodes between landed ones at most
		require.InDelta(t, 0, isle.Volume, 1e-6)
		require.Less(t, isle.Area, 5.0)
	}
	before := first.Islands[0].Volume * (1 + 1e-12)
	for k, st := range sh.States {
		sum := 0.0
		for _, isle := range st.Islands {
			sum += isle.Volume
			require.Greater(t, isle.Area, 0.0)
			if k == 0 {
				require.Equal(t, -1, isle.Over)
				continue
			}
			require.GreaterOrEqual(t, isle.Over, 0)
			require.Less(t, isle.Over, len(sh.States[k-1].Islands))
		}
		require.LessOrEqual(t, sum, before, "the volume falls, state %d", k)
		before = sum + 0.02 // middles put on to the face between two states
	}
	// A hole at the middle of the floor is covered early, one in a bottom corner late.
	f := sh.Finder()
	floor, corner := f.Nearest(geom.Vec3{Z: -40}), f.Nearest(geom.Vec3{X: 47.6, Y: 37.1, Z: -38.3})
	require.Equal(t, 0, sh.IslandOf(0, floor.Triangle))
	require.Equal(t, 0, sh.IslandOf(0, corner.Triangle))
	half := len(sh.States) / 2
	require.Equal(t, -1, sh.IslandOf(half, floor.Triangle))
	require.NotEqual(t, -1, sh.IslandOf(half, corner.Triangle))
}

func TestDrapedAir(t *testing.T) {
	// A flat block under a sheet in a closed box: the air is that around the block, all round its
	// sides, less what stays in the sharp corners. Derived: frame area times height less the block.
	block := formtest.Box2(80, 60).Up(-30, 0)
	tool := formtest.Block{Box3: block}
	s := form.OnPlaten(block, 20)
	s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.1, 0.1), 0.09
	sh := formed(t, tool, s, form.Options{})
	st := sh.States[0]
	sum := 0.0
	for _, isle := range st.Islands {
		sum += isle.Volume
	}
	// With the travel done the sheet already hangs as a tent from the block to the frame.
	ring := (120*100 - 80*60) * 30.0
	require.Less(t, sum, 0.7*ring)
	require.Greater(t, sum, 0.2*ring)
	end := sh.States[len(sh.States)-1]
	left := 0.0
	for _, isle := range end.Islands {
		left += isle.Volume
	}
	require.InDelta(t, 0, left, 1e-6*ring, "what is not driven out does not count")
}
