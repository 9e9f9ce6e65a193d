package vent

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/shop"
)

// Tolerances of the proof, mm.
const (
	onFace  = 0.01 // a hole starts this close to the face
	clear   = 0.05 // flat kept round its mouth
	probing = 0.5  // step along a drill
	closely = 0.1  // step along a back drill where the wall beside it is near the least
	rims    = 12   // directions round a mouth and a place
	chord   = 0.02 // by which a wall may be nearer between two samples round a drill
	sliver  = 0.05 // no back drill is this shallow: the hole goes through
	near    = 0.1  // a chuck this near to a wall touches it
)

const tooNear = "another hole serves it"

// prove completes the hole with its back drill and checks it against the distance field. It reports
// false with the reason where the hole can not be drilled.
func (p *planner) prove(h *Hole) (bool, string) {
	for i := range p.holes {
		o := &p.holes[i]
		apart := o.At.Plan().Sub(h.At.Plan()).Norm()
		if o.Feature == h.Feature && apart < 0.4*p.pitch {
			return false, tooNear
		}
		if apart < (o.widest()+h.Dia)/2+p.least {
			return false, crowded(o, h)
		}
	}
	if why := p.mouth(h); why != "" {
		return false, why
	}
	height := h.At.Z - p.bottom
	if height <= h.Depth+sliver { // thin enough to drill through
		h.Depth = height
		if why := p.side(h); why != "" {
			return false, why
		}
		return p.reach(h)
	}
	why := ""
	for _, d := range p.backSizes(h.Dia) {
		h.BackDia, h.BackDepth = d, height-h.Depth
		if why = p.back(h); why == "" {
			return p.reach(h)
		}
	}
	return false, why
}

// crowded says that hole o stands where h would leave too little solid between them.
func crowded(o, h *Hole) string {
	if o.Feature == h.Feature {
		return tooNear
	}
	return "too little solid would be left to the hole " + o.ID
}

// mouth checks that the hole starts on a level face that is flat around it.
func (p *planner) mouth(h *Hole) string {
	f := p.b.Field
	s := f.Face(h.At)
	if math.Abs(s.D) > onFace/2 || s.G.Z < 1-1e-6 {
		return "its mouth would not stand on a level face"
	}
	if role := f.Pieces.At(s.Piece).Role; role != piece.Floor && role != piece.Land && role != piece.Crown {
		return "its mouth would stand on the " + role.String()
	}
	for k := range rims {
		q := h.At.Add(around(k, h.Dia/2+clear).At(0))
		if math.Abs(f.Face(q).D) > onFace/2 {
			return "its mouth would run into the fillet"
		}
	}
	// Beside the small drill the solid must be as thick as asked, or reach up to the face it starts on.
	for z := probing; z < h.Depth; z += probing {
		if -f.Face(h.At.Plan().At(h.At.Z-z)).D >= h.Dia/2+min(z, p.least) {
			continue
		}
		if d := p.beside(h, h.Dia/2, h.At.Z-z); d < min(z, p.least)-onFace {
			return fmt.Sprintf("only %.2f mm would be left beside the small drill, %.1f mm below the face", max(d, 0), z)
		}
	}
	return ""
}

// beside returns the least solid round a drill of radius r at height z.
func (p *planner) beside(h *Hole, r, z float64) float64 {
	n := 1
	if r > chord {
		n = int(math.Ceil(math.Pi / math.Acos(max(0.5, 1-chord/r))))
	}
	least := math.Inf(1)
	for k := range n {
		a := geom.Angle(360*float64(k)/float64(n)) * geom.Degree
		least = min(least, -p.b.Field.Face(h.At.Plan().Add(geom.Vec2{X: r}.Turn(a)).At(z)).D)
	}
	return least
}

