package mesh

import (
	"context"
	"fmt"
	"strings"

	"platen/toolgen/geom"
)

// Defect counts one kind of fault and says where the first one is.
type Defect struct {
	Count int
	At    geom.Vec3 // mm; the first in order of vertices or triangles
}

func (d *Defect) add(at geom.Vec3) {
	if d.Count == 0 {
		d.At = at
	}
	d.Count++
}

// Audit is what a mesh was found to be. The zero counts are proved, not sampled: everything but
// volumes and areas is decided exactly on the numbers and coordinates as given.
type Audit struct {
	Triangles, Vertices int

	Degenerate Defect // triangles without area, or with a corner used twice
	Duplicate  Defect // triangles with the same corners as another one, whichever way round
	Open       Defect // edges with one triangle
	Crowded    Defect // edges with more than two triangles
	Flipped    Defect // edges that both their triangles run along the same way
	Pinched    Defect // vertices where several fans of triangles meet
	Unused     Defect // vertices without a triangle
	Inward     Defect // closed shells that do not hold a positive volume
	Crossed    Defect // pairs of triangles that meet beyond their common corners

	Crossings []Crossing // the first few of Crossed, in order
	Shells    []Shell    // connected across edges, in order of their first triangles
	Volume    float64    // mm3, signed: positive when triangles face outward
	Area      float64    // mm2
	Box       geom.Box3  // of all triangles
}

// Shell is a set of triangles connected across edges.
type Shell struct {
	First     int // its first triangle
	Triangles int
	Volume    float64 // mm3, signed
	Area      float64 // mm2
	Genus     int     // number of handles; -1 unless the shell is closed and 2-manifold
}

// firstCrossings is how many crossing pairs an audit lists.
const firstCrossings = 8

// Audit examines the mesh. Triangles without area are counted and then left out of the search for
// crossings; those with a corner used twice are left out of all else.
//
// ERROR: volumes and areas are sums in a fixed order, compensated, good to about 1e-14 of the
// largest term. Returns an error only when ctx is done or the mesh has unreadable numbers.
func (m *Mesh) Audit(ctx context.Context) (Audit, error) {
	if err := m.valid(); err != nil {
		return Audit{}, err
	}
	views, err := m.views(ctx)
	if err != nil {
		return Audit{}, err
	}
	a := Audit{Triangles: len(m.T), Vertices: len(m.V), Volume: m.Volume(), Area: m.Area(), Box: m.Box()}
	for t, v := range views {
		if v.turn == 0 {
			a.Degenerate.add(m.middle(t))
		}
	}
	s := newSurvey(m)
	if err := m.edges(ctx, m.whole, func(near int32, uses []use) { s.edge(&a, near, uses) }); err != nil {
		return Audit{}, err
	}
	s.vertices(&a)
	s.measure(&a)
	count, first, err := m.crossings(ctx, views, firstCrossings)
	if err != nil {
		return Audit{}, err
	}
	a.Crossings = first
	if count > 0 {
		a.Crossed = Defect{count, m.middle(first[0].A)}
	}
	return a, nil
}

// middle returns the centroid of triangle t.
func (m *Mesh) middle(t int) geom.Vec3 {
	a, b, c := m.corners(t)
	return a.Add(b).Add(c).Scale(1.0 / 3)
}

// whole reports whether triangle t has three different corners.
func (m *Mesh) whole(t int) bool {
	c := m.T[t]
	return c[0] != c[1] && c[1] != c[2] && c[2] != c[0]
}

// Fault says what keeps the mesh from being one sound solid, and where first; nil when it is
// closed, 2-manifold, outward, free of crossings and degenerate triangles, and one shell.
func (a Audit) Fault() error { return a.FaultOf(1) }

// FaultOf is Fault for a solid of the given number of shells; 0 allows any number but none.
func (a Audit) FaultOf(shells int) error {
	var text []string
	say := func(d Defect, one, many string) {
		if d.Count == 1 {
			text = append(text, fmt.Sprintf("1 %s at %s", one, place(d.At)))
		} else if d.Count > 1 {
			text = append(text, fmt.Sprintf("%d %s, first at %s", d.Count, many, place(d.At)))
		}
	}
	say(a.Degenerate, "triangle without area", "triangles without area")
	say(a.Duplicate, "doubled triangle", "doubled triangles")
	say(a.Open, "open edge", "open edges")
	say(a.Crowded, "edge with more than two triangles", "edges with more than two triangles")
	say(a.Flipped, "edge between triangles that face opposite ways", "edges between triangles that face opposite ways")
	say(a.Pinched, "vertex shared by separate fans", "vertices shared by separate fans")
	say(a.Unused, "vertex without triangle", "vertices without triangle")
	say(a.Inward, "shell that does not face outward", "shells that do not face outward")
	say(a.Crossed, "pair of crossing triangles", "pairs of crossing triangles")
	switch n := len(a.Shells); {
	case n == 0:
		text = append(text, "no shell")
	case n == 1 && shells > 1:
		text = append(text, fmt.Sprintf("1 shell, want %d", shells))
	case shells > 0 && n != shells:
		text = append(text, fmt.Sprintf("%d separate shells, want %d", n, shells))
	}
	if len(text) == 0 {
		return nil
	}
	return fmt.Errorf("mesh: %s", strings.Join(text, "; "))
}

func place(p geom.Vec3) string { return fmt.Sprintf("(%.3f, %.3f, %.3f) mm", p.X, p.Y, p.Z) }
