package silhouette

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strconv"

	"platen/toolgen/geom"
)

// Binary STL: 80 bytes of header, a count, and 50 bytes a triangle.
const (
	stlHead  = 84
	stlFacet = 50
)

// ReadSTL reads the triangles of an STL file, binary or text.
//
// ERROR: what the file is not, or which triangle holds what is no coordinate; files of more than 400 000
// triangles.
func ReadSTL(data []byte) ([]Triangle, error) {
	if n, ok := binaryCount(data); ok {
		return readBinary(data, n)
	}
	if text := bytes.TrimLeft(data, " \t\r\n"); bytes.HasPrefix(text, []byte("solid")) {
		return readText(text)
	}
	if len(data) < stlHead {
		return nil, fmt.Errorf("no STL file: %d bytes, neither text that starts with solid nor the %d bytes of a binary head", len(data), stlHead)
	}
	n := binary.LittleEndian.Uint32(data[80:])
	return nil, fmt.Errorf("no STL file: its head tells of %d triangles, which are %d bytes, and it has %d", n, stlHead+stlFacet*int64(n), len(data))
}

// binaryCount returns the number of triangles of a binary file: only its length tells it from text.
func binaryCount(data []byte) (int, bool) {
	if len(data) < stlHead {
		return 0, false
	}
	n := int64(binary.LittleEndian.Uint32(data[80:]))
	return int(n), stlHead+stlFacet*n == int64(len(data))
}

func readBinary(data []byte, n int) ([]Triangle, error) {
	if n > mostTriangles {
		return nil, fmt.Errorf("a mesh of %d triangles; at most %d, coarsen it", n, mostTriangles)
	}
	out := make([]Triangle, n)
	for i := range out {
		f := data[stlHead+stlFacet*i+12:] // behind the normal, which the corners give
		for k := range 3 {
			var c [3]float64
			for j := range c {
				c[j] = float64(math.Float32frombits(binary.LittleEndian.Uint32(f[12*k+4*j:])))
			}
			out[i][k] = geom.Vec3{X: c[0], Y: c[1], Z: c[2]}
		}
		if err := out[i].sane(i); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// sane refuses coordinates that no product has.
func (t Triangle) sane(i int) error {
	for _, v := range t {
		if s := math.Abs(v.X) + math.Abs(v.Y) + math.Abs(v.Z); !(s <= mostReach) {
			return fmt.Errorf("triangle %d has a corner at (%g, %g, %g); coordinates to %g", i+1, v.X, v.Y, v.Z, float64(mostReach))
		}
	}
	return nil
}

// readText reads the corners of a text file: of its words only vertex and endfacet count.
func readText(text []byte) ([]Triangle, error) {
	var out []Triangle
	var t Triangle
	corners, line := 0, 0
	for len(text) > 0 {
		l := text
		if i := bytes.IndexByte(text, '\n'); i >= 0 {
			l, text = text[:i], text[i+1:]
		} else {
			text = nil
		}
		line++
		if len(l) > 1000 {
			return nil, fmt.Errorf("no STL text: line %d has %d characters", line, len(l))
		}
		w := bytes.Fields(l)
		switch {
		case len(w) == 4 && string(w[0]) == "vertex":
			v, err := corner(w[1:])
			if err != nil || corners == 3 {
				return nil, fmt.Errorf("line %d of the STL text: %w", line, errors.Join(err, tooMany(corners)))
			}
			t[corners] = v
			corners++
		case len(w) == 1 && string(w[0]) == "endfacet":
			if corners != 3 {
				return nil, fmt.Errorf("line %d of the STL text: a facet of %d corners; 3", line, corners)
			}
			if err := t.sane(len(out)); err != nil {
				return nil, err
			}
			if out, corners = append(out, t), 0; len(out) > mostTriangles {
				return nil, fmt.Errorf("a mesh of more than %d triangles; coarsen it", mostTriangles)
			}
		}
	}
	if corners != 0 {
		return nil, fmt.Errorf("line %d of the STL text: it ends within a facet", line)
	}
	return out, nil
}

func tooMany(corners int) error {
	if corners == 3 {
		return errors.New("a fourth corner of a facet; 3")
	}
	return nil
}

func corner(words [][]byte) (geom.Vec3, error) {
	var c [3]float64
	for i, w := range words {
		v, err := strconv.ParseFloat(string(w), 64)
		if err != nil {
			return geom.Vec3{}, fmt.Errorf("%.40q is no number", w)
		}
		c[i] = v
	}
	return geom.Vec3{X: c[0], Y: c[1], Z: c[2]}, nil
}
