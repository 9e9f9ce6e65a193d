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
	rims    = 12   // directions round a drill
)

const tooNear = "another hole serves it"

// prove completes the hole with its back drill and checks it against the distance field. It reports
// false with the reason where the hole can not be drilled.
func (p *planner) prove(h *Hole) (bool, string) {
	if why := p.mouth(h); why != "" {
		return false, why
	}
	for _, o := range p.holes {
		if o.At.Plan().Sub(h.At.Plan()).Norm() < max(0.4*p.pitch, (o.BackDia+h.Dia)/2+p.least) {
			return false, tooNear
		}
	}
	height := h.At.Z - p.bottom
	if height <= h.Depth { // thin enough to drill through
		h.Depth = height
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
		for k := range rims {
			q := h.At.Add(around(k, h.Dia/2).At(-z))
			if d := -f.Face(q).D; d < min(z, p.least)-onFace {
				return fmt.Sprintf("only %.2f mm would be left beside the small drill, %.1f mm below the face", max(d, 0), z)
			}
		}
	}
	return ""
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
	for z := p.bottom; ; z = min(z+probing, top) {
		for k := range rims {
			q := h.At.Plan().Add(around(k, r)).At(z)
			if d := -f.Face(q).D; d < min(h.At.Z-z, p.least)-onFace {
				return fmt.Sprintf("a back drill of %.1f mm leaves %.2f mm of wall; at least %.2f mm", h.BackDia, max(d, 0), p.least)
			}
		}
		if z == top {
			break
		}
	}
	apex := h.At.Plan().At(top + shop.Tip(h.BackDia, shop.PointStandard))
	if d := -f.Face(apex).D; d < min(skin, p.least)-onFace {
		return fmt.Sprintf("the point of the back drill comes within %.2f mm of a face", max(d, 0))
	}
	if d := -f.Block.Outline.At(h.At.Plan()).D; d < r+p.least {
		return fmt.Sprintf("a back drill of %.1f mm leaves %.2f mm to the side of the block", h.BackDia, d-r)
	}
	for _, o := range p.holes {
		if gap := o.At.Plan().Sub(h.At.Plan()).Norm() - r - o.BackDia/2; gap < p.least {
			return tooNear
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
	top := p.b.Field.Box().Max.Z
	for z := h.At.Z + out; z < top+probing; z += probing {
		for k := range rims {
			if p.b.Field.Face(h.At.Plan().Add(around(k, shop.ChuckRadius)).At(z)).D < 0 {
				return false
			}
		}
	}
	return true
}

// around returns the k-th of rims points on a circle of radius r.
func around(k int, r float64) geom.Vec2 {
	return geom.Vec2{X: r}.Turn(geom.Angle(k) * 360 / rims * geom.Degree)
}
