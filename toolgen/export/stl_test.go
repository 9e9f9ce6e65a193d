package export_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/export"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// facet is a triangle as it stands in an STL file.
type facet struct {
	Normal, A, B, C [3]float32
	Unused          uint16
}

// readSTL is a reader of its own: it knows the format, not the writer.
func readSTL(t *testing.T, b []byte) (string, []facet) {
	t.Helper()
	r := bytes.NewReader(b)
	var head [80]byte
	var n uint32
	require.NoError(t, binary.Read(r, binary.LittleEndian, &head))
	require.NoError(t, binary.Read(r, binary.LittleEndian, &n))
	fs := make([]facet, n)
	require.NoError(t, binary.Read(r, binary.LittleEndian, fs))
	require.Zero(t, r.Len(), "bytes after the last triangle")
	return strings.TrimRight(string(head[:]), "\x00"), fs
}

func TestSTLRoundTrip(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"box", box(geom.Vec3{X: -60, Y: -40.5, Z: 0}, geom.Vec3{X: 60, Y: 40.5, Z: 30.0625})},
		{"ball", ball(geom.Vec3{X: 1, Y: 2, Z: 3}, 25, 12)},
		{"far ball", ball(geom.Vec3{X: 990, Y: -990}, 30, 12)},
		{"more than a chunk", ball(geom.Vec3{}, 200, 40)},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, export.STL(&b, c.m, "unit mm; datum block; job tray"))
			require.Equal(t, 84+50*len(c.m.T), b.Len())
			head, fs := readSTL(t, b.Bytes())
			require.Equal(t, "unit mm; datum block; job tray", head)
			require.Len(t, fs, len(c.m.T))
			for i, f := range fs {
				for j, p := range [][3]float32{f.A, f.B, f.C} {
					v := c.m.V[c.m.T[i][j]]
					require.Equal(t, v, geom.Vec3{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])})
				}
				a, bb, cc := c.m.V[c.m.T[i][0]], c.m.V[c.m.T[i][1]], c.m.V[c.m.T[i][2]]
				n := geom.Vec3{X: float64(f.Normal[0]), Y: float64(f.Normal[1]), Z: float64(f.Normal[2])}
				require.InDelta(t, 1, n.Norm(), 1e-6)
				require.InDelta(t, 0, n.Dot(bb.Sub(a).Unit()), 1e-6)
				require.InDelta(t, 0, n.Dot(cc.Sub(a).Unit()), 1e-6)
				require.Positive(t, n.Dot(bb.Sub(a).Cross(cc.Sub(a))))
				require.Zero(t, f.Unused)
			}
		})
	}
}

func TestSTLNormalsOfABox(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, export.STL(&b, box(geom.Vec3{}, geom.Vec3{X: 10, Y: 20, Z: 30}), ""))
	_, fs := readSTL(t, b.Bytes())
	want := [][3]float32{{0, 0, -1}, {0, 0, 1}, {0, -1, 0}, {0, 1, 0}, {-1, 0, 0}, {1, 0, 0}}
	for i, f := range fs {
		require.Equal(t, want[i/2], f.Normal, "triangle %d", i)
		for _, x := range f.Normal {
			require.False(t, x == 0 && math.Signbit(float64(x)), "triangle %d has a negative zero", i)
		}
	}
}

func TestSTLWritesNoNegativeZero(t *testing.T) {
	m := box(geom.Vec3{}, geom.Vec3{X: 10, Y: 20, Z: 30})
	var plain, negative bytes.Buffer
	require.NoError(t, export.STL(&plain, m, ""))
	for i := range m.V {
		if m.V[i].X == 0 {
			m.V[i].X = math.Copysign(0, -1)
		}
	}
	require.NoError(t, export.STL(&negative, m, ""))
	require.Equal(t, plain.Bytes(), negative.Bytes())
}

func TestSTLHeader(t *testing.T) {
	require.Equal(t, "unit mm; datum block-centre base; job tray", export.STLHeader("block-centre base", "tray"))
	require.Equal(t, "unit mm; datum base; job d?ner", export.STLHeader("base", "d\u00f6ner"))
	long := export.STLHeader("block-centre base", strings.Repeat("long ", 40))
	require.Len(t, long, 80)
	require.True(t, strings.HasPrefix(long, "unit mm; datum block-centre base; job long"))
	require.NoError(t, export.STL(io.Discard, box(geom.Vec3{}, geom.Vec3{X: 1, Y: 1, Z: 1}), long))
}

