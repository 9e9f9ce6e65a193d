package parttest

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Tolerances of the suite.
const (
	steep   = 1.0001 // slope a field may have
	step    = 1e-5   // of a numeric gradient, mm
	slopeBy = 2e-3   // by which a numeric gradient may miss: step / the least radius of 0.05 mm, ten times over
	onFace  = 1e-7   // of a point walked to the face, mm
)

// field checks the promises of a body's field around its features with n random samples.
func field(t *testing.T, b *body.Body, rng *rand.Rand, n int) {
	t.Helper()
	box := around(b)
	lipschitz(t, b, rng, box, n)
	finite(t, b, rng)
	outside(t, b, rng, n)
	gradient(t, b, rng, n/2)
	undercut(t, b, rng, n)
}

// around returns the box of the features, with room.
func around(b *body.Body) geom.Box3 {
	box := geom.EmptyBox3()
	for _, p := range b.Field.Patches {
		c := p.Box()
		box = box.Hold(c.Min).Hold(c.Max)
	}
	return box.Grow(10)
}

func within(rng *rand.Rand, box geom.Box3) geom.Vec3 {
	s := box.Size()
	return box.Min.Add(geom.Vec3{X: rng.Float64() * s.X, Y: rng.Float64() * s.Y, Z: rng.Float64() * s.Z})
}

// direction returns a random unit vector.
func direction(rng *rand.Rand) geom.Vec3 {
	return geom.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit()
}

// lipschitz checks that no two samples differ by more than their distance.
func lipschitz(t *testing.T, b *body.Body, rng *rand.Rand, box geom.Box3, n int) {
	t.Helper()
	for _, f := range []func(geom.Vec3) sdf.Sample{b.Field.At, b.Field.Face} {
		for range n {
			p := within(rng, box)
			d := math.Pow(10, -3+5*rng.Float64()) // 1 um to 100 mm
			q := p.Add(direction(rng).Scale(d))
			u, v := f(p).D, f(q).D
			require.LessOrEqual(t, math.Abs(u-v), steep*d+1e-9, "Dist(%v) = %g, Dist(%v) = %g, %g apart", p, u, q, v, d)
		}
	}
}

// finite checks that the field has a value everywhere, and that far away is air.
func finite(t *testing.T, b *body.Body, rng *rand.Rand) {
	t.Helper()
	for _, far := range []float64{1e3, 1e5, 1e7, 1e9} {
		for range 20 {
			p := direction(rng).Scale(far)
			s := b.Field.At(p)
			require.True(t, s.G.IsFinite() && s.D-s.D == 0, "Dist(%v) = %g, gradient %v", p, s.D, s.G)
			if far >= 1e5 {
				require.Greater(t, s.D, 0.0, "Dist(%v)", p)
			}
		}
	}
}

// outside checks that no point outside the bounds is material.
func outside(t *testing.T, b *body.Body, rng *rand.Rand, n int) {
	t.Helper()
	box := b.Field.Box()
	big := [2]geom.Box3{box.Grow(30), around(b)} // anywhere, and over and under the features
	for i := range n {
		p := within(rng, big[i%2])
		off := 30*math.Pow(rng.Float64(), 3) + 1e-6
		switch rng.IntN(6) { // beyond one face of the box
		case 0:
			p.X = box.Min.X - off
		case 1:
			p.X = box.Max.X + off
		case 2:
			p.Y = box.Min.Y - off
		case 3:
			p.Y = box.Max.Y + off
		case 4:
			p.Z = box.Min.Z - off
		default:
			p.Z = box.Max.Z + off
		}
		require.Greater(t, b.Field.At(p).D, 0.0, "Dist(%v) outside the bounds %v", p, box)
	}
}

// Face walks from q to the forming face along the gradient and reports whether it got there.
func Face(b *body.Body, q geom.Vec3) (geom.Vec3, sdf.Sample, bool) {
	for range 40 {
		s := b.Field.Face(q)
		if math.Abs(s.D) < onFace {
			return q, s, true
		}
		q = q.Sub(s.G.Scale(s.D))
	}
	return q, sdf.Sample{}, false
}

