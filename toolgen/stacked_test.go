package toolgen_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image/png"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/geom"
	"platen/toolgen/stack"
)

// meridian is a place of the section of a round cup: distance from its axis, height over the land, and
// direction off the tool.
type meridian struct{ r, z, nr, nz float64 }

// cup returns the section of a cup from the land to the middle of its floor, by lines and arcs: a mouth of
// radius r0 before rounding, a wall that leans inward by draft, roundings tangent to their neighbours.
func cup(r0, depth, draft, edge, floor, step float64) []meridian {
	var out []meridian
	line := func(r1, z1, r2, z2, nr, nz float64) {
		n := int(math.Hypot(r2-r1, z2-z1)/step) + 1
		for i := range n {
			u := float64(i) / float64(n)
			out = append(out, meridian{r1 + u*(r2-r1), z1 + u*(z2-z1), nr, nz})
		}
	}
	c, s, t := math.Cos(draft), math.Sin(draft), math.Tan(draft)
	reach := func(radius float64) float64 { return radius * math.Tan((math.Pi/2-draft)/2) }
	// Edge: middle inside the tool, below the land. Floor rounding: middle in the air, over the floor.
	er, ez := r0+reach(edge), -edge
	fr, fz := r0-depth*t-reach(floor), -depth+floor
	line(er+20, 0, er, 0, 0, 1)
	n := int(edge/step) + 8
	for i := range n { // from straight up to off the wall, towards the axis and up
		a := float64(i) / float64(n) * (math.Pi/2 - draft)
		out = append(out, meridian{er - edge*math.Sin(a), ez + edge*math.Cos(a), -math.Sin(a), math.Cos(a)})
	}
	line(er-edge*c, ez+edge*s, fr+floor*c, fz-floor*s, -c, s)
	n = int(floor/step) + 8
	for i := range n {
		a := draft + float64(i)/float64(n)*(math.Pi/2-draft)
		out = append(out, meridian{fr + floor*math.Cos(a), fz - floor*math.Sin(a), -math.Cos(a), math.Sin(a)})
	}
	line(fr, -depth, 0, -depth, 0, 1)
	return out
}

// over returns the most by which the first of two sections, both running inward, lies over the second.
func over(a, b [][2]float64) float64 {
	most := math.Inf(-1)
	for k, pair := range [2][2][][2]float64{{a, b}, {b, a}} {
		at, other, j := pair[0], pair[1], 0
		for _, p := range at {
			for j+2 < len(other) && other[j+1][0] > p[0] {
				j++
			}
			q, r := other[j], other[j+1]
			if p[0] > q[0] || p[0] < r[0] || q[0] == r[0] {
				continue
			}
			z := q[1] + (r[1]-q[1])*(p[0]-q[0])/(r[0]-q[0])
			most = max(most, (p[1]-z)*float64(1-2*k))
		}
	}
	return most
}

