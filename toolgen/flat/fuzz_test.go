package flat_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/exact"
	"platen/toolgen/flat"
	"platen/toolgen/geom"
)

// FuzzTriangulate reads one loop and free points, a byte a point on a 16 x 16 grid: many collinear,
// cocircular, touching and crossing cases.
func FuzzTriangulate(f *testing.F) {
	f.Add([]byte{0x00, 0xf0, 0xff, 0x0f}, []byte{0x55})
	f.Add([]byte{0x11, 0xe1, 0xee, 0x1e, 0x88, 0x68, 0x66, 0x86}, []byte{0x33, 0xaa})
	f.Add([]byte{0x00, 0x80, 0xf0, 0xff, 0x8f, 0x0f, 0x08}, []byte{})
	f.Add([]byte{0x00, 0xf0, 0x0f, 0xff}, []byte{})
	f.Fuzz(func(t *testing.T, loop, free []byte) {
		if len(loop) > 40 || len(free) > 40 {
			return
		}
		var p pts
		var es edges
		index := map[byte]int32{}
		point := func(b byte) int32 {
			if i, ok := index[b]; ok {
				return i
			}
			index[b] = int32(len(p))
			p = append(p, geom.Vec2{X: float64(b >> 4), Y: float64(b & 15)})
			return index[b]
		}
		for i, b := range loop {
			es = append(es, [2]int32{point(b), point(loop[(i+1)%len(loop)])})
		}
		for _, b := range free {
			point(b)
		}
		tris, err := flat.Triangulate(p, es)
		if err == nil {
			requireRegion(t, p, es, tris)
			requireDelaunay(t, nest(p, tris), es, tris)
			return
		}
		var fault *flat.Fault
		require.True(t, errors.As(err, &fault), "%v", err)
		switch fault.Kind {
		case flat.Crossing, flat.OnEdge:
			require.True(t, meets(p, es), "%v", err)
		case flat.Contradiction:
			require.False(t, simple(p, es), "%v", err)
		default:
			require.Contains(t, []flat.Kind{flat.Twice, flat.NoLength}, fault.Kind, "%v", err)
		}
	})
}

// meets reports whether two edges cross or a point lies inside an edge.
func meets(p pts, es edges) bool {
	for i, e := range es {
		a, b := p[e[0]], p[e[1]]
		for _, q := range p {
			if exact.Orient2D(a, b, q) == 0 && q.Sub(a).Dot(b.Sub(a)) > 0 && q.Sub(b).Dot(a.Sub(b)) > 0 {
				return true
			}
		}
		for _, g := range es[:i] {
			c, d := p[g[0]], p[g[1]]
			if exact.Orient2D(a, b, c)*exact.Orient2D(a, b, d) < 0 && exact.Orient2D(c, d, a)*exact.Orient2D(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// simple reports whether the edges are one counter-clockwise loop that visits no point twice.
func simple(p pts, es edges) bool {
	seen := map[int32]bool{}
	for _, e := range es {
		if seen[e[0]] {
			return false
		}
		seen[e[0]] = true
	}
	return !meets(p, es) && enclosed(p, es) > 0
}
