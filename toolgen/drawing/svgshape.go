package drawing

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"platen/toolgen/geom"
)

// root checks the outermost element.
func (s *svg) root(t xml.StartElement, a map[string]string, p Place) {
	if t.Name.Local != "svg" || t.Name.Space != "" && t.Name.Space != svgSpace {
		s.stop(p, "the outermost element is no svg")
	}
	if s.rooted {
		s.stop(p, "a second outermost element")
	}
	s.rooted = true
	if a["transform"] != "" || styleOf(a["style"], "transform") != "" {
		s.stop(p, "the page has a transform: move it to a group")
	}
}

// page returns the map from the user units of the page to mm, Y up from its lower edge.
func (s *svg) page(a map[string]string, p Place) geom.Affine {
	s.unit = s.o.Unit
	if s.unit.MM == 0 {
		s.unit = svgUnits["px"]
	}
	size, given := [2]float64{}, [2]bool{}
	bare := true
	for i, name := range [2]string{"width", "height"} {
		if a[name] == "" || a[name] == "auto" {
			continue
		}
		x, u, err := svgLength(a[name])
		if err != nil || !(x > 0) {
			s.stop(p, "%s=%s is no length above 0", name, quoted([]byte(a[name])))
			return geom.Affine{}
		}
		if u.Name == "%" {
			continue
		}
		given[i] = true
		if u.MM != 0 {
			if bare {
				s.unit = u
			}
			bare = false
			size[i] = x * u.MM
		} else {
			size[i] = x * s.unit.MM
		}
	}
	if !bare && s.o.Unit.MM != 0 && s.o.Unit.MM != s.unit.MM {
		s.stop(p, "the page is sized in %s, but %s was asked for: leave one out", s.unit.Name, s.o.Unit.Name)
	}
	if bare && s.o.Unit.MM == 0 {
		s.note("width and height of the page have no unit: user units are taken for pixels, 96 to the inch")
	}
	return s.view(a, p, size, given, bare)
}

// view lays the viewBox into the page.
func (s *svg) view(a map[string]string, p Place, size [2]float64, given [2]bool, bare bool) geom.Affine {
	scale := s.unit.MM
	if !bare {
		scale = pixel // user units without a viewBox
	}
	box, err := numberList(a["viewBox"])
	if err != nil || len(box) != 4 && len(box) != 0 || len(box) == 4 && !(box[2] > 0 && box[3] > 0) {
		s.stop(p, "viewBox=%s is not four numbers, the last two above 0", quoted([]byte(a["viewBox"])))
		return geom.Affine{}
	}
	if len(box) == 0 {
		foot := size[1]
		if !given[1] {
			foot = 0
		}
		return s.placed(scale, scale, 0, foot)
	}
	var f [2]float64
	for i := range f {
		f[i] = size[i] / box[2+i]
	}
	switch {
	case !given[0] && !given[1]:
		f[0], f[1] = scale, scale
	case !given[0]:
		f[0] = f[1]
	case !given[1]:
		f[1] = f[0]
	}
	if !given[0] {
		size[0] = f[0] * box[2]
	}
	if !given[1] {
		size[1] = f[1] * box[3]
	}
	shift := [2]float64{}
	if !alike(f[0], f[1]) {
		if shift, err = fit(a["preserveAspectRatio"], &f, size, box); err != nil {
			s.stop(p, "%v", err)
			return geom.Affine{}
		}
	}
	return s.placed(f[0], f[1], shift[0]-f[0]*box[0], size[1]-shift[1]+f[1]*box[1])
}

// alike reports whether two scales are one, written with as many digits as the writer cared for.
func alike(x, y float64) bool { return math.Abs(x-y) <= 1e-9*max(x, y) }

// fit makes unlike scales one and returns where the box then lies in the page.
func fit(how string, f *[2]float64, size [2]float64, box []float64) (shift [2]float64, err error) {
	words := strings.Fields(how)
	if len(words) == 0 {
		words = []string{"xMidYMid"}
	}
	if words[0] == "none" {
		return shift, nil
	}
	one := min(f[0], f[1])
	if len(words) > 1 && words[1] == "slice" {
		one = max(f[0], f[1])
	}
	*f = [2]float64{one, one}
	names := [2][3]string{{"xMin", "xMid", "xMax"}, {"YMin", "YMid", "YMax"}}
	if len(words[0]) != 8 {
		return shift, fmt.Errorf("preserveAspectRatio=%s is not known", quoted([]byte(how)))
	}
	for i := range shift {
		known := false
		for k, name := range names[i] {
			if words[0][4*i:4*i+4] == name {
				shift[i] = float64(k) / 2 * (size[i] - one*box[2+i])
				known = true
			}
		}
		if !known {
			return shift, fmt.Errorf("preserveAspectRatio=%s is not known", quoted([]byte(how)))
		}
	}
	return shift, nil
}

