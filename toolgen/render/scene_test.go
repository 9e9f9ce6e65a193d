package render_test

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// tray is a hand-made tool: a block of square tiles, each with one rounded rectangle sunk into it or
// standing on it, drafted, with an edge round and a fillet. It is closed and welded.
type tray struct {
	m      *mesh.Mesh
	pieces *piece.Table
	index  map[geom.Vec3]int32
	cur    piece.ID
}

// feature is the figure of one tile.
type feature struct {
	a, b, corner float64 // half sides and plan corner radius at the land, mm
	depth        float64 // below the land, negative for above
	draft        geom.Angle
	top, foot    float64 // radius at the land and at the floor or crown
}

// arcSteps is the number of chords of a rounding and of a quarter of a plan corner.
const arcSteps = 6

func newTray(tile, height float64, rows [][]feature) *tray {
	t := &tray{m: &mesh.Mesh{}, pieces: &piece.Table{}, index: map[geom.Vec3]int32{}}
	ny := len(rows)
	for j, row := range rows {
		for i, f := range row {
			c := geom.Vec2{X: (float64(i) - float64(len(row)-1)/2) * tile, Y: (float64(j) - float64(ny-1)/2) * tile}
			t.tile(c, tile, height, f, [4]bool{i == len(row)-1, j == ny-1, i == 0, j == 0})
		}
	}
	return t
}

func (t *tray) vertex(p geom.Vec3) int32 {
	q := func(x float64) float64 { return math.Round(x*16384)/16384 + 0 }
	p = geom.Vec3{X: q(p.X), Y: q(p.Y), Z: q(p.Z)}
	i, ok := t.index[p]
	if !ok {
		i = int32(len(t.m.V))
		t.index[p] = i
		t.m.V = append(t.m.V, p)
	}
	return i
}

func (t *tray) tri(a, b, c geom.Vec3) {
	f := [3]int32{t.vertex(a), t.vertex(b), t.vertex(c)}
	if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
		return
	}
	t.m.T = append(t.m.T, f)
	t.m.P = append(t.m.P, t.cur)
}

// between joins two rings of points, the first outside the second, seen from above.
func (t *tray) between(out, in []geom.Vec3) {
	n := len(out)
	for k := range n {
		l := (k + 1) % n
		t.tri(out[k], out[l], in[l])
		t.tri(out[k], in[l], in[k])
	}
}

// tile makes one tile; edges says which of its sides (+x, +y, -x, -y) are sides of the block.
func (t *tray) tile(c geom.Vec2, tile, height float64, f feature, edges [4]bool) {
	role := func(r piece.Role) { t.cur = t.pieces.Add(piece.Piece{Feature: "tile", Role: r}) }
	rim := f.ring(c, 0, 0)
	square := make([]geom.Vec3, len(rim))
	for i := range rim {
		// The same points on every tile, so that neighbours meet; corners are among them.
		a := geom.Angle(i/(arcSteps+1))*90*geom.Degree + geom.Angle(i%(arcSteps+1))*90*geom.Degree/arcSteps
		d := geom.Vec2{X: 1}.Turn(a)
		square[i] = c.Add(d.Scale(tile / 2 / max(math.Abs(d.X), math.Abs(d.Y)))).At(0)
	}
	role(piece.Land)
	t.between(square, rim)
	last := rim
	for _, s := range f.profile() {
		role(s.role)
		for _, p := range s.points {
			next := f.ring(c, p.X, p.Y)
			t.between(last, next)
			last = next
		}
	}
	role(piece.Floor)
	if f.depth < 0 {
		role(piece.Crown)
	}
	for k := range last {
		t.tri(last[k], last[(k+1)%len(last)], c.At(last[0].Z))
	}
	t.block(c, square, height, edges, role)
}

// block closes the tile below and, at the rim of the block, beside.
func (t *tray) block(c geom.Vec2, square []geom.Vec3, height float64, edges [4]bool, role func(piece.Role)) {
	down := func(p geom.Vec3) geom.Vec3 { return geom.Vec3{X: p.X, Y: p.Y, Z: -height} }
	n := len(square)
	for k := range n {
		p, q := square[k], square[(k+1)%n]
		role(piece.Base)
		t.tri(down(q), down(p), c.At(-height))
		mid := p.Add(q).Scale(0.5).Plan().Sub(c)
		side := 0
		switch {
		case mid.X > math.Abs(mid.Y):
		case mid.Y > math.Abs(mid.X):
			side = 1
		case -mid.X > math.Abs(mid.Y):
			side = 2
		default:
			side = 3
		}
		if edges[side] {
			role(piece.Side)
			t.tri(p, down(p), down(q))
			t.tri(p, down(q), q)
		}
	}
}

