// Package flat owns the triangulation of plane regions: the constrained Delaunay triangulation of
// what a set of directed edges encloses.
//
// It promises that every edge given is an edge of the result, that no triangle lies outside the
// region and that no corner is made up. Every decision is taken by exact predicates, so that
// collinear and nearly coincident points are no special case. The result depends on the input only.
//
// Points are inserted along a space-filling curve with edge flips (C. L. Lawson, Software for C1
// surface interpolation, 1977), edges by filling the two halves of the channel they cut (M. V.
// Anglada, An improved incremental algorithm for constructing restricted Delaunay triangulations,
// Computers & Graphics 21, 1997).
package flat

import (
	"fmt"

	"platen/toolgen/geom"
)

// Kind says in which way points and edges bound no region.
type Kind uint8

// The kinds of fault.
const (
	Crossing      Kind = iota // two edges cross between their ends
	OnEdge                    // a point lies on an edge that does not end there
	Coincident                // two points have the same coordinates
	Twice                     // an edge is given twice in one direction
	NoLength                  // an edge ends where it starts
	Open                      // not as many edges enter a point as leave it
	Contradiction             // the same place is left of one edge and right of another
	Unfit                     // a coordinate is neither 0 nor between 1e-40 and 1e40 in magnitude
)

var kindText = [...]string{
	"edges cross", "a point lies on an edge", "two points coincide", "an edge is given twice",
	"an edge has no length", "a loop does not close", "loops contradict each other on where the region lies",
	"a coordinate is not 0 or between 1e-40 and 1e40",
}

// String returns what is wrong in words.
func (k Kind) String() string { return kindText[k] }

// Fault is the refusal of edges that bound no region.
type Fault struct {
	Kind Kind
	At   geom.Vec2 // place, mm
}

// Error names the fault and its place.
func (f *Fault) Error() string {
	return fmt.Sprintf("%v at (%.4f, %.4f)", f.Kind, f.At.X, f.At.Y)
}

// Triangulate returns the constrained Delaunay triangulation of the region to the left of the
// directed edges, as counter-clockwise triples of point numbers.
//
// SHAPE: the edges form closed loops, as many as wanted, nested to any depth; loops may share
// points, not stretches. A point that ends no edge becomes a corner when it lies inside the region.
// An edge given in both directions is a slit: region on both sides.
//
// ERROR: *Fault with the place, where edges cross, a point lies on an edge or on another point, an
// edge is given twice, loops do not close or contradict each other, or a coordinate is neither 0
// nor between 1e-40 and 1e40.
func Triangulate(pts []geom.Vec2, edges [][2]int32) ([][3]int32, error) {
	if len(edges) == 0 {
		return nil, nil
	}
	if err := closed(pts, edges); err != nil {
		return nil, err
	}
	n, err := newNet(pts)
	if err != nil {
		return nil, err
	}
	for _, e := range edges {
		if err := n.constrain(e[0], e[1]); err != nil {
			return nil, err
		}
	}
	return n.region()
}

// closed checks that as many edges enter each point as leave it.
func closed(pts []geom.Vec2, edges [][2]int32) error {
	balance := make([]int32, len(pts))
	for _, e := range edges {
		for _, v := range e {
			if v < 0 || int(v) >= len(pts) {
				return fmt.Errorf("an edge names point %d of %d", v, len(pts))
			}
		}
		if e[0] == e[1] {
			return &Fault{NoLength, pts[e[0]]}
		}
		balance[e[0]]++
		balance[e[1]]--
	}
	for i, b := range balance {
		if b != 0 {
			return &Fault{Open, pts[i]}
		}
	}
	return nil
}

// region returns the triangles to the left of the constraints.
func (n *net) region() ([][3]int32, error) {
	const (
		in  = 1
		out = 2
	)
	state := make([]uint8, len(n.tw)/3)
	var todo []int32
	count := 0
	put := func(t int32, s uint8) bool {
		if state[t] == 0 {
			state[t] = s
			todo = append(todo, t)
			if s == in {
				count++
			}
		}
		return state[t] == s
	}
	for h, f := range n.fixed {
		if f == 0 {
			continue
		}
		s := uint8(out)
		if f&leftIn != 0 {
			s = in
		}
		if !put(int32(h)/3, s) {
			return nil, n.contradiction(int32(h))
		}
	}
	for len(todo) > 0 {
		t := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for h := 3 * t; h < 3*t+3; h++ {
			if g := n.tw[h]; n.fixed[h] != 0 {
				continue
			} else if g < 0 && state[t] == in || g >= 0 && !put(g/3, state[t]) {
				return nil, n.contradiction(h)
			}
		}
	}
	tris := make([][3]int32, 0, count)
	for t, s := range state {
		if s == in {
			tris = append(tris, [3]int32(n.v[3*t:3*t+3]))
		}
	}
	return tris, nil
}

// contradiction names a given point near half-edge h.
func (n *net) contradiction(h int32) error {
	v := min(n.v[h], n.v[next(h)], n.v[prev(h)])
	return &Fault{Contradiction, n.p[v]}
}
