package form

import (
	"context"
	"math"

	"platen/toolgen/geom"
)

// Status says how a node ended.
type Status uint8

// Statuses.
const (
	Clamped Status = iota // in the frame
	Landed                // on the tool, or within Bridge of it
	Bridged               // held off the tool by the sheet's own tension
	Webbing               // frozen where the sheet was about to fold: its thickness means nothing
)

// Bridge is the gap under which a sheet still free at the end counts as landed, mm.
const Bridge = 0.3

// Never is the step of a node that did not come to rest.
const Never = never

// Node is a point of the formed sheet.
type Node struct {
	Flat     geom.Vec2 // its place on the flat sheet
	At       geom.Vec3 // its place on the formed sheet, on the side of the tool
	Status   Status
	Off      bool    // it landed on the platen or a wall, not on the tool
	Step     int32   // when it landed: the order of contact; Never if it is still free
	Pressure float64 // at which it landed, MPa
	Gap      float64 // between it and the tool, mm
}

// Triangle is a piece of the formed sheet, counter-clockwise seen from above the sheet.
type Triangle struct {
	N         [3]int32
	Thickness float64 // mm
	Wrinkled  bool    // pressed together in one direction: it may wrinkle
}

// Sheet is the formed sheet.
type Sheet struct {
	Gauge     float64
	Flat      float64 // area of the flat sheet inside the frame, mm2
	Nodes     []Node
	Triangles []Triangle
	States    []State // the trapped air, by rising pressure
	Steps     int     // the run took
	parents   []int32 // of the triangles: what each was split from
}

// sheet collects the result.
func (s *sim) sheet(ctx context.Context) (*Sheet, error) {
	out := &Sheet{
		Gauge:     s.set.Gauge,
		Flat:      s.whole,
		Nodes:     make([]Node, len(s.nodes)),
		Triangles: make([]Triangle, len(s.tris)),
		Steps:     int(s.step),
		parents:   make([]int32, len(s.tris)),
	}
	s.crew.run((len(s.nodes)+nodeChunk-1)/nodeChunk, func(chunk int) {
		for i := chunk * nodeChunk; i < min((chunk+1)*nodeChunk, len(s.nodes)); i++ {
			out.Nodes[i] = s.ended(i)
		}
	})
	s.crew.run((len(s.tris)+triChunk-1)/triChunk, func(chunk int) {
		for k := chunk * triChunk; k < min((chunk+1)*triChunk, len(s.tris)); k++ {
			t := &s.tris[k]
			out.Triangles[k] = Triangle{N: t.n, Thickness: s.set.Gauge * s.flatArea(t) / s.area(t), Wrinkled: s.wrinkled(t)}
			out.parents[k] = t.parent
		}
	})
	return out, s.trapped(ctx, out)
}

// ended returns how a node ended.
func (s *sim) ended(i int) Node {
	n := &s.nodes[i]
	r := Node{Flat: s.flat[i], At: s.at[i], Off: n.off, Step: s.rests[i].step, Pressure: s.rests[i].pressure}
	switch n.state {
	case clamped:
		r.Status = Clamped
	case stuck:
		r.Status = Landed
	case web:
		r.Status = Webbing
		r.Gap, _, _ = s.distance(s.at[i])
	case free:
		r.Gap, _, r.Off = s.distance(s.at[i])
		if r.Status = Landed; r.Gap > Bridge {
			r.Status = Bridged
		}
	}
	return r
}

// wrinkled reports whether the membrane is under compression: the smaller stretch is under that of
// plain tension along the larger.
func (s *sim) wrinkled(t *triangle) bool {
	e := newElement(t.n, s.flat[t.n[0]], s.flat[t.n[1]], s.flat[t.n[2]], s.set.Gauge)
	tr, j2 := e.stretch(metric(s.at[t.n[0]], s.at[t.n[1]], s.at[t.n[2]]))
	root := math.Sqrt(max(0, tr*tr-4*j2))
	large, small := (tr+root)/2, (tr-root)/2
	return small*math.Sqrt(large) < wrinkleShare*wrinkleShare
}

// wrinkleShare leaves room for the mesh's own noise: a sheet in plain tension to a stretch l has
// l^-1/2 across.
const wrinkleShare = 0.98

// Area returns the area of a triangle of the formed sheet, mm2.
func (sh *Sheet) Area(k int) float64 {
	t := &sh.Triangles[k]
	a := sh.Nodes[t.N[0]].At
	return sh.Nodes[t.N[1]].At.Sub(a).Cross(sh.Nodes[t.N[2]].At.Sub(a)).Norm() / 2
}

// FlatArea returns the area a triangle had on the flat sheet, mm2.
func (sh *Sheet) FlatArea(k int) float64 {
	t := &sh.Triangles[k]
	a := sh.Nodes[t.N[0]].Flat
	return sh.Nodes[t.N[1]].Flat.Sub(a).Cross(sh.Nodes[t.N[2]].Flat.Sub(a)) / 2
}

// Balance returns the volume of the formed sheet over that of the flat one, less 1: rounding alone.
func (sh *Sheet) Balance() float64 {
	var formed total
	for k := range sh.Triangles {
		formed.add(sh.Triangles[k].Thickness * sh.Area(k))
	}
	return formed.value()/(sh.Gauge*sh.Flat) - 1
}

// total is a sum that keeps what rounding would lose.
//
// SOURCE: A. Neumaier, Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen, ZAMM
// 54, 1974 (from memory, unverified).
type total struct{ sum, lost float64 }

func (t *total) add(x float64) {
	s := t.sum + x
	if math.Abs(t.sum) >= math.Abs(x) {
		t.lost += (t.sum - s) + x
	} else {
		t.lost += (x - s) + t.sum
	}
	t.sum = s
}

func (t *total) value() float64 { return t.sum + t.lost }

// Mean returns the mean thickness over the area of the triangles whose middle the test takes, mm,
// and that area, mm2.
func (sh *Sheet) Mean(take func(middle geom.Vec3) bool) (thickness, area float64) {
	volume := 0.0
	for k := range sh.Triangles {
		if take(sh.Middle(k)) {
			volume += sh.Gauge * sh.FlatArea(k)
			area += sh.Area(k)
		}
	}
	return volume / area, area
}

// Middle returns the middle of a triangle of the formed sheet.
func (sh *Sheet) Middle(k int) geom.Vec3 {
	n := &sh.Triangles[k].N
	return sh.Nodes[n[0]].At.Add(sh.Nodes[n[1]].At).Add(sh.Nodes[n[2]].At).Scale(1.0 / 3)
}
