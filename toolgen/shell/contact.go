package shell

import (
	"runtime"
	"sync"
	"sync/atomic"

	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// faceSteps is how many steps along the gradient bring a node on to the face: it is within a
// thousandth of a millimetre of it already.
const faceSteps = 3

// contact takes the formed sheet back to the cold part.
func (s *maker) contact() {
	sh := s.in.Sheet
	s.v = make([]geom.Vec3, len(sh.Nodes))
	s.fit = make([]bool, len(sh.Nodes))
	s.away = make([]geom.Vec3, len(sh.Nodes))
	s.wall = sh.Walls()
	each(len(sh.Nodes), func(i int) {
		n := &sh.Nodes[i]
		p := n.At
		if n.Status == form.Landed && !n.Off {
			s.fit[i] = true
			p, s.away[i] = s.toFace(p)
		}
		s.v[i] = s.in.Map.Back(p)
	})
	for i := range s.wall {
		if s.wall[i] == 0 { // webbing: the shell still needs a wall, the thinnest it could be told apart by
			s.wall[i] = webWall * sh.Gauge
		}
	}
	s.tri = make([][3]int32, len(sh.Triangles))
	s.from = make([]int32, len(sh.Triangles))
	for k := range sh.Triangles {
		s.tri[k], s.from[k] = sh.Triangles[k].N, int32(k)
	}
}

// toFace brings a point of the tool that is close to the face on to it, and returns the direction off it.
func (s *maker) toFace(p geom.Vec3) (geom.Vec3, geom.Vec3) {
	var n geom.Vec3
	for range faceSteps {
		d, g, _ := s.in.Face(p)
		p, n = p.Sub(g.Scale(d)), g
	}
	return p, n
}

const (
	// chordDeep is how far the middle of an edge between landed vertices may be off the face, mm.
	chordDeep = 0.04
	// steepFace is the height of the direction off the face below which only half of that is allowed: what a
	// steep side is off by makes many times as much in the height at which parts nest.
	steepFace = 0.3
	// finer is how often edges are halved for that.
	finer = 3
	// shortest is the edge that is not halved: letters and hinges are finer than the sheet takes, mm.
	shortest = 1.0
	// alike is the cosine of the directions at both ends from which an edge lies flat on the face.
	alike = 0.9998
)

// refine halves once the edges of landed sheet that cut through a rounding, and brings their middles on
// to the face.
func (s *maker) refine() {
	var keys [][2]int32
	seen := map[[2]int32]bool{}
	for _, t := range s.tri {
		for e, i := range t {
			j := t[(e+1)%3]
			k := edgeOf(i, j)
			if s.fit[i] && s.fit[j] && !seen[k] && s.away[i].Dot(s.away[j]) < alike && s.v[i].Sub(s.v[j]).Norm() > shortest {
				seen[k] = true
				keys = append(keys, k)
			}
		}
	}
	at, away := make([]geom.Vec3, len(keys)), make([]geom.Vec3, len(keys))
	each(len(keys), func(k int) {
		p := s.in.Map.Point(s.v[keys[k][0]].Add(s.v[keys[k][1]]).Scale(0.5))
		d, n, _ := s.in.Face(p)
		deep := chordDeep
		if n.Z < steepFace {
			deep /= 2
		}
		if d < -deep || d > deep {
			at[k], away[k] = s.toFace(p)
		}
	})
	mid := map[[2]int32]int32{}
	for k, e := range keys {
		if away[k] == (geom.Vec3{}) {
			continue
		}
		mid[e] = int32(len(s.v))
		s.v, s.away, s.fit = append(s.v, s.in.Map.Back(at[k])), append(s.away, away[k]), append(s.fit, true)
		s.wall = append(s.wall, (s.wall[e[0]]+s.wall[e[1]])/2)
	}
	if len(mid) == 0 {
		return
	}
	s.divide(mid)
}

// webWall is the wall drawn in the middle of a web, as a share of the gauge: no wall is known there.
const webWall = 0.1

// chunk is how many items one worker takes at a time.
const chunk = 512

// each calls work for every i below n, on all processors; work(i) may write only what belongs to i.
func each(n int, work func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n/chunk+1) {
		wg.Go(func() {
			for {
				hi := int(next.Add(chunk))
				for i := hi - chunk; i < min(hi, n); i++ {
					work(i)
				}
				if hi >= n {
					return
				}
			}
		})
	}
	wg.Wait()
}