// back checks the back drill with its point: solid left to every other void, to the side of the
// block and to the back drills of other holes.
func (p *planner) back(h *Hole) string {
	f := p.b.Field
	r := h.BackDia / 2
	skin := h.Depth - shop.Tip(h.BackDia, shop.PointStandard)
	if least := max(2*h.Dia, 1); skin < least {
		return fmt.Sprintf("a back drill of %.1f mm leaves a skin of %.2f mm over its point; at least %.2f mm", h.BackDia, skin, least)
	}
	top := p.bottom + h.BackDepth
	for z := p.bottom; ; {
		// The field has slope 1: solid of d round the axis leaves d - r round the drill, and what it has
		// to spare reaches as far along the axis.
		spare, step := -f.Face(h.At.Plan().At(z)).D-r-p.least, probing
		if spare < 0 {
			d, least := p.beside(h, r, z), min(h.At.Z-z, p.least)-onFace
			if d < least {
				return fmt.Sprintf("a back drill of %.1f mm leaves %.2f mm of wall; at least %.2f mm", h.BackDia, max(d, 0), p.least)
			}
			step = max(closely, d-least) // likewise
		}
		if z == top {
			break
		}
		z = min(z+max(step, spare), top)
	}
	for _, up := range [...]float64{0.25, 0.5, 0.75, 1} { // of its point
		z := top + up*shop.Tip(h.BackDia, shop.PointStandard)
		if d := p.beside(h, r*(1-up), z); d < min(h.At.Z-z, p.least)-onFace {
			return fmt.Sprintf("the point of the back drill comes within %.2f mm of a face; at least %.2f mm", max(d, 0), min(skin, p.least))
		}
	}
	if why := p.side(h); why != "" {
		return why
	}
	for i := range p.holes {
		o := &p.holes[i]
		if gap := o.At.Plan().Sub(h.At.Plan()).Norm() - r - o.widest()/2; gap < p.least {
			return crowded(o, h)
		}
	}
	return ""
}

// widest returns the diameter of the wider of the hole's drills.
func (h *Hole) widest() float64 { return max(h.Dia, h.BackDia) }

// side checks the solid left to the side of the block, which leans in with its draft.
func (p *planner) side(h *Hole) string {
	lean := p.b.Part.Job.Block.Angle("skirt_draft")
	foot := -p.b.Field.Block.Outline.At(h.At.Plan()).D // at the base
	for _, drill := range [...]struct{ dia, top float64 }{{h.Dia, h.At.Z - p.bottom}, {h.BackDia, h.BackDepth}} {
		if d := (foot-drill.top*lean.Tan())*lean.Cos() - drill.dia/2; d < p.least {
			return fmt.Sprintf("a drill of %.1f mm leaves %.2f mm to the side of the block; at least %.2f mm", drill.dia, d, p.least)
		}
	}
	return ""
}

// reach decides from where the small drill goes in: from the face where the chuck clears the walls,
// else through the back drill where that is wide or shallow enough.
func (p *planner) reach(h *Hole) (bool, string) {
	t, err := shop.NewDrill(h.Dia)
	if err != nil {
		return false, err.Error()
	}
	out := t.StickOut() - h.Depth // of the drill above the face when it is down
	if p.chuckClears(h, out) {
		return true, ""
	}
	if h.BackDia > 0 && (h.BackDia >= 2*shop.ChuckRadius || t.StickOut() >= h.BackDepth+h.Depth) {
		h.FromBack = true
		return true, ""
	}
	return false, fmt.Sprintf("the chuck (radius %.1f mm) would touch a wall with the %.2f mm drill out by %.1f mm, and the back drill does not let it in from below",
		shop.ChuckRadius, h.Dia, out)
}

// chuckClears reports whether the chuck stays clear of the face with the drill out of it by out mm.
func (p *planner) chuckClears(h *Hole, out float64) bool {
	if out <= 0 {
		return false
	}
	low := h.At.Add(geom.Vec3{X: -shop.ChuckRadius, Y: -shop.ChuckRadius, Z: out})
	high := h.At.Add(geom.Vec3{X: shop.ChuckRadius, Y: shop.ChuckRadius}).Plan().At(max(p.b.Field.Box().Max.Z, low.Z) + near)
	return p.air(h.At.Plan(), geom.Box3{Min: low, Max: high})
}

// air reports whether the part of a box that lies within the chuck round an axis is clear of the
// face by near.
func (p *planner) air(axis geom.Vec2, box geom.Box3) bool {
	half := box.Size().Scale(0.5)
	switch d := p.b.Field.Face(box.Centre()).D; {
	case d >= half.Norm()+near || box.Plan().Dist(axis) > shop.ChuckRadius:
		return true
	case d < near || half.Norm() < near:
		return false
	}
	a, b, mid := box, box, box.Centre()
	switch max(half.X, half.Y, half.Z) {
	case half.X:
		a.Max.X, b.Min.X = mid.X, mid.X
	case half.Y:
		a.Max.Y, b.Min.Y = mid.Y, mid.Y
	default:
		a.Max.Z, b.Min.Z = mid.Z, mid.Z
	}
	return p.air(axis, a) && p.air(axis, b)
}

// around returns the k-th of rims points on a circle of radius r.
func around(k int, r float64) geom.Vec2 {
	return geom.Vec2{X: r}.Turn(geom.Angle(k) * 360 / rims * geom.Degree)
}
