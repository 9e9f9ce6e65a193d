package outline_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// star is a random outline about the origin: corners at random distances, sides straight or bulged.
// It may cross itself; then ok is false.
func star(seed uint64) (o *outline.Outline, ok bool) {
	rng := seeded(seed)
	n := 3 + rng.IntN(9)
	var pts []geom.Vec2
	for i := range n {
		a := geom.Angle((float64(i) + 0.6*rng.Float64()) / float64(n) * 2 * math.Pi)
		pts = append(pts, geom.Vec2{X: 4 + 16*rng.Float64()}.Turn(a))
	}
	var segs []outline.Seg
	for i := range n {
		s := outline.LineTo(pts[(i+1)%n])
		if rng.IntN(2) == 0 {
			s = outline.BulgeTo(pts[(i+1)%n], 0.8*rng.Float64()-0.3)
		}
		segs = append(segs, s)
	}
	o, err := outline.Path(pts[0], segs...)
	return o, err == nil
}

func TestRandomOutlinesRoundOrRefuse(t *testing.T) {
	built, refused := 0, 0
	for seed := range uint64(400) {
		o, ok := star(seed)
		if !ok {
			continue
		}
		require.NoError(t, o.Simple())
		r := 0.1 + 0.02*float64(seed)
		got, err := o.Rounded(r)
		var large *outline.TooLarge
		switch {
		case err == nil:
			built++
		case errors.As(err, &large):
			refused++
			require.Less(t, large.Largest, r)
			if large.Largest < 1e-3 {
				continue
			}
			if got, err = o.Rounded(large.Largest); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			r = large.Largest
		default:
			t.Fatalf("seed %d: %v", seed, err)
		}
		require.NoError(t, got.Simple(), "seed %d", seed)
		require.Zero(t, got.Corners(), "seed %d", seed)
		// Rounding corners moves no point farther than a corner is from its arc, and what is not near
		// a corner not at all: the old outline's element middles are on the new one or were swallowed.
		require.GreaterOrEqual(t, min(got.Convex(), got.Concave()), min(r, smallest(o))-1e-9, "seed %d", seed)
		down, least, err := o.RoundedDown(2*r, 1e-3)
		if err == nil {
			require.NoError(t, down.Simple(), "seed %d", seed)
			require.Zero(t, down.Corners(), "seed %d", seed)
			require.LessOrEqual(t, least, 2*r)
		}
	}
	require.Greater(t, built, 50)
	require.Greater(t, refused, 50)
}

// smallest returns the least radius of an outline's own arcs.
func smallest(o *outline.Outline) float64 {
	r := math.Inf(1)
	for _, e := range o.Elems {
		if e.IsArc() {
			r = min(r, math.Abs(e.R))
		}
	}
	return r
}

func TestRandomOutlinesOffsetOrRefuse(t *testing.T) {
	built, refused := 0, 0
	for seed := range uint64(400) {
		o, ok := star(seed)
		if !ok {
			continue
		}
		rng := seeded(seed + 1000)
		if seed%2 == 0 {
			if r, err := o.Rounded(0.5); err == nil {
				o = r
			}
		}
		m := 4 * (rng.Float64() - 0.5)
		got, err := o.Offset(m)
		var large *outline.TooLarge
		switch {
		case err == nil:
			built++
		case errors.As(err, &large):
			refused++
			require.LessOrEqual(t, math.Abs(large.Largest), math.Abs(m))
			if math.Abs(large.Largest) < 1e-3 {
				continue
			}
			m = large.Largest
			if got, err = o.Offset(m); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
		default:
			t.Fatalf("seed %d: %v", seed, err)
		}
		require.NoError(t, got.Simple(), "seed %d", seed)
		// No point of the moved outline is nearer to the old one than asked, and where it is farther it
		// is the mitre of a sharp corner.
		for _, e := range got.Elems {
			for k := range 9 {
				d := o.At(e.Point(float64(k)/8)).D * math.Copysign(1, m)
				require.GreaterOrEqual(t, d, math.Abs(m)-1e-7, "seed %d", seed)
				if o.Corners() == 0 {
					require.InDelta(t, math.Abs(m), d, 1e-7, "seed %d", seed)
				}
			}
		}
	}
	require.Greater(t, built, 50)
	require.Greater(t, refused, 50)
}

func TestRandomOutlinesHoldTheirDisc(t *testing.T) {
	for seed := range uint64(60) {
		o, ok := star(seed)
		if !ok {
			continue
		}
		d := o.Disc()
		require.LessOrEqual(t, d.Gap, 1e-6, "seed %d", seed)
		rng := seeded(seed)
		for range 3000 {
			require.LessOrEqual(t, -o.At(between(rng, -20, 20)).D, d.R+d.Gap, "seed %d", seed)
		}
		// A neck is no wider than the largest disc.
		require.LessOrEqual(t, o.Stroke().Width, 2*(d.R+d.Gap)+1e-9, "seed %d", seed)
	}
}
