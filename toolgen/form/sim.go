package form

import (
	"math"

	"platen/toolgen/geom"
)

// state is what holds a node, if anything.
type state uint8

const (
	free    state = iota
	carried       // on the plug
	clamped       // in the frame
	stuck         // landed
	web           // frozen by the web guard
)

// loose reports whether the node's triangles must be computed.
func (s state) loose() bool { return s <= carried }

// node is the moving part of a node; its places are kept apart for the force loop.
type node struct {
	v     geom.Vec3 // mm per step; of a carried node the direction off the plug
	f     geom.Vec3 // force of the last step, N
	m     float64   // fictitious mass
	slack float64   // the tool is at least this far off, mm
	plug  float64   // the plug is at least this far off, mm
	state state
	off   bool // landed on platen or frame wall, not on the tool
}

// rest tells when a node came to rest.
type rest struct {
	step     int32
	pressure float64
}

// never is the step of a node that did not come to rest.
const never = math.MaxInt32

// triangle is the mesh's own record of a triangle. Edge i runs from corner i to the next; edge 0 is
// the one that is split, corner 2 the newest. Counter-clockwise in the flat sheet.
type triangle struct {
	n      [3]int32
	next   [3]int32 // triangle across edge i, -1 at the frame
	parent int32    // triangle it was split from, whose index is smaller; -1 in the first mesh
	level  int8     // how often split
	listed bool     // among the active triangles
	sound  uint8    // bit i: edge i has landed and does not run through the tool
}

// sim is a run in progress. Arrays only grow when triangles are split.
type sim struct {
	tool Tool
	set  Setup
	opt  Options
	crew *crew

	flat  []geom.Vec2 // places on the flat sheet
	at    []geom.Vec3 // places in space
	nodes []node
	rests []rest
	tris  []triangle

	// Active triangles, those with a free node, and the free nodes, as of the last rebuild.
	active []int32
	hot    []element
	push   []geom.Vec3 // forces on the three corners of each hot triangle
	moving []int32
	first  []int32 // of each moving node in corners, and one past the last
	corner []int32 // indices into push, by moving node
	slot   []int32 // scratch by node
	place  []int32 // scratch by triangle
	old    []int32 // scratch: active triangles
	marks  []uint8 // scratch: what coarse says of each active triangle
	split  []mark  // scratch: triangles to split
	sums   []sums  // by chunk of moving nodes
	kept   []int32 // scratch by chunk of active triangles

	step     int32
	pressure float64
	lift     float64 // pressure of the blown bubble, below 0
	blowing  bool
	plugged  bool    // the plug is in reach
	plugDown float64 // how far the plug has come down, mm
	plugStep float64 // of which in this step, mm
	damping  float64
	limit    float64 // largest move of a node in a step, mm
	stall    float64 // move of a node over which the pressure waits, mm
	laying   bool    // the first mesh is being laid: nothing lands yet
	squares  float64 // side of the squares that a coarser first mesh stands for, mm; 0: the first mesh is what was asked
	frame    float64 // height of the frame
	whole    float64 // area of the flat sheet, mm2
	looks    int     // refinements so far
	landed   int     // nodes since the last rebuild
	refined  int32   // step of the last rebuild
	states   []State
	due      bool // the last of states is still to be filled, before anything moves

}

// moveShare bounds the move of a node in a step, as a share of the squares.
const moveShare = 0.3

func newSim(tool Tool, set Setup, opt Options) *sim {
	s := &sim{tool: tool, set: set, opt: opt, crew: newCrew(opt.Workers), damping: 0.05, frame: set.Start}
	if set.Blow > 0 {
		s.coarser()
	}
	s.grid()
	s.limit, s.stall = moveShare*s.opt.Mesh, stallShare*s.opt.Mesh
	s.grade()
	var whole total
	for k := range s.tris {
		whole.add(s.flatArea(&s.tris[k]))
	}
	s.whole = whole.value()
	return s
}

// grid lays the first mesh: squares cut in two with alternating diagonals. The diagonal is the edge
// to split.
func (s *sim) grid() {
	size := s.set.Frame.Size()
	nx := int(math.Ceil(size.X/s.opt.Mesh - 1e-9))
	ny := int(math.Ceil(size.Y/s.opt.Mesh - 1e-9))
	s.opt.Mesh = max(size.X/float64(nx), size.Y/float64(ny))
	for j := 0; j <= ny; j++ {
		for i := 0; i <= nx; i++ {
			p := s.spot(2*float64(i)/float64(nx)-1, 2*float64(j)/float64(ny)-1)
			n := node{state: free}
			if i == 0 || j == 0 || i == nx || j == ny {
				n.state = clamped
			}
			s.add(p, p.At(s.set.Start), n)
		}
	}
	id := func(i, j int) int32 { return int32(j*(nx+1) + i) }
	tri := func(i, j, upper int) int32 {
		if i < 0 || j < 0 || i >= nx || j >= ny {
			return -1
		}
		return int32(2*(j*nx+i) + upper)
	}
	for j := range ny {
		for i := range nx {
			a, b, c, d := id(i, j), id(i+1, j), id(i+1, j+1), id(i, j+1)
			lo, hi := tri(i, j, 0), tri(i, j, 1)
			// The triangle across a side of the square is that of the neighbour on that side.
			south, north := tri(i, j-1, 1), tri(i, j+1, 0)
			if (i+j)%2 == 0 { // diagonal a-c; lower right, upper left
				s.tris = append(s.tris,
					triangle{n: [3]int32{c, a, b}, next: [3]int32{hi, south, tri(i+1, j, 0)}, parent: -1},
					triangle{n: [3]int32{a, c, d}, next: [3]int32{lo, north, tri(i-1, j, 1)}, parent: -1})
			} else { // diagonal b-d; lower left, upper right
				s.tris = append(s.tris,
					triangle{n: [3]int32{b, d, a}, next: [3]int32{hi, tri(i-1, j, 0), south}, parent: -1},
					triangle{n: [3]int32{d, b, c}, next: [3]int32{lo, tri(i+1, j, 1), north}, parent: -1})
			}
		}
	}
}

// spot returns the place of (u, v) of the square from -1 to 1 in the frame. In a round frame
// circles about the middle come from rounded squares, evenly and without a kink.
func (s *sim) spot(u, v float64) geom.Vec2 {
	c, h := s.set.Frame.Centre(), s.set.Frame.Size().Scale(0.5)
	if s.set.Round {
		u, v = u*math.Sqrt(1-v*v/2), v*math.Sqrt(1-u*u/2)
	}
	return geom.Vec2{X: c.X + h.X*u, Y: c.Y + h.Y*v}
}

func (s *sim) add(flat geom.Vec2, at geom.Vec3, n node) int32 {
	s.flat, s.at, s.nodes = append(s.flat, flat), append(s.at, at), append(s.nodes, n)
	r := rest{step: never}
	if n.state == clamped {
		r.step = 0
	}
	s.rests = append(s.rests, r)
	return int32(len(s.flat) - 1)
}

// hasFree reports whether a corner of the triangle is free or carried.
func (s *sim) hasFree(t *triangle) bool {
	return s.nodes[t.n[0]].state.loose() || s.nodes[t.n[1]].state.loose() || s.nodes[t.n[2]].state.loose()
}