// near returns a random point of the forming face on or around a random feature.
func near(b *body.Body, rng *rand.Rand) (geom.Vec3, sdf.Sample, bool) {
	s := b.Solids[rng.IntN(len(b.Solids))]
	e := s.Outline.Elems[rng.IntN(len(s.Outline.Elems))]
	t := rng.Float64()
	z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(1.2*rng.Float64()-0.1)
	q := e.Point(t).Add(e.Out(t).Scale(s.Wall.D(z) + rng.NormFloat64()))
	return Face(b, q.At(z))
}

// gradient compares the gradient with the numeric one near the face: at a crease it is that of either
// side.
func gradient(t *testing.T, b *body.Body, rng *rand.Rand, n int) {
	t.Helper()
	seen, creases := 0, 0
	for range n {
		p, _, ok := near(b, rng)
		if !ok {
			continue
		}
		p = p.Add(direction(rng).Scale(0.03 * rng.Float64()))
		s := b.Field.Face(p)
		require.InDelta(t, 1, s.G.Norm(), 1e-9, "length of the gradient at %v", p)
		d := direction(rng)
		fwd := (b.Field.Face(p.Add(d.Scale(step))).D - s.D) / step
		back := (s.D - b.Field.Face(p.Sub(d.Scale(step))).D) / step
		seen++
		if math.Abs(fwd-back) > slopeBy {
			creases++
		}
		require.GreaterOrEqual(t, s.G.Dot(d), min(fwd, back)-slopeBy, "slope at %v along %v", p, d)
		require.LessOrEqual(t, s.G.Dot(d), max(fwd, back)+slopeBy, "slope at %v along %v", p, d)
	}
	require.Greater(t, seen, n/2, "points found on the face")
	require.Greater(t, seen, 9*creases, "samples at creases of the field")
}

// undercut checks that no wall with draft overhangs or is steeper than asked, but for declared undercuts.
func undercut(t *testing.T, b *body.Body, rng *rand.Rand, n int) {
	t.Helper()
	walls, least := 0, math.Inf(1)
	solids := map[string]*body.Solid{}
	for _, s := range b.Solids {
		least = min(least, float64(s.Draft))
		solids[s.ID] = s
		if s.Undercut.Depth > 0 {
			waisted(t, b, s)
		}
	}
	if least == 0 {
		return
	}
	for range n {
		p, s, ok := near(b, rng)
		if !ok {
			continue
		}
		own := b.Field.Pieces.At(s.Piece)
		if o := solids[own.Feature]; o != nil && o.Undercut.Depth > 0 {
			if s.G.Z < -1e-9 {
				require.Less(t, (p.Z-o.Wall.Host)*(p.Z-o.Wall.Undercut.At), 1e-9, "the face overhangs at %v, beyond the widest", p)
			}
			continue
		}
		require.GreaterOrEqual(t, s.G.Z, -1e-9, "the face overhangs at %v", p)
		if own.Role == piece.Wall || own.Role == piece.Corner {
			walls++
			require.GreaterOrEqual(t, math.Asin(s.G.Z), least-1e-6, "wall at %v", p)
		}
	}
}

// Looks at a declared undercut.
const (
	waistLooks = 400  // heights
	waistBy    = 2e-3 // by which what they show may miss it, mm
)

// waisted measures the undercut of a solid on its face, and where its widest stands.
func waisted(t *testing.T, b *body.Body, s *body.Solid) {
	t.Helper()
	w := s.Wall
	e := s.Outline.Elems[0]
	waist, wide, at := math.Inf(1), math.Inf(-1), 0.0
	for k := range waistLooks {
		z := w.Host + (w.End-w.Host)*(float64(k)+0.5)/waistLooks
		p, _, ok := Face(b, e.Point(0.5).Add(e.Out(0.5).Scale(w.D(z))).At(z))
		if !ok {
			continue
		}
		d := s.Outline.At(p.Plan()).D
		if (p.Z-w.Host)*(p.Z-w.Undercut.At) < 0 { // between the host level and the widest
			waist = min(waist, d)
		}
		if d > wide && math.Abs(p.Z-w.Host) > w.HostR*0.999 {
			wide, at = d, p.Z
		}
	}
	require.InDelta(t, w.Undercut.Depth, wide-waist, waistBy, "undercut of %s on its face", s.ID)
	require.InDelta(t, 0, wide, waistBy, "widest of %s from its outline", s.ID)
	slack := 2*math.Abs(w.End-w.Host)/waistLooks + math.Sqrt(2*w.Undercut.R*waistBy)
	require.InDelta(t, w.Undercut.At, at, slack, "height of the widest of %s", s.ID)
}