func TestSTLRefuses(t *testing.T) {
	good := func() *mesh.Mesh { return box(geom.Vec3{}, geom.Vec3{X: 1, Y: 1, Z: 1}) }
	with := func(change func(*mesh.Mesh)) *mesh.Mesh {
		m := good()
		change(m)
		return m
	}
	for _, c := range []struct {
		name, header string
		m            *mesh.Mesh
		want         string
	}{
		{"header solid", "solid tray", good(), "begins with \"solid\""},
		{"header Solid after spaces", "  SOLID", good(), "begins with \"solid\""},
		{"header too long", strings.Repeat("x", 81), good(), "81 bytes"},
		{"header not ASCII", "d\u00f6ner", good(), "only printable ASCII"},
		{"header with line break", "a\nb", good(), "only printable ASCII"},
		{"empty", "", &mesh.Mesh{}, "at least 4"},
		{"index too high", "", with(func(m *mesh.Mesh) { m.T[3][1] = 8 }), "triangle 3 names vertex 8, the mesh has 0 to 7"},
		{"index negative", "", with(func(m *mesh.Mesh) { m.T[3][1] = -1 }), "triangle 3 names vertex -1"},
		{"index twice", "", with(func(m *mesh.Mesh) { m.T[2][1] = m.T[2][0] }), "triangle 2 names a vertex twice"},
		{"NaN", "", with(func(m *mesh.Mesh) { m.V[5].Y = math.NaN() }), "vertex 5 is not finite"},
		{"infinite", "", with(func(m *mesh.Mesh) { m.V[5].Z = math.Inf(-1) }), "vertex 5 is not finite"},
		{"too far for float32", "", with(func(m *mesh.Mesh) { m.V[5].Z = 1e39 }), "vertex 5 at"},
		{"no area", "", with(func(m *mesh.Mesh) { m.V[1] = geom.Vec3{X: 0.5, Y: 0.5} }), "has no area"},
		{"flat after rounding", "", box(geom.Vec3{X: 5000}, geom.Vec3{X: 5000 + 1.0/16384, Y: 1, Z: 1}), "has no area"},
		{"together after rounding", "", together(), "fall together in float32"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorContains(t, export.STL(&b, c.m, c.header), c.want)
			require.Zero(t, b.Len(), "bytes written before the refusal")
		})
	}
}

// together returns two boxes whose facing corners are one grid step apart, far enough out that
// float32 can not tell them apart.
func together() *mesh.Mesh {
	const far = 5000
	m := box(geom.Vec3{X: far - 1}, geom.Vec3{X: far, Y: 1, Z: 1})
	o := box(geom.Vec3{X: far + 1.0/16384, Y: 1, Z: 1}, geom.Vec3{X: far + 1, Y: 2, Z: 2})
	for _, t := range o.T {
		m.T = append(m.T, [3]int32{t[0] + 8, t[1] + 8, t[2] + 8})
	}
	m.V = append(m.V, o.V...)
	return m
}

// full fails every write after the first n bytes.
type full struct{ left int }

var errFull = errors.New("no space left")

func (f *full) Write(p []byte) (int, error) {
	if f.left -= len(p); f.left < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestWritersReportAFullDisk(t *testing.T) {
	m := ball(geom.Vec3{}, 200, 60)
	for _, n := range []int{0, 83, 84, 60000, 200000} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			require.ErrorIs(t, export.STL(&full{n}, m, ""), errFull)
			require.ErrorIs(t, export.ThreeMF(&full{min(n, 100000)}, m, export.Meta{}), errFull)
		})
	}
	require.ErrorIs(t, export.DrillCSV(&full{}, nil), errFull)
}

func BenchmarkSTL(b *testing.B) {
	m := ball(geom.Vec3{}, 200, 500) // a million triangles
	b.ReportMetric(float64(len(m.T)), "triangles")
	for b.Loop() {
		require.NoError(b, export.STL(io.Discard, m, ""))
	}
}