// ring is the outline moved inward by d, at height z, counter-clockwise.
func (f feature) ring(c geom.Vec2, d, z float64) []geom.Vec3 {
	var out []geom.Vec3
	r := f.corner - d
	for q := range 4 {
		m := geom.Vec2{X: sign(q == 0 || q == 3) * (f.a - f.corner), Y: sign(q < 2) * (f.b - f.corner)}
		for k := range arcSteps + 1 {
			a := geom.Angle(q)*90*geom.Degree + geom.Angle(k)*90*geom.Degree/arcSteps
			out = append(out, c.Add(m).Add(geom.Vec2{X: r}.Turn(a)).At(z))
		}
	}
	return out
}

func sign(plus bool) float64 {
	if plus {
		return 1
	}
	return -1
}

type stretch struct {
	role   piece.Role
	points []geom.Vec2 // inward offset, height
}

// profile runs from the land to the floor or crown, as offset inward and height.
func (f feature) profile() []stretch {
	up := sign(f.depth < 0)
	deep := math.Abs(f.depth)
	turn := 90*geom.Degree - f.draft // from level to the wall
	arc := func(r float64) (run, rise float64) { return r * turn.Sin(), r * (1 - turn.Cos()) }
	r1, h1 := arc(f.top)
	r2, h2 := arc(f.foot)
	wall := deep - h1 - h2
	var a, b []geom.Vec2
	for k := 1; k <= arcSteps; k++ {
		u := turn * geom.Angle(k) / arcSteps
		a = append(a, geom.Vec2{X: f.top * u.Sin(), Y: up * f.top * (1 - u.Cos())})
		v := turn * geom.Angle(arcSteps-k) / arcSteps
		b = append(b, geom.Vec2{X: r1 + wall*f.draft.Tan() + r2 - f.foot*v.Sin(), Y: up * (deep - f.foot*(1-v.Cos()))})
	}
	w := []geom.Vec2{{X: r1 + wall*f.draft.Tan(), Y: up * (h1 + wall)}}
	if f.depth < 0 {
		return []stretch{{piece.Fillet, a}, {piece.Wall, w}, {piece.Edge, b}}
	}
	return []stretch{{piece.Edge, a}, {piece.Wall, w}, {piece.Fillet, b}}
}

// sample is the scene the pictures are judged by.
func sample() *tray {
	pocket := feature{a: 22, b: 22, corner: 9, depth: 20, draft: 5 * geom.Degree, top: 1.5, foot: 4}
	slot := feature{a: 22, b: 9, corner: 8.5, depth: 12, draft: 5 * geom.Degree, top: 1.5, foot: 3}
	lug := feature{a: 9, b: 9, corner: 6, depth: -9, draft: 8 * geom.Degree, top: 1.5, foot: 1.5}
	cone := feature{a: 13, b: 13, corner: 13, depth: -16, draft: 20 * geom.Degree, top: 2, foot: 2}
	shallow := feature{a: 23, b: 23, corner: 20, depth: 6, draft: 10 * geom.Degree, top: 1, foot: 3}
	return newTray(52, 34, [][]feature{
		{pocket, slot, lug, shallow},
		{pocket, cone, slot, pocket},
		{shallow, lug, pocket, slot},
	})
}

// fine is the sample with every triangle cut in four, twice over: more than a hundred thousand.
func fine() *tray {
	t := sample()
	for range 2 {
		old := t.m
		t.m = &mesh.Mesh{}
		t.index = map[geom.Vec3]int32{}
		for i, f := range old.T {
			a, b, c := old.V[f[0]], old.V[f[1]], old.V[f[2]]
			ab, bc, ca := a.Add(b).Scale(0.5), b.Add(c).Scale(0.5), c.Add(a).Scale(0.5)
			t.cur = old.P[i]
			t.tri(a, ab, ca)
			t.tri(ab, b, bc)
			t.tri(ca, bc, c)
			t.tri(ab, bc, ca)
		}
	}
	return t
}