// placed returns the map of the page: x to fx x + dx, y to dy - fy y.
func (s *svg) placed(fx, fy, dx, dy float64) geom.Affine {
	s.own = func(p geom.Vec2) geom.Vec2 { return geom.Vec2{X: (p.X - dx) / fx, Y: (dy - p.Y) / fy} }
	return geom.Affine{A: fx, D: -fy, T: geom.Vec2{X: dx, Y: dy}}
}

// shape adds a rect, circle, ellipse or line.
func (s *svg) shape(kind string, a map[string]string, m geom.Affine, p Place) error {
	var err error
	get := func(name string) float64 {
		text := strings.TrimSpace(a[name])
		if text == "" || text == "auto" {
			return 0
		}
		x, u, e := svgLength(text)
		if e != nil {
			err = fmt.Errorf("%s: %w", name, e)
		}
		if u.Name == "%" {
			err = fmt.Errorf("%s=%s is no length", name, quoted([]byte(text)))
		}
		if u.MM != 0 {
			x *= u.MM / pixel
		}
		return x
	}
	switch kind {
	case "line":
		g := seg{a: m.Point(geom.Vec2{X: get("x1"), Y: get("y1")}), b: m.Point(geom.Vec2{X: get("x2"), Y: get("y2")})}
		if err == nil {
			s.add(p, []seg{g}, false)
		}
		return err
	case "rect":
		return s.rect(a, get, &err, m, p)
	}
	rx, ry := get("r"), get("r")
	if kind == "ellipse" {
		rx, ry = get("rx"), get("ry")
	}
	c := geom.Vec2{X: get("cx"), Y: get("cy")}
	if err != nil {
		return err
	}
	if !(rx > 0 && ry > 0) {
		return fmt.Errorf("has the radii %g and %g; they must be above 0", rx, ry)
	}
	s.addCurve(p, true, ellipse{c, geom.Vec2{X: rx}, geom.Vec2{Y: ry}, 0, 2 * math.Pi}.mapped(m).segs)
	return nil
}

func (s *svg) rect(a map[string]string, get func(string) float64, err *error, m geom.Affine, p Place) error {
	x, y, w, h, rx, ry := get("x"), get("y"), get("width"), get("height"), get("rx"), get("ry")
	if *err != nil {
		return *err
	}
	if !(w > 0 && h > 0 && rx >= 0 && ry >= 0) {
		return fmt.Errorf("is %g by %g with the corner radii %g and %g; sides must be above 0", w, h, rx, ry)
	}
	// One radius given stands for both.
	if a["rx"] == "" || a["rx"] == "auto" {
		rx = ry
	}
	if a["ry"] == "" || a["ry"] == "auto" {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx == 0 || ry == 0 {
		rx, ry = 0, 0
	}
	var segs []seg
	last := geom.Vec2{X: x, Y: y + ry}
	for i := range 4 {
		// Corner i, its centre, and the quarter from pointing back along the side before.
		c := geom.Vec2{X: x + rx, Y: y + ry}
		if i == 1 || i == 2 {
			c.X = x + w - rx
		}
		if i >= 2 {
			c.Y = y + h - ry
		}
		e := ellipse{c, geom.Vec2{X: rx}, geom.Vec2{Y: ry}, math.Pi + float64(i)*math.Pi/2, math.Pi / 2}
		from := e.point(e.start)
		if from.Sub(last).Norm() > 1e-9*(w+h) {
			segs = append(segs, seg{a: m.Point(last), b: m.Point(from)})
		}
		last = from
		if rx > 0 && ry > 0 {
			round, err := e.mapped(m).segs()
			if err != nil {
				return err
			}
			segs = append(segs, round...)
			last = e.point(e.start + e.sweep)
		}
	}
	s.add(p, segs, true)
	return nil
}
