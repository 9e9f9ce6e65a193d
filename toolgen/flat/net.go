package flat

import (
	"math"
	"slices"

	"platen/toolgen/exact"
	"platen/toolgen/geom"
)

// Flags of a half-edge that is a constraint.
const (
	held   = 1 // not to be flipped
	leftIn = 2 // the region lies to its left
)

// net is a triangulation of a large triangle round all points. Half-edge h belongs to triangle h/3.
type net struct {
	p     []geom.Vec2 // the points, then the three far corners
	v     []int32     // point a half-edge starts from
	tw    []int32     // opposite half-edge, -1 along the far triangle
	fixed []uint8
	at    []int32 // a half-edge that starts from the point
	n     int     // points given
	stack []int32
	dig   channel
}

func next(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

func prev(h int32) int32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}

// newNet returns the Delaunay triangulation of the points and the far corners. The far corners
// bend nothing inside a region: they are never seen across its border.
func newNet(pts []geom.Vec2) (*net, error) {
	box := geom.EmptyBox2()
	for _, p := range pts {
		if !fit(p.X) || !fit(p.Y) {
			return nil, &Fault{Unfit, p}
		}
		box = box.Hold(p)
	}
	c, s := box.Centre(), 1+max(box.Size().X, box.Size().Y)
	k := int32(len(pts))
	tris := 2*len(pts) + 1
	n := &net{
		p: append(slices.Clip(slices.Clone(pts)),
			geom.Vec2{X: c.X - 16*s, Y: c.Y - 8*s},
			geom.Vec2{X: c.X + 16*s, Y: c.Y - 8*s},
			geom.Vec2{X: c.X, Y: c.Y + 16*s}),
		v:     append(make([]int32, 0, 3*tris), k, k+1, k+2),
		tw:    append(make([]int32, 0, 3*tris), -1, -1, -1),
		fixed: make([]uint8, 3*tris),
		at:    make([]int32, k+3),
		n:     len(pts),
	}
	n.at[k], n.at[k+1], n.at[k+2] = 0, 1, 2
	near := int32(0)
	for _, i := range curveOrder(pts, box) {
		h, err := n.locate(i, near)
		if err != nil {
			return nil, err
		}
		n.insert(i, h)
		near = n.at[i]
	}
	return n, nil
}

// fit reports whether the predicates decide exactly on coordinates as large and small as x.
func fit(x float64) bool {
	x = math.Abs(x)
	return x == 0 || x >= 1e-40 && x <= 1e40
}

// curveOrder returns the points' numbers along a Hilbert curve of 2^16 steps a side.
func curveOrder(pts []geom.Vec2, box geom.Box2) []int32 {
	s := max(box.Size().X, box.Size().Y)
	k := 0.0
	if s > 0 {
		k = 65535 / s
	}
	keys := make([]uint64, len(pts))
	for i, p := range pts {
		x, y := uint32(k*(p.X-box.Min.X)), uint32(k*(p.Y-box.Min.Y))
		keys[i] = uint64(hilbert(x, y))<<32 | uint64(i)
	}
	slices.Sort(keys)
	order := make([]int32, len(pts))
	for i, key := range keys {
		order[i] = int32(uint32(key))
	}
	return order
}

// hilbert returns the place of a cell of a 2^16 x 2^16 grid along the Hilbert curve.
func hilbert(x, y uint32) uint32 {
	d := uint32(0)
	for s := uint32(1 << 15); s > 0; s >>= 1 {
		rx, ry := x&s != 0, y&s != 0
		d <<= 2
		switch {
		case rx && !ry:
			d |= 3
		case rx:
			d |= 2
		case ry:
			d |= 1
		}
		if !ry {
			if rx {
				x, y = ^x, ^y
			}
			x, y = y, x
		}
	}
	return d
}

// side tells on which side of half-edge h the point i lies: positive to the left.
func (n *net) side(h, i int32) float64 {
	return exact.Orient2D(n.p[n.v[h]], n.p[n.v[next(h)]], n.p[i])
}

// locate walks from half-edge h to the triangle that holds point i. It returns the side of the
// triangle that i lies on, or any side when i lies inside. The walk ends because the triangulation is
// Delaunay.
func (n *net) locate(i, h int32) (int32, error) {
walk:
	for {
		on := h
		zeros := 0
		for range 3 {
			s := n.side(h, i)
			if s < 0 {
				h = next(n.tw[h])
				continue walk
			}
			if s == 0 {
				on = h
				zeros++
			}
			h = next(h)
		}
		if zeros > 1 {
			return 0, &Fault{Coincident, n.p[i]}
		}
		return on, nil
	}
}

// insert puts point i into the triangle of half-edge h, or onto h, and restores Delaunay.
func (n *net) insert(i, h int32) {
	onEdge := n.side(h, i) == 0
	h1, h2 := next(h), prev(h)
	a, b, c := n.v[h], n.v[h1], n.v[h2]
	t1, t2 := n.tw[h1], n.tw[h2]
	k := int32(len(n.v))
	// Triangle h becomes a b i; the new ones are b c i and c a i.
	n.v = append(n.v, b, c, i, c, a, i)
	n.tw = append(n.tw, t1, k+5, h1, t2, h2, k+1)
	n.v[h2] = i
	n.tw[h1], n.tw[h2] = k+2, k+4
	link(n.tw, t1, k)
	link(n.tw, t2, k+3)
	n.at[a], n.at[b], n.at[c], n.at[i] = h, k, k+3, h2
	n.stack = append(n.stack, h, k, k+3)
	if onEdge { // a b i has no area
		g := n.tw[h]
		n.stack = append(n.stack[:0], k, k+3, h, prev(g))
		n.turn(h)
		// The far sides of the two new triangles now sit at h and prev(g).
	}
	n.settle(i)
}

func link(tw []int32, h, to int32) {
	if h >= 0 {
		tw[h] = to
	}
}

// settle flips the edges on the stack, each opposite to point i, until all are Delaunay.
func (n *net) settle(i int32) {
	for len(n.stack) > 0 {
		h := n.stack[len(n.stack)-1]
		n.stack = n.stack[:len(n.stack)-1]
		g := n.tw[h]
		if g < 0 {
			continue
		}
		far := n.v[prev(g)]
		if exact.InCircle(n.p[n.v[h]], n.p[n.v[next(h)]], n.p[i], n.p[far]) > 0 {
			n.turn(h)
			n.stack = append(n.stack, h, prev(g))
		}
	}
}

// turn flips the edge of half-edge h, from a to b with apex c on its left and d on its right. The
// triangle of h becomes a d c and that of its twin g becomes b c d; the far sides as seen from c
// are then h and prev(g).
func (n *net) turn(h int32) {
	g := n.tw[h]
	hn, hp, gn, gp := next(h), prev(h), next(g), prev(g)
	a, b, c, d := n.v[h], n.v[g], n.v[hp], n.v[gp]
	n.v[hn], n.v[gn] = d, c
	n.tw[h], n.tw[g] = n.tw[gn], n.tw[hn]
	link(n.tw, n.tw[h], h)
	link(n.tw, n.tw[g], g)
	n.tw[hn], n.tw[gn] = gn, hn
	n.at[a], n.at[b], n.at[c], n.at[d] = h, g, hp, gp
}

// crossing returns where the lines a-b and c-d meet.
func crossing(a, b, c, d geom.Vec2) geom.Vec2 {
	u, w := b.Sub(a), d.Sub(c)
	t := c.Sub(a).Cross(w) / u.Cross(w)
	if math.IsNaN(t) || t < 0 || t > 1 {
		t = 0.5
	}
	return a.Add(u.Scale(t))
}
