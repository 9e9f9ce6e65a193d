package drawing

import (
	"fmt"
	"math"
	"strings"

	"platen/toolgen/geom"
)

// mostTransforms bounds a list of transforms.
const mostTransforms = 1000

// svgTransform reads a transform attribute: the last one in the list is done first.
func svgTransform(text string) (geom.Affine, error) {
	m := geom.Moved(geom.Vec2{})
	s := svgScan{s: text}
	for n := 0; s.more(); n++ {
		if n == mostTransforms {
			return m, fmt.Errorf("a list of more than %d transforms", mostTransforms)
		}
		name, args, ok := strings.Cut(s.s[s.at:], "(")
		body, _, closed := strings.Cut(args, ")")
		if !ok || !closed {
			return m, fmt.Errorf("the transform %s is not written name(numbers)", quoted([]byte(s.s[s.at:])))
		}
		s.at += len(name) + len(body) + 2
		v, err := numberList(body)
		if err != nil {
			return m, fmt.Errorf("transform: %w", err)
		}
		t, err := oneTransform(strings.TrimSpace(name), v)
		if err != nil {
			return m, err
		}
		m = t.Then(m)
	}
	if d := m.Det(); d-d != 0 || d == 0 {
		return m, fmt.Errorf("the transform %s leaves no area", quoted([]byte(text)))
	}
	return m, nil
}

func oneTransform(name string, v []float64) (geom.Affine, error) {
	wrong := fmt.Errorf("the transform %s with %d numbers; read are matrix of 6, translate and scale of 1 or 2, rotate of 1 or 3, skewX and skewY of 1",
		quoted([]byte(name)), len(v))
	opt := func(i int, other float64) float64 {
		if i < len(v) {
			return v[i]
		}
		return other
	}
	if len(v) == 0 || len(v) > 6 {
		return geom.Affine{}, wrong
	}
	deg := geom.Angle(math.Mod(v[0], 360)) * geom.Degree
	switch {
	case name == "matrix" && len(v) == 6:
		return geom.Affine{A: v[0], C: v[1], B: v[2], D: v[3], T: geom.Vec2{X: v[4], Y: v[5]}}, nil
	case name == "translate" && len(v) <= 2:
		return geom.Moved(geom.Vec2{X: v[0], Y: opt(1, 0)}), nil
	case name == "scale" && len(v) <= 2:
		return geom.Scaled(v[0], opt(1, v[0])), nil
	case name == "rotate" && (len(v) == 1 || len(v) == 3):
		c := geom.Vec2{X: opt(1, 0), Y: opt(2, 0)}
		return geom.Moved(c.Scale(-1)).Then(geom.Turned(deg)).Then(geom.Moved(c)), nil
	case name == "skewX" && len(v) == 1:
		return geom.Affine{A: 1, B: deg.Tan(), D: 1}, nil
	case name == "skewY" && len(v) == 1:
		return geom.Affine{A: 1, C: deg.Tan(), D: 1}, nil
	}
	return geom.Affine{}, wrong
}
