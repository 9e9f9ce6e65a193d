// Package export owns the files a shop's machines read: the tool as binary STL and as 3MF, and the
// drill list as CSV. Each writer is a plain function to an io.Writer; it checks what its format
// demands before the first byte, writes the same bytes for the same input, and never decides
// anything about the tool. Lengths are millimetres in the tool datum.
package export

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

const (
	stlHeader = 80      // bytes before the triangle count
	stlRecord = 50      // bytes a triangle: normal, three vertices, two unused bytes
	stlChunk  = 1 << 10 // triangles handed to the writer at once
	exactSpan = 1 << 10 // mm; up to here float32 holds the 2^-14 mm grid exactly
	stlUnit   = "unit mm"
)

// STLHeader returns the text for the 80-byte head of a binary STL: the unit, the datum and the job.
// Characters outside printable ASCII become "?", and the text is cut at 80 bytes, so the unit and
// the datum stay and a long job name loses its end.
func STLHeader(datum, job string) string {
	s := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, fmt.Sprintf("%s; datum %s; job %s", stlUnit, datum, job))
	return s[:min(len(s), stlHeader)]
}

// STL writes m as binary STL: 80 bytes of header padded with zeros, the number of triangles, then
// 50 bytes a triangle, all little-endian, in the order of m.T.
//
// Coordinates are millimetres as float32. That is exact for vertices on the 2^-14 mm grid up to
// 1024 mm from the datum; farther out a coordinate moves by at most 2^-13 mm up to 4096 mm. Normals
// are the unit normals of the rounded triangles, so they fit what is in the file.
//
// A header that is too long, not ASCII or begins with "solid" (readers take that for the text form)
// is refused, and so is a mesh with a broken index, a coordinate that is not finite, a triangle that
// rounding makes flat, or two vertices that rounding makes one. Nothing is written then.
func STL(w io.Writer, m *mesh.Mesh, header string) error {
	if err := checkHeader(header); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	if err := check(m); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	if uint64(len(m.T)) > math.MaxUint32 {
		return fmt.Errorf("stl: %d triangles, the format holds at most %d", len(m.T), uint32(math.MaxUint32))
	}
	v := rounded(m.V)
	if err := checkRounded(m, v); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	head := make([]byte, stlHeader+4)
	copy(head, header)
	binary.LittleEndian.PutUint32(head[stlHeader:], uint32(len(m.T)))
	if _, err := w.Write(head); err != nil {
		return fmt.Errorf("stl: %w", err)
	}
	buf := make([]byte, 0, stlChunk*stlRecord)
	for ts := range slices.Chunk(m.T, stlChunk) {
		buf = buf[:0]
		for _, t := range ts {
			buf = appendRecord(buf, v[t[0]], v[t[1]], v[t[2]])
		}
		if _, err := w.Write(buf); err != nil {
			return fmt.Errorf("stl: %w", err)
		}
	}
	return nil
}

func checkHeader(h string) error {
	if len(h) > stlHeader {
		return fmt.Errorf("header of %d bytes, at most %d are allowed", len(h), stlHeader)
	}
	if strings.HasPrefix(strings.ToLower(strings.TrimLeft(h, " ")), "solid") {
		return fmt.Errorf("header %q begins with \"solid\", which marks the text form", h)
	}
	for i := range len(h) {
		if h[i] < ' ' || h[i] > '~' {
			return fmt.Errorf("header byte %d is %#x, only printable ASCII is allowed", i, h[i])
		}
	}
	return nil
}

// rounded returns the vertices as the float32 numbers of the file, without negative zeros.
func rounded(vs []geom.Vec3) [][3]float32 {
	out := make([][3]float32, len(vs))
	for i, v := range vs {
		// x + 0 turns -0 into 0 and leaves every other number alone.
		out[i] = [3]float32{float32(v.X) + 0, float32(v.Y) + 0, float32(v.Z) + 0}
	}
	return out
}

// checkRounded refuses what rounding to float32 spoils. A mesh that rounding leaves alone passes as
// it is: its audit holds for the file.
func checkRounded(m *mesh.Mesh, v [][3]float32) error {
	exact := true
	for i, p := range m.V {
		if math.Abs(p.X) > math.MaxFloat32 || math.Abs(p.Y) > math.MaxFloat32 || math.Abs(p.Z) > math.MaxFloat32 {
			return fmt.Errorf("vertex %d at %v is beyond the range of the format", i, p)
		}
		exact = exact && float64(v[i][0]) == p.X && float64(v[i][1]) == p.Y && float64(v[i][2]) == p.Z
	}
	for i, t := range m.T {
		if normal(v[t[0]], v[t[1]], v[t[2]]) == (geom.Vec3{}) {
			return fmt.Errorf("triangle %d at %v has no area in float32 (exact up to %d mm from the datum)",
				i, m.V[t[0]], exactSpan)
		}
	}
	if exact {
		return nil
	}
	order := make([]int32, len(v))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return slices.Compare(v[a][:], v[b][:]) })
	for i := 1; i < len(order); i++ {
		if a, b := order[i-1], order[i]; v[a] == v[b] && m.V[a] != m.V[b] {
			return fmt.Errorf("vertices %d and %d at %v fall together in float32 (exact up to %d mm from the datum)",
				a, b, m.V[a], exactSpan)
		}
	}
	return nil
}

func point(p [3]float32) geom.Vec3 {
	return geom.Vec3{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}
}

// normal returns the unit normal of the triangle, zero for a flat one.
func normal(a, b, c [3]float32) geom.Vec3 {
	o := point(a)
	return point(b).Sub(o).Cross(point(c).Sub(o)).Unit()
}

func appendRecord(buf []byte, a, b, c [3]float32) []byte {
	n := normal(a, b, c)
	for _, p := range [4][3]float32{{float32(n.X) + 0, float32(n.Y) + 0, float32(n.Z) + 0}, a, b, c} {
		for _, x := range p {
			buf = binary.LittleEndian.AppendUint32(buf, math.Float32bits(x))
		}
	}
	return append(buf, 0, 0)
}

// leastTriangles is the fewest a closed body can have.
const leastTriangles = 4

// check refuses a mesh no format can carry. Whether it is closed and outward is the audit's affair.
func check(m *mesh.Mesh) error {
	if len(m.T) < leastTriangles {
		return fmt.Errorf("mesh of %d triangles, a body has at least %d", len(m.T), leastTriangles)
	}
	if len(m.V) > math.MaxInt32 {
		return errors.New("mesh of more than 2^31 - 1 vertices")
	}
	for i, v := range m.V {
		if !v.IsFinite() {
			return fmt.Errorf("vertex %d is not finite: %v", i, v)
		}
	}
	n := int32(len(m.V))
	for i, t := range m.T {
		for _, k := range t {
			if k < 0 || k >= n {
				return fmt.Errorf("triangle %d names vertex %d, the mesh has 0 to %d", i, k, n-1)
			}
		}
		if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
			return fmt.Errorf("triangle %d names a vertex twice: %v", i, t)
		}
	}
	return nil
}
