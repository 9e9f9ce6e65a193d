package toolgen_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/sdf"
)

// TestLegalBallsDoNotCutTheMesh rolls balls over finished meshes. A ball of the floor radius that
// clears the sharp features lies wholly in the air of the rounded tool, one of the edge radius that
// fits under the land and between the walls wholly in its material. Both are worked out from outlines
// and walls alone and know nothing of how roundings are found or meshed.
func TestLegalBallsDoNotCutTheMesh(t *testing.T) {
	names := []string{"recess_above_floor", "shared_floor", "rib_boss_root2"}
	if *workloads {
		names = append(names, "t12x", "t12y")
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile("../testdata/workloads/" + name + ".yaml")
			require.NoError(t, err)
			r := build(t, string(text), workloadTol, "tool.stl")
			s := sharpOf(t, r)
			at := newBuckets(r.Mesh)
			rnd := rand.New(rand.NewPCG(31, 32))
			air, ground := 0, 0
			for range 20000 {
				tri := r.Mesh.T[rnd.IntN(len(r.Mesh.T))]
				a, b, c := r.Mesh.V[tri[0]], r.Mesh.V[tri[1]], r.Mesh.V[tri[2]]
				u, v := rnd.Float64(), rnd.Float64()
				if u+v > 1 {
					u, v = 1-u, 1-v
				}
				q := a.Add(b.Sub(a).Scale(u)).Add(c.Sub(a).Scale(v))
				n := b.Sub(a).Cross(c.Sub(a)).Unit()
				loose := 1 + 0.2*rnd.Float64()
				jolt := geom.Vec3{X: rnd.NormFloat64(), Y: rnd.NormFloat64(), Z: rnd.NormFloat64()}.Scale(0.1)
				if p := q.Add(n.Scale(loose * s.fill)).Add(jolt); n.Z > -0.5 && s.room(p) >= s.fill {
					air++
					require.False(t, at.inside(p), "the centre %v of a ball in the air lies in material", p)
					require.GreaterOrEqual(t, at.dist(p, s.fill), s.fill-workloadTol-1e-4, "air, %v", p)
				}
				if p := q.Sub(n.Scale(loose * s.edge)).Add(jolt); s.depth(p) >= s.edge {
					ground++
					require.True(t, at.inside(p), "the centre %v of a ball in the material lies in the air", p)
					require.GreaterOrEqual(t, at.dist(p, s.edge), s.edge-workloadTol-1e-4, "material, %v", p)
				}
			}
			t.Logf("%d balls of %g mm in the air, %d of %g mm in the material", air, s.fill, ground, s.edge)
			require.Greater(t, min(air, ground), 1000)
		})
	}
}

// sharpBody is the face of a tool with all its features left sharp.
type sharpBody struct {
	land, base float64
	side       float64 // of the block: no ball is taken nearer than that to it
	block      func(q geom.Vec2) float64
	ms         []sdf.Member
	fill, edge float64
}

// sharpOf takes the features of all clusters of a tool that has nothing else on its face.
func sharpOf(t *testing.T, r *toolgen.Result) *sharpBody {
	t.Helper()
	f := r.Body.Field
	s := &sharpBody{land: f.Land, base: f.Block.Profile[0].A.Y, edge: math.Inf(1), block: func(q geom.Vec2) float64 { return f.Block.Outline.At(q).D }}
	for _, p := range f.Patches {
		require.NotNil(t, p.Joint)
		first := len(s.ms)
		for _, m := range p.Joint.Members {
			if m.Host >= 0 {
				m.Host += first
			}
			s.ms = append(s.ms, m)
		}
	}
	for _, m := range s.ms {
		if m.Wall.Raised() {
			s.fill = max(s.fill, m.Wall.HostR)
			continue
		}
		s.fill = max(s.fill, m.Wall.EndR)
		if m.Host < 0 {
			s.edge = min(s.edge, m.Wall.HostR)
		}
	}
	s.side = 2 * s.fill
	return s
}

// sharpWall is the value of a member's wall: positive on its air side.
func sharpWall(m *sdf.Member, p geom.Vec3) float64 {
	v := (m.Wall.D(p.Z) - m.Outline.At(p.Plan()).D) * m.Wall.Draft.Cos()
	if m.Wall.Raised() {
		return -v
	}
	return v
}

// depth is a lower bound of how deep p lies in the material below the land: outside the walls of all
// features sunk from it, prolonged down, and above the base.
func (s *sharpBody) depth(p geom.Vec3) float64 {
	if s.block(p.Plan()) > -s.side {
		return 0
	}
	d := min(s.land-p.Z, p.Z-s.base)
	for i := range s.ms {
		if m := &s.ms[i]; m.Host < 0 && !m.Wall.Raised() {
			d = min(d, -sharpWall(m, p))
		}
	}
	return d
}

