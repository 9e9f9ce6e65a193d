package render

import (
	"image"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

// scene is everything a sample needs to find its colour.
type scene struct {
	m       *mesh.Mesh
	cam     camera
	buf     *buffer
	ground  *terrain
	bench   *benchTop
	corners [][3]geom.Vec3
	tint    func(t int32) tone
	scale   *Scale // nil: by piece
	low     float64
	high    float64
}

// Strength of the lights: a sky from straight above, light thrown back from the bench, the key
// light, and a weak one from the viewer that keeps shadows readable.
const (
	skyLight    = 0.46
	benchLight  = 0.10
	keyLight    = 0.58
	viewerLight = 0.14
)

// Colours of the lights.
var (
	skyTone = tone{0.97, 1.0, 1.04}
	keyTone = tone{1.05, 1.0, 0.94}
)

func draw(m *mesh.Mesh, view View, marks []Mark, o Options) *image.RGBA {
	cam := newCamera(m, view, o)
	at := make([]geom.Vec3, len(m.V))
	for i, v := range m.V {
		at[i] = cam.project(v)
	}
	weighted, unit := faces(m)
	s := &scene{
		m: m, cam: cam, ground: newTerrain(m), tint: tints(m, o.Pieces),
		buf:     rasterise(m, at, o.Width*supersample, o.Height*supersample),
		corners: corners(m, weighted, unit),
	}
	if s.scale = o.Scale; s.scale != nil {
		s.low, s.high = s.scale.ends()
	}
	s.bench = newBenchTop(s.ground, cam.light)
	zoom := float64(o.Height) / defaultHeight
	s.buf.drawLines(lines(m, unit, &cam, o), at, zoom)
	img := image.NewRGBA(image.Rect(0, 0, o.Width, o.Height))
	bands(o.Height, bandRows/supersample, func(lo, hi int) {
		var sky skyCache
		for y := lo; y < hi; y += skyBlock {
			for x := 0; x < o.Width; x += skyBlock {
				sky.n = 0
				for py := y; py < min(y+skyBlock, hi); py++ {
					for px := x; px < min(x+skyBlock, o.Width); px++ {
						img.SetRGBA(px, py, s.pixel(px, py, &sky).rgba())
					}
				}
			}
		}
	})
	sh := &sheet{img: img, zoom: zoom, cam: &cam, buf: s.buf}
	for _, k := range marks {
		sh.mark(k)
	}
	sh.letter(m, view, o)
	if o.Scale != nil {
		sh.colourScale(o.Scale, o.Width)
	}
	return img
}

// pixel returns the mean of its samples; a triangle is shaded once a pixel.
func (s *scene) pixel(px, py int, sky *skyCache) tone {
	sum := tone{}
	var seen [supersample * supersample]int32
	var colours [supersample * supersample]tone
	n := 0
	for j := range supersample {
		for i := range supersample {
			x, y := px*supersample+i, py*supersample+j
			k := y*s.buf.w + x
			t := s.buf.tri[k]
			at := 0
			for at < n && seen[at] != t {
				at++
			}
			if at == n {
				seen[n], colours[n] = t, s.sample(float64(x)+0.5, float64(y)+0.5, float64(s.buf.depth[k]), t, sky)
				n++
			}
			sum = sum.add(colours[at].mix(ink, float64(s.buf.ink[k])/255))
		}
	}
	return sum.scale(1.0 / (supersample * supersample))
}

// skyBlock is the side of the blocks of pixels that share what the body keeps off: that light
// changes slowly along a surface and costs most to find.
const skyBlock = 2

// skyCache holds what was found for the surfaces seen in one block.
type skyCache struct {
	n    int
	seen [4]struct {
		p, n      geom.Vec3
		open, lit float64
	}
}

// sameFace is the cosine up to which two samples of a block count as one surface, 12 degrees.
const sameFace = 0.978

// sky returns how much of the sky and of the key light reaches p.
func (s *scene) sky(p, n geom.Vec3, c *skyCache) (open, lit float64) {
	for _, k := range c.seen[:c.n] {
		if n.Dot(k.n) > sameFace && math.Abs(p.Sub(k.p).Dot(n)) < s.ground.cell {
			return k.open, k.lit
		}
	}
	// A step off the surface keeps it from hiding itself in the coarse terrain.
	off := p.Add(n.Scale(1.5 * s.ground.cell))
	open, lit = s.ground.openness(off), s.ground.lit(off, s.cam.light)
	if c.n < len(c.seen) {
		k := &c.seen[c.n]
		k.p, k.n, k.open, k.lit = p, n, open, lit
		c.n++
	}
	return open, lit
}

// sample returns the colour of one sample.
func (s *scene) sample(x, y, depth float64, t int32, sky *skyCache) tone {
	if t < 0 {
		return s.onBench(x, y)
	}
	p := s.cam.onPlane(x, y, depth)
	n := normalAt(s.m, t, p, s.corners[t])
	open, lit := s.sky(p, n, sky)
	key := lit * max(n.Dot(s.cam.light), 0)
	light := skyTone.scale(skyLight * open * (0.5 + float64(0.5*n.Z))).
		add(keyTone.scale(keyLight * key)).
		add(tone{1, 1, 1}.scale(float64(benchLight*(0.5-float64(0.5*n.Z))) + float64(viewerLight*max(n.Dot(s.cam.back), 0)*(0.4+float64(0.6*open)))))
	if s.scale != nil {
		light = light.mix(tone{1 / exposure, 1 / exposure, 1 / exposure}, evenLight)
	}
	return s.colour(t, p).times(light.scale(exposure))
}

// exposure brings a level surface in full light to just below white.
const exposure = 1.12

// onBench returns the paper with the shadow the body throws on it.
func (s *scene) onBench(x, y float64) tone {
	return paper.scale(s.bench.at(s.cam.onGround(x, y).Plan()))
}
