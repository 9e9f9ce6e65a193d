package sheet

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
)

// Section is the formed sheet along a vertical cut, where a person can lay a gauge on a real part.
type Section struct {
	Feature string
	Axis    string    // "X" or "Y" of the feature
	Centre  geom.Vec2 // on the tool
	Along   geom.Vec2 // unit, on the tool
	Points  []Reading
}

// Reading is the wall at a place.
type Reading struct {
	Arc  float64   // along the contact side from the first point, mm on the tool
	At   geom.Vec3 // on the contact side, tool datum
	Wall float64   // mm
	Web  bool      // folds: the wall means nothing
}

const (
	sectionOver = 10.0 // mm of the surroundings on either side of a feature
	sectionStep = 1.0  // mm between readings
)

// Sections cuts the formed sheet through the middle of every feature, along its X and Y: X is the
// direction of the longest straight of its outline, within 45 degrees of the X of the tool.
func (f *Formed) Sections() []Section {
	var out []Section
	for _, s := range f.Body.Solids {
		box := s.Outline.Bounds()
		x := axis(s)
		for i, dir := range [...]geom.Vec2{x, x.Left()} {
			half := 0.0
			for _, e := range s.Outline.Elems {
				half = max(half, math.Abs(e.A.Sub(box.Centre()).Dot(dir)))
			}
			half += sectionOver + math.Abs(s.Wall.Host-s.Wall.End)*s.Wall.Draft.Tan()
			sec := Section{Feature: s.ID, Axis: string(rune('X' + i)), Centre: box.Centre(), Along: dir}
			sec.Points = f.cut(sec.Centre, dir, half)
			out = append(out, sec)
		}
	}
	return out
}

// axis returns the direction of a feature's X.
func axis(s *body.Solid) geom.Vec2 {
	x, long := geom.Vec2{X: 1}, 0.0
	for _, e := range s.Outline.Elems {
		if l := e.Length(); !e.IsArc() && l > long+1e-6 {
			x, long = e.B.Sub(e.A).Unit(), l
		}
	}
	for math.Abs(x.Y) > math.Abs(x.X) || x.X < 0 {
		x = x.Left()
	}
	return x
}

// knot is where the cut crosses an edge of the mesh.
type knot struct {
	at   geom.Vec3
	wall float64
	web  bool
	to   [2]int32 // the knots across the two triangles beside; -1 none
}

// cut returns evenly spaced readings along the longest stretch of the cut.
func (f *Formed) cut(centre, dir geom.Vec2, half float64) []Reading {
	knots := f.knots(centre, dir, half)
	seen := make([]bool, len(knots))
	var best []int32
	length := 0.0
	for i := range knots {
		if seen[i] || knots[i].to[0] >= 0 && knots[i].to[1] >= 0 {
			continue // not an end
		}
		chain, l := []int32{}, 0.0
		for at, from := int32(i), int32(-1); at >= 0 && !seen[at]; {
			seen[at] = true
			if len(chain) > 0 {
				l += knots[at].at.Sub(knots[from].at).Norm()
			}
			chain = append(chain, at)
			next := knots[at].to[0]
			if next == from {
				next = knots[at].to[1]
			}
			at, from = next, at
		}
		if l > length {
			best, length = chain, l
		}
	}
	if len(best) > 1 && knots[best[0]].at.Sub(knots[best[len(best)-1]].at).Plan().Dot(dir) > 0 {
		for i, j := 0, len(best)-1; i < j; i, j = i+1, j-1 {
			best[i], best[j] = best[j], best[i]
		}
	}
	return readings(knots, best, length)
}

// knots returns the crossings of the cut with the edges of the sheet, linked across the triangles.
func (f *Formed) knots(centre, dir geom.Vec2, half float64) []knot {
	left := dir.Left()
	index := map[[2]int32]int32{}
	var out []knot
	over := func(i int32) bool { return f.Sheet.Nodes[i].At.Plan().Sub(centre).Dot(left) >= 0 }
	for k := range f.Sheet.Triangles {
		n := f.Sheet.Triangles[k].N
		o := [3]bool{over(n[0]), over(n[1]), over(n[2])}
		if o[0] == o[1] && o[1] == o[2] {
			continue
		}
		if math.Abs(f.Sheet.Middle(k).Plan().Sub(centre).Dot(dir)) > half || f.Sheet.Nodes[n[0]].Off || f.Sheet.Nodes[n[1]].Off || f.Sheet.Nodes[n[2]].Off {
			continue
		}
		var pair [2]int32
		c := 0
		for e := range 3 {
			i, j := n[e], n[(e+1)%3]
			if o[e] == o[(e+1)%3] {
				continue
			}
			key := [2]int32{min(i, j), max(i, j)}
			id, ok := index[key]
			if !ok {
				a, b := f.Sheet.Nodes[key[0]].At, f.Sheet.Nodes[key[1]].At
				da, db := a.Plan().Sub(centre).Dot(left), b.Plan().Sub(centre).Dot(left)
				u := da / (da - db)
				id = int32(len(out))
				index[key] = id
				out = append(out, knot{at: a.Add(b.Sub(a).Scale(u)), wall: f.Nodes[key[0]] + u*(f.Nodes[key[1]]-f.Nodes[key[0]]), to: [2]int32{-1, -1}})
			}
			out[id].web = out[id].web || f.Sheet.Webs(k)
			pair[c] = id
			c++
		}
		for e, id := range pair {
			slot := 0
			if out[id].to[0] >= 0 {
				slot = 1
			}
			out[id].to[slot] = pair[1-e]
		}
	}
	return out
}

// readings spaces readings evenly along a chain of knots.
func readings(knots []knot, chain []int32, length float64) []Reading {
	if len(chain) < 2 {
		return nil
	}
	n := max(1, int(math.Ceil(length/sectionStep-1e-9)))
	out := make([]Reading, 0, n+1)
	k, done := 0, 0.0 // the stretch from knot k on begins at done
	for i := range n + 1 {
		want := length * float64(i) / float64(n)
		for {
			a, b := knots[chain[k]], knots[chain[k+1]]
			l := b.at.Sub(a.at).Norm()
			if done+l < want && k+2 < len(chain) {
				done += l
				k++
				continue
			}
			u := 0.0
			if l > 0 {
				u = min(1, (want-done)/l)
			}
			out = append(out, Reading{want, a.at.Add(b.at.Sub(a.at).Scale(u)), a.wall + u*(b.wall-a.wall), a.web || b.web})
			break
		}
	}
	return out
}