// room is a lower bound of the distance from p, over the block, to the sharp body: the least over its
// columns and levels of the largest value of a surface that bounds that level.
func (s *sharpBody) room(p geom.Vec3) float64 {
	d := math.Inf(1)
	if s.block(p.Plan()) > -s.side {
		return 0
	}
	for col := -1; col < len(s.ms); col++ {
		top, own := s.land, math.Inf(-1)
		if col >= 0 {
			if !s.ms[col].Wall.Raised() {
				continue
			}
			top, own = s.ms[col].Wall.End, sharpWall(&s.ms[col], p)
		}
		d = min(d, s.level(p, col, top, own))
		for i := range s.ms {
			if z := s.ms[i].Wall.End; z < top {
				d = min(d, s.level(p, col, z, own))
			}
		}
	}
	return d
}

// level is the largest value of the surfaces that bound the level at z of a column: it is cut by
// every sunk member that goes deeper, within all its hosts.
func (s *sharpBody) level(p geom.Vec3, col int, z, own float64) float64 {
	v := max(p.Z-z, own)
	for i := range s.ms {
		if s.ms[i].Wall.Raised() || s.ms[i].Wall.End >= z-1e-9 {
			continue
		}
		cut, h := math.Inf(1), i
		for ; h >= 0 && !s.ms[h].Wall.Raised(); h = s.ms[h].Host {
			cut = min(cut, sharpWall(&s.ms[h], p))
		}
		if h == col {
			v = max(v, cut)
		}
	}
	return v
}

// buckets finds triangles by squares of the plan.
type buckets struct {
	m    *mesh.Mesh
	list map[[2]int][]int
}

const bucket = 4.0 // mm

func newBuckets(m *mesh.Mesh) *buckets {
	b := &buckets{m, map[[2]int][]int{}}
	for i, t := range m.T {
		box := geom.EmptyBox2().Hold(m.V[t[0]].Plan()).Hold(m.V[t[1]].Plan()).Hold(m.V[t[2]].Plan())
		b.over(box, func(k [2]int) { b.list[k] = append(b.list[k], i) })
	}
	return b
}

func (b *buckets) over(box geom.Box2, visit func(k [2]int)) {
	for x := int(math.Floor(box.Min.X / bucket)); x <= int(math.Floor(box.Max.X/bucket)); x++ {
		for y := int(math.Floor(box.Min.Y / bucket)); y <= int(math.Floor(box.Max.Y/bucket)); y++ {
			visit([2]int{x, y})
		}
	}
}

// inside reports whether p lies in the mesh: whether a line straight up meets it an odd number of times.
func (b *buckets) inside(p geom.Vec3) bool {
	n := 0
	q := p.Plan()
	for _, i := range b.list[[2]int{int(math.Floor(q.X / bucket)), int(math.Floor(q.Y / bucket))}] {
		t := b.m.T[i]
		v := [3]geom.Vec3{b.m.V[t[0]], b.m.V[t[1]], b.m.V[t[2]]}
		var w [3]float64
		for k := range 3 {
			w[k] = v[(k+1)%3].Plan().Sub(q).Cross(v[(k+2)%3].Plan().Sub(q))
		}
		if (w[0] > 0) != (w[1] > 0) || (w[1] > 0) != (w[2] > 0) {
			continue
		}
		if sum := w[0] + w[1] + w[2]; (w[0]*v[0].Z+w[1]*v[1].Z+w[2]*v[2].Z)/sum > p.Z {
			n++
		}
	}
	return n%2 == 1
}

// dist returns the distance from p to the mesh where it is below reach, else some value not below it.
func (b *buckets) dist(p geom.Vec3, reach float64) float64 {
	d := reach
	b.over(geom.Box2{Min: p.Plan(), Max: p.Plan()}.Grow(reach), func(k [2]int) {
		for _, i := range b.list[k] {
			t := b.m.T[i]
			d = min(d, toTriangle(p, b.m.V[t[0]], b.m.V[t[1]], b.m.V[t[2]]))
		}
	})
	return d
}

// toTriangle returns the distance from p to a triangle.
func toTriangle(p, a, b, c geom.Vec3) float64 {
	n := b.Sub(a).Cross(c.Sub(a)).Unit()
	v := [3]geom.Vec3{a, b, c}
	over, d := true, math.Inf(1)
	for k := range 3 {
		e, w := v[(k+1)%3].Sub(v[k]), p.Sub(v[k])
		over = over && n.Cross(e).Dot(w) >= 0
		x := max(0, min(1, w.Dot(e)/e.Dot(e)))
		d = min(d, w.Sub(e.Scale(x)).Norm())
	}
	if over {
		return math.Abs(p.Sub(a).Dot(n))
	}
	return d
}
