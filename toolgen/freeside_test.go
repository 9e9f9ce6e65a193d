package toolgen_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
)

// free is a part measured on the side that does not touch the tool.
const free = `
format: 1
name: free side
sheet: {material: HIPS, gauge: 1.5}
tool: {material: aluminium 5083, contact: %s, measured: %s}
part: {outline: {rect: [140, 130], corner: 8}}
features:
  - {kind: %s, name: a, size: [63.6, 63.6], %s: 20, corner: 9, draft: 6, edge: 3, floor: 3}
`

// TestFreeSide makes a tool, forms the sheet on it and measures the formed part on the side that did
// not touch: the asked depth from the formed land, the asked size at the floor or top, and the wall at
// half height.
func TestFreeSide(t *testing.T) {
	for _, c := range []struct{ kind, contact, measured string }{
		{"pocket", "underside", "upper"},
		{"pocket", "upper", "underside"},
		{"step", "underside", "upper"},
		{"step", "upper", "underside"},
	} {
		t.Run(c.kind+" on the "+c.contact, func(t *testing.T) {
			height, sign := "depth", -1.0
			if c.kind == "step" {
				height, sign = "height", 1.0
			}
			lo, hi := 5.0, 17.0
			if (c.kind == "pocket") == (c.contact == "upper") { // male on the tool: its wall starts a sheet lower
				lo, hi = 3, 14
			}
			r := formedPart(t, fmt.Sprintf(free, c.contact, c.measured, c.kind, height))
			m := measured{r}
			land := m.level(func(p geom.Vec2) bool { return r.Part.Features[0].Outline.At(p).D > 8 && r.Part.Outline.At(p).D < -3 })
			floor := m.level(func(p geom.Vec2) bool { return r.Part.Features[0].Outline.At(p).D < -20 })
			x, y, xm, ym := m.walls(land, sign, lo, hi)
			f := r.Part.Features[0]
			require.InDelta(t, 20, math.Abs(floor-land), 0.05)
			require.InDelta(t, 63.6, x, 0.05)
			require.InDelta(t, 63.6, y, 0.05)
			// Asked draft holds on the tool; on the free side the change of the wall comes off it.
			draft := 6 * geom.Degree
			gain := (r.Body.Walls.Side(f, 20).MM - r.Body.Walls.Side(f, 10).MM) / draft.Cos()
			if (c.kind == "pocket") == (c.contact == "upper") {
				gain = -gain
			}
			want := 63.6 + 2*(10*draft.Tan()+gain)
			require.InDelta(t, want, xm, 0.1)
			require.InDelta(t, want, ym, 0.1)
			// The size holds where a gauge stands. Where the sheet is drawn down on to a floor it thins from its
			// middle towards the fillets, and the tool is flat; what it touches first it leaves even.
			for _, in := range []float64{20, 15, 10, 7} {
				low, high := m.spread(func(p geom.Vec2) bool { return f.Outline.At(p).D < -in })
				t.Logf("%2.0f mm and more inside the outline the height is %.3f to %.3f mm", in, math.Abs(low-land), math.Abs(high-land))
				if in == 20 {
					require.Less(t, high-low, 0.15, "where the middle is measured")
				}
			}
			t.Logf("over the middle %.3f mm, at the floor or top %.3f x %.3f mm, half way %.3f x %.3f mm of %.3f mm", math.Abs(floor-land), x, y, xm, ym, want)
		})
	}
}

// measured takes sizes off the free side of a formed part.
type measured struct{ r *toolgen.Result }

// corners returns triangle t of the free side.
func (m measured) corners(t int) [3]geom.Vec3 {
	s := m.r.Shell
	c := s.Mesh.T[s.Sides+t]
	return [3]geom.Vec3{s.Mesh.V[c[0]], s.Mesh.V[c[1]], s.Mesh.V[c[2]]}
}

// level returns the mean height over the area of the triangles that the test takes.
func (m measured) level(take func(geom.Vec2) bool) float64 {
	sum, area := 0.0, 0.0
	for t := range m.r.Shell.Sides {
		c := m.corners(t)
		mid := c[0].Add(c[1]).Add(c[2]).Scale(1.0 / 3)
		if take(mid.Plan()) {
			a := c[1].Sub(c[0]).Cross(c[2].Sub(c[0])).Norm()
			sum += a * mid.Z
			area += a
		}
	}
	return sum / area
}

// spread returns the lowest and the highest vertex of the free side that the test takes.
func (m measured) spread(take func(geom.Vec2) bool) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for t := range m.r.Shell.Sides {
		for _, v := range m.corners(t) {
			if take(v.Plan()) {
				low, high = min(low, v.Z), max(high, v.Z)
			}
		}
	}
	return low, high
}

// walls lays a line through the free side of the walls and returns the widths along X and Y where it
// meets the floor or top, and at half height.
func (m measured) walls(land, sign, lo, hi float64) (x, y, xm, ym float64) {
	var n, sz, szz, sx, szx, sy, szy float64
	for z := lo; z <= hi; z++ {
		a, b := m.size(land + sign*z)
		n++
		sz += z
		szz += z * z
		sx += a
		szx += z * a
		sy += b
		szy += z * b
	}
	line := func(s, zs, at float64) float64 {
		slope := (n*zs - sz*s) / (n*szz - sz*sz)
		return (s-slope*sz)/n + slope*at
	}
	return line(sx, szx, 20), line(sy, szy, 20), line(sx, szx, 10), line(sy, szy, 10)
}

// size returns the width along X and Y at a height, over the middle of the sides.
func (m measured) size(z float64) (x, y float64) {
	var sum, n [4]float64
	for t := range m.r.Shell.Sides {
		c := m.corners(t)
		for k := range 3 {
			a, b := c[k], c[(k+1)%3]
			if (a.Z < z) == (b.Z < z) {
				continue
			}
			p := a.Add(b.Sub(a).Scale((z - a.Z) / (b.Z - a.Z)))
			switch {
			case math.Abs(p.Y) < 10 && math.Abs(p.X) > 25:
				i := 0
				if p.X < 0 {
					i = 1
				}
				sum[i] += math.Abs(p.X)
				n[i]++
			case math.Abs(p.X) < 10 && math.Abs(p.Y) > 20:
				i := 2
				if p.Y < 0 {
					i = 3
				}
				sum[i] += math.Abs(p.Y)
				n[i]++
			}
		}
	}
	return sum[0]/n[0] + sum[1]/n[1], sum[2]/n[2] + sum[3]/n[3]
}