// TestNestOfAFormedCup holds the nest pitch of formed cups against sections of its own: analytic arcs and
// lines, moved by the formed wall along their normals, azimuth by azimuth.
func TestNestOfAFormedCup(t *testing.T) {
	for _, c := range []struct {
		side         string
		gauge, draft float64
	}{{"underside", 0.8, 7}, {"underside", 0.5, 4}, {"upper", 1, 10}} {
		r, err := toolgen.Check(context.Background(), read(t, fmt.Sprintf(`format: 1
name: cup
sheet: {material: PETG, gauge: %g}
tool: {material: aluminium 5083, contact: %s, measured: %s}
part: {outline: {circle: 110}}
shrink: {off: true}
features:
  - {kind: pocket, outline: {circle: 64}, holds: opening, depth: 22, draft: %g, edge: 2, floor: 4}
`, c.gauge, c.side, c.side, c.draft)), toolgen.Options{Kinds: features.All(), NoBand: true})
		require.NoError(t, err)
		section := cup(32, 22, c.draft*math.Pi/180, 2, 4, 0.05)
		at := func(phi float64) float64 {
			var contact, free [][2]float64
			for _, m := range section {
				wall, ok := r.Formed.Wall(r.Body.Map.Point(geom.Vec3{X: m.r * math.Cos(phi), Y: m.r * math.Sin(phi), Z: m.z}))
				require.True(t, ok)
				if c.side == "upper" {
					wall = -wall
				}
				contact = append(contact, [2]float64{m.r, m.z})
				free = append(free, [2]float64{m.r + wall*m.nr, m.z + wall*m.nz})
			}
			if c.side == "upper" {
				return over(contact, free)
			}
			return over(free, contact)
		}
		best, where := 0.0, 0.0
		for k := range 120 {
			if p := at(float64(k) * math.Pi / 60); p > best {
				best, where = p, float64(k)*math.Pi/60
			}
		}
		nest := r.Stack.Nest
		// The thickest place may lie between two azimuths: there and around where the program has it.
		top := nest.Peaks[0].At
		for _, mid := range []float64{where, math.Atan2(top.Y, top.X)} {
			for k := -20; k <= 20; k++ {
				best = max(best, at(mid+float64(k)*math.Pi/60/20))
			}
		}
		require.InDelta(t, best, nest.Lift, 0.02, "%+v", c)
		require.True(t, nest.Jams())
	}
}

// BenchmarkStackingTray measures what stacking takes beside forming.
func BenchmarkStackingTray(b *testing.B) {
	text, err := os.ReadFile("../examples/stacking_tray.yaml")
	require.NoError(b, err)
	r, err := toolgen.Check(context.Background(), read(b, string(text)), toolgen.Options{Kinds: features.All(), NoBand: true})
	require.NoError(b, err)
	b.Run("sample", func(b *testing.B) {
		for b.Loop() {
			_, err := stack.New(context.Background(), r.Body, r.Formed)
			require.NoError(b, err)
		}
	})
	p, err := stack.New(context.Background(), r.Body, r.Formed)
	require.NoError(b, err)
	b.Run("put", func(b *testing.B) {
		for b.Loop() {
			_, err := stack.Put(context.Background(), p, p, stack.Half(p))
			require.NoError(b, err)
		}
	})
	rest, err := stack.Put(context.Background(), p, p, stack.Half(p))
	require.NoError(b, err)
	b.Run("rooms", func(b *testing.B) {
		for b.Loop() {
			_, err := rest.Rooms(context.Background())
			require.NoError(b, err)
		}
	})
	b.Run("plays", func(b *testing.B) {
		for b.Loop() {
			_, err := rest.Plays(context.Background())
			require.NoError(b, err)
		}
	})
	b.Run("bear", func(b *testing.B) {
		for b.Loop() {
			_, err := rest.Bear(context.Background(), stack.Asked{Layers: 2})
			require.NoError(b, err)
		}
	})
}

