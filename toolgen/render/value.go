package render

import (
	"math"
	"strconv"

	"platen/toolgen/geom"
)

// scaleTones run from the least value to the largest. Their lightness rises by even steps (CIE L*
// 28, 40 ... 88), so that equal differences look equal and a grey print keeps the order.
var scaleTones = [...]tone{hex(0x71293f), hex(0x9b433e), hex(0xab6e3d), hex(0xae9a5a), hex(0xa9c493), hex(0xc3e4dc)}

// Scale colours the surface by a value at every vertex and draws the scale beside it.
type Scale struct {
	Values []float64 // by vertex; NaN: unknown, drawn grey
	Label  string    // what and in which unit, e.g. "wall, mm"
	Step   float64   // the ends of the scale are multiples of it; 0 takes the values as they are
}

// ends returns the least and the largest value of the scale.
func (v *Scale) ends() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, x := range v.Values {
		if !math.IsNaN(x) {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	if v.Step > 0 {
		lo, hi = float64(math.Floor(lo/v.Step+stepSlack)*v.Step), float64(math.Ceil(hi/v.Step-stepSlack)*v.Step)
	}
	if !(hi > lo) {
		hi = lo + max(v.Step, 1e-9)
	}
	return lo, hi
}

// stepSlack keeps a value that is a step but for rounding from the next one.
const stepSlack = 1e-6

// toneOf returns the colour at a share of the scale from 0 to 1.
func toneOf(share float64) tone {
	x := min(max(share, 0), 1) * float64(len(scaleTones)-1)
	i := min(int(x), len(scaleTones)-2)
	return scaleTones[i].mix(scaleTones[i+1], x-float64(i))
}

// colour returns the colour of triangle t at p.
func (s *scene) colour(t int32, p geom.Vec3) tone {
	if s.scale == nil {
		return s.tint(t)
	}
	c := s.m.T[t]
	a, b, d := s.m.V[c[0]], s.m.V[c[1]], s.m.V[c[2]]
	n := b.Sub(a).Cross(d.Sub(a))
	v, w := 0.0, 0.0
	if area := n.Dot(n); area > 0 {
		v = min(max(p.Sub(a).Cross(d.Sub(a)).Dot(n)/area, 0), 1)
		w = min(max(b.Sub(a).Cross(p.Sub(a)).Dot(n)/area, 0), 1)
	}
	x := float64(max(1-v-w, 0)*s.scale.Values[c[0]]) + float64(v*s.scale.Values[c[1]]) + float64(w*s.scale.Values[c[2]])
	if math.IsNaN(x) {
		return plain
	}
	return toneOf((x - s.low) / (s.high - s.low))
}

// evenLight is how much of the light is spread evenly in a picture by value: shadows must not pass
// for another value.
const evenLight = 0.6

// Sizes of the colour scale, default pixels.
const (
	scaleWidth  = 24
	scaleHeight = 260
	scaleTicks  = 5
)

// colourScale draws the scale at the right.
func (s *sheet) colourScale(v *Scale, width int) {
	lo, hi := v.ends()
	x1 := float64(width)/s.zoom - border
	x0, y0 := x1-scaleWidth, border+2.6*titleSize
	b := s.img.Bounds()
	for py := max(0, int(y0*s.zoom)); py < min(b.Dy(), int((y0+scaleHeight)*s.zoom)); py++ {
		c := toneOf(1 - ((float64(py)+0.5)/s.zoom-y0)/scaleHeight).rgba()
		for px := max(0, int(x0*s.zoom)); px < min(b.Dx(), int(x1*s.zoom)); px++ {
			s.img.SetRGBA(px, py, c)
		}
	}
	for k := range scaleTicks {
		share := float64(k) / (scaleTicks - 1)
		y := y0 + float64(scaleHeight*(1-share))
		label := strconv.FormatFloat(lo+float64(share*(hi-lo)), 'f', 2, 64)
		s.stroke(x0-7, y, x0, y, 1.6, ink)
		s.text(x0-12-s.measure(label, smallSize, false), y+smallSize*0.36, label, smallSize, false, ink)
	}
	s.text(x1-s.measure(v.Label, smallSize, true), y0-14, v.Label, smallSize, true, ink)
}
