package closing

import (
	"math"
	"slices"

	"platen/toolgen/geom"
	"platen/toolgen/part"
)

// Line is the line that a part is folded about. The half on its left, seen along Dir from above, is the
// one that turns: the lid.
type Line struct {
	Feature *part.Feature // that carries it
	At      geom.Vec2     // a point of it, part plan
	Dir     geom.Vec2     // unit
	Half    float64       // of its beads with their roundings and the wall over them, mm: what lies nearer bends with them
	Meets   part.Face     // the faces that meet
	Axis    part.Face     // the face it lies on
}

// Of returns the fold lines of a part's first impression, in the order of the job. Beads that lie in one
// line, as of a hinge in several stretches, are one.
func Of(p *part.Part) []Line {
	var out []Line
	for _, f := range p.Features {
		if f.Fold == nil || f.Impression > 0 {
			continue
		}
		dir := geom.Vec2{X: f.Turn.Cos(), Y: f.Turn.Sin()}
		l := Line{
			Feature: f, At: f.Middle.Sub(dir.Left().Scale(f.Fold.Off)), Dir: dir,
			Half: f.Fold.Half + p.Gauge, Meets: f.Fold.Meets, Axis: f.Fold.Axis,
		}
		if k := slices.IndexFunc(out, l.goesOn); k >= 0 {
			out[k].Half = max(out[k].Half, l.Half)
			continue
		}
		out = append(out, l)
	}
	return out
}

// inLine is how far beads may be off each other's line and still fold together, mm.
const inLine = 0.05

// goesOn reports whether o is a stretch of the same line.
func (l Line) goesOn(o Line) bool {
	return l.Meets == o.Meets && l.Axis == o.Axis && math.Abs(l.Dir.Cross(o.Dir)) < 1e-6 && math.Abs(l.Beyond(o.At)) <= inLine
}

// Beyond returns how far a plan point lies beyond the line, on the lid's side, mm.
func (l Line) Beyond(q geom.Vec2) float64 { return q.Sub(l.At).Dot(l.Dir.Left()) }

// Mirror returns where a plan point comes to lie in the plan when its half is turned over: mirrored about
// the line.
func (l Line) Mirror(q geom.Vec2) geom.Vec2 {
	return q.Sub(l.Dir.Left().Scale(2 * l.Beyond(q)))
}

// Pair is a button with the socket that lies nearest to where it goes when the pack is closed.
type Pair struct {
	Button, Socket *part.Feature // Socket nil: none on the other half
	Miss           geom.Vec2     // from where the button goes to the socket, in the plan of the part, on the socket's half
	Far            float64       // from the line to the button, mm
}

// Lone reports whether the button meets no socket at all: their outlines do not even overlap.
func (p Pair) Lone() bool {
	return p.Socket == nil || p.Miss.Norm() > p.Socket.Outline.Inside()
}

// Asked returns the overlap that the job asks for, mm a side; 0 without a socket.
func (p Pair) Asked() float64 {
	if p.Socket == nil {
		return 0
	}
	return p.Button.Outline.Inside() - (p.Socket.Outline.Inside() - p.Socket.Undercut.Depth)
}

// Pairs returns the snaps of a line in the order of the buttons, and the sockets that no button goes
// into. A button may lie on either half.
func Pairs(p *part.Part, l Line) (pairs []Pair, idle []*part.Feature) {
	var sockets []*part.Feature
	for _, f := range p.Features {
		if f.Use == part.Socket && f.Impression == 0 {
			sockets = append(sockets, f)
		}
	}
	taken := map[*part.Feature]bool{}
	for _, f := range p.Features {
		if f.Use != part.Button || f.Impression > 0 {
			continue
		}
		to := l.Mirror(f.Middle)
		best := Pair{Button: f, Far: math.Abs(l.Beyond(f.Middle))}
		for _, s := range sockets {
			miss := s.Middle.Sub(to)
			if l.Beyond(s.Middle)*l.Beyond(to) > 0 && (best.Socket == nil || miss.Norm() < best.Miss.Norm()) {
				best.Socket, best.Miss = s, miss
			}
		}
		if !best.Lone() {
			taken[best.Socket] = true
		}
		pairs = append(pairs, best)
	}
	for _, s := range sockets {
		if !taken[s] {
			idle = append(idle, s)
		}
	}
	return pairs, idle
}