// TestStackFiles builds what tells of stacking: sections that close, are as large as walls make them and
// touch where the pitch says, and the same numbers in the file as on the study.
func TestStackFiles(t *testing.T) {
	r, err := toolgen.Build(context.Background(), read(t, `format: 1
name: cup
sheet: {material: PETG, gauge: 0.8}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [110, 90], corner: 8}}
shrink: {off: true}
stack: {layers: 4, load: 250, way: none}
features:
  - {kind: pocket, outline: {circle: 50}, holds: opening, depth: 16, draft: 8, edge: 2, floor: 4}
`), toolgen.Options{Kinds: features.All(), NoBand: true, Only: []string{"stack.json", "stack.png"}})
	require.NoError(t, err)
	for _, rest := range []*stack.Rest{r.Stack.Nest, r.Stack.Turned} {
		cut := rest.Cut(r.Shell.Mesh, r.Shell.Mesh)
		for _, edges := range [][][2]geom.Vec2{cut.Lower, cut.Upper} {
			var sum geom.Vec2
			area := 0.0
			for _, e := range edges {
				sum = sum.Add(e[1].Sub(e[0]))
				area += e[0].Cross(e[1]) / 2
			}
			require.InDelta(t, 0, sum.Norm(), 1e-9, "the edges close")
			// A plane through the part is no longer than its diagonal and the walls of the cup, and cuts
			// no more than the gauge and no less than half of it on average.
			require.Greater(t, area, 90*0.4)
			require.Less(t, area, (math.Hypot(110, 90)+2*16/math.Cos(8*math.Pi/180))*0.8)
		}
		require.InDelta(t, rest.Peaks[0].At.Z, cut.At.Z, 0)
	}
	files := r.Artefacts()
	require.Len(t, files, 2)
	var text, picture bytes.Buffer
	require.NoError(t, files[0].Write(&text))
	var told toolgen.StackSummary
	require.NoError(t, json.Unmarshal(text.Bytes(), &told))
	require.Equal(t, *r.StackSummary(), told)
	require.Len(t, told.Plays, len(stack.Ways()))
	require.InDelta(t, r.Stack.Nest.Lift, told.Nest.Pitch, 5e-4)
	require.InDelta(t, r.Shell.Mass(), told.Bear.Own, 0.03*r.Shell.Mass())
	require.InDelta(t, 3*(0.25+told.Bear.Own/1000)*9.80665, told.Bear.Force, 1e-3)
	require.NoError(t, files[1].Write(&picture))
	img, err := png.Decode(&picture)
	require.NoError(t, err)
	require.Equal(t, 1600, img.Bounds().Dx())
}

// TestStackIsCancelled ends in the middle of the study.
func TestStackIsCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	seen := ""
	_, err := toolgen.Check(ctx, read(t, pocketJob), toolgen.Options{Kinds: features.All(), NoBand: true, Observe: func(stage string) {
		if seen = stage; stage == "stacking" {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, "stacking", seen)
}

const pocketJob = `format: 1
name: cup
sheet: {material: PETG, gauge: 0.8}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [110, 90], corner: 8}}
features:
  - {kind: pocket, outline: {circle: 50}, holds: opening, depth: 16, draft: 8, edge: 2, floor: 4}
`

// TestStackTheAskedWay: lugs that hold a half-turned part higher count for nothing in a stack that the job wants
// the same way up.
func TestStackTheAskedWay(t *testing.T) {
	for _, c := range []struct{ asked, way string }{{"", "half turn"}, {"stack: {way: half_turn, layers: 4}", "half turn"}, {"stack: {way: same_way, layers: 4}", "same way"}} {
		r, err := toolgen.Check(context.Background(), read(t, `format: 1
name: lugs
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [150, 100], corner: 8}}
features:
  - {kind: pocket, size: [60, 50], depth: 12, draft: 15}
  - {kind: stacking_lug, at: [-52, -30], size: [20, 16], height: 9, corner: 4, draft: 15}
  - {kind: stacking_lug, at: [-52, 34], size: [20, 16], height: 9, corner: 4, draft: 15}
  - {kind: stacking_lug, at: [52, 2], size: [20, 16], height: 9, corner: 4, draft: 15}
`+c.asked+"\n"), toolgen.Options{Kinds: features.All(), NoBand: true})
		require.NoError(t, err)
		s := r.StackSummary()
		require.NotNil(t, s)
		require.Greater(t, s.Turned.Pitch, s.Nest.Pitch+1, "turned, the lugs carry")
		require.Equal(t, c.way, s.Way)
		pitch := s.Turned.Pitch
		if c.way == "same way" {
			pitch = s.Nest.Pitch
		}
		require.InDelta(t, s.Height+float64(s.Layers-1)*pitch, s.Tall, 0.001*float64(s.Layers))
	}
}
