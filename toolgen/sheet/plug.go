package sheet

import (
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/form"
	"platen/toolgen/frame"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// plugs are the plugs of a job on their plate, as they stand over the tool.
type plugs struct {
	*part.Plug
	at  []*outline.Outline // plan of the ends, on the tool
	box []geom.Box2
	end float64 // height of the ends
}

var _ form.Tool = plugs{}

// newPlugs puts the plugs over the tool, their ends at a height.
func newPlugs(b *body.Body, end float64) (plugs, error) {
	p := plugs{Plug: b.Part.Plug, end: end}
	for i := range b.Part.Impressions {
		m := b.MapOf(i)
		for _, at := range p.Places {
			own := frame.Map{Scale: geom.Vec3{X: 1, Y: 1, Z: 1}, Over: m.Over, Shift: m.Plan(at).At(0)}
			o, err := p.Outline.Map(own.Affine())
			if err != nil {
				return p, &part.BuildError{Pos: p.Pos, Feature: "plug", Err: err}
			}
			p.at, p.box = append(p.at, o), append(p.box, o.Bounds())
		}
	}
	return p, nil
}

// Distance returns the distance to the nearest plug. A plug is drawn out upward without end.
func (p plugs) Distance(at geom.Vec3) (float64, geom.Vec3) {
	best, dir := math.Inf(1), geom.Vec3{Z: -1}
	lean := max(0, at.Z-p.end) * p.Draft.Tan()
	for i, o := range p.at {
		if p.box[i].Dist(at.Plan())*p.Draft.Cos()-lean > best {
			continue
		}
		foot := o.At(at.Plan())
		d, g := p.profile(geom.Vec2{X: foot.D, Y: at.Z - p.end})
		if d < best {
			best, dir = d, geom.Vec3{X: g.X * foot.G.X, Y: g.X * foot.G.Y, Z: g.Y}
		}
	}
	return best, dir
}

// profile returns the distance to the section of a plug and the direction away, exact: X is off the outline
// of the end, Y above the end. The section is a wedge, moved inward by the rounding and grown by it again.
func (p plugs) profile(q geom.Vec2) (float64, geom.Vec2) {
	sin, cos := p.Draft.Sin(), p.Draft.Cos()
	tip := geom.Vec2{X: -p.Inset(), Y: p.Edge}
	v := q.Sub(tip)
	down, out := geom.Vec2{Y: -1}, geom.Vec2{X: cos, Y: -sin}
	below, beside := v.Dot(down), v.Dot(out)
	switch {
	case below <= 0 && beside <= 0: // in the wedge
		if below > beside {
			return below - p.Edge, down
		}
		return beside - p.Edge, out
	case below > 0 && v.X <= 0:
		return below - p.Edge, down
	case beside > 0 && v.Dot(geom.Vec2{X: sin, Y: cos}) >= 0:
		return beside - p.Edge, out
	}
	r := v.Norm()
	return r - p.Edge, v.Scale(1 / r)
}

// clearOff is how far above the sheet, or its bubble, the plugs start, mm.
const clearOff = 1.0

// plug adds the plugs to a plan.
//
// ERROR: plugs that go outside the frame or into the tool.
func (p *Plan) plug(b *body.Body) error {
	own := b.Part.Plug
	if own == nil {
		return nil
	}
	start := p.Start + p.Blow + clearOff
	end := b.Land() - own.Travel
	face, err := newPlugs(b, start)
	if err != nil {
		return err
	}
	p.Plug = &form.Plug{Face: face, Travel: start - end, Slip: !own.Stick}
	top := p.Start - p.Travel // the frame as the plugs come down
	wide := max(0, top-end) * own.Draft.Tan()
	for _, box := range face.box {
		g := box.Grow(wide)
		if g.Min.X < p.Frame.Min.X || g.Min.Y < p.Frame.Min.Y || g.Max.X > p.Frame.Max.X || g.Max.Y > p.Frame.Max.Y {
			size := p.Frame.Size()
			return &part.BuildError{Pos: b.Part.Job.Forming.Group("plug").Pos("at"), Feature: "plug", Err: fmt.Errorf("it does not go through the frame of %.1f x %.1f mm: it reaches to X %.1f, Y %.1f of the tool where the sheet is clamped; the frame to X %.1f, Y %.1f", size.X, size.Y, g.Max.X, g.Max.Y, p.Frame.Max.X, p.Frame.Max.Y)}
		}
	}
	face.end = end
	p.Gap, p.GapAt = face.gap(b)
	if p.Gap < 0 {
		lo, hi := 0.0, own.Travel // the tool is free at 0: the plug stands on the land's level
		for range 20 {
			mid := (lo + hi) / 2
			face.end = b.Land() - mid
			if g, _ := face.gap(b); g < 0 {
				hi = mid
			} else {
				lo = mid
			}
		}
		most := fmt.Sprintf("travel at most %.2f mm there", math.Floor(lo*100+0.01)/100)
		if lo < 0.01 {
			most = "there the tool lets it no way down"
		}
		into := b.Field.Pieces.At(b.Field.Face(p.GapAt).Piece)
		return &part.BuildError{Pos: own.Pos, Feature: "plug", Err: fmt.Errorf("travel %.2f mm: it goes %.2f mm into the %s of %s; %s", own.Travel, -p.Gap, into.Role, into.Feature, most)}
	}
	return nil
}

const (
	leastStep = 0.25 // mm, between places on a plug where the gap is measured at the closest
	fan       = 6    // directions round a sharp corner of a plug's plan
	arcSteps  = 8    // places over the rounding of a plug's end
)

// gap returns the least distance from the plugs to the tool and where it is, on the plug. It moves over the
// plug's skin by steps of what is known to be clear, 0.25 mm at least.
func (p plugs) gap(b *body.Body) (least float64, at geom.Vec3) {
	least = math.Inf(1)
	measure := func(q geom.Vec3) (clear float64) {
		d := b.Field.Face(q).D
		if d < least {
			least, at = d, q
		}
		return max(leastStep, d-least)
	}
	top := b.Field.Box().Max.Z
	for _, o := range p.at[:len(p.Places)] { // impressions are alike
		for _, s := range p.skin(top) {
			p.round(o, s, measure)
		}
		box := o.Bounds()
		for y := box.Min.Y; y <= box.Max.Y; y += 4 * leastStep {
			for x := box.Min.X; x <= box.Max.X; {
				q := geom.Vec2{X: x, Y: y}
				if o.At(q).D > -p.Inset() {
					x += 4 * leastStep
					continue
				}
				x += max(4*leastStep, measure(q.At(p.end)))
			}
		}
	}
	return least, at
}

// skin returns places of the section of a plug, over its rounding and up its side to a height: X off the
// outline, Y the height.
func (p plugs) skin(top float64) []geom.Vec2 {
	var out []geom.Vec2
	tip := geom.Vec2{X: -p.Inset(), Y: p.end + p.Edge}
	turn := 90*geom.Degree - p.Draft // from straight down to the side
	for k := range arcSteps + 1 {
		out = append(out, tip.Add(geom.Vec2{Y: -p.Edge}.Turn(turn*geom.Angle(k)/arcSteps)))
	}
	foot := out[len(out)-1]
	for z := foot.Y + 1; z < top; z++ {
		out = append(out, geom.Vec2{X: foot.X + (z-foot.Y)*p.Draft.Tan(), Y: z})
	}
	return out
}

// round measures round a plug at one place of its section.
func (p plugs) round(o *outline.Outline, s geom.Vec2, measure func(geom.Vec3) float64) {
	for i, e := range o.Elems {
		for l, u := e.Length(), 0.0; u < l; {
			q := e.Point(u / l).Add(e.Out(u / l).Scale(s.X))
			u += measure(q.At(s.Y)) / max(1, stretch(e, s.X))
		}
		next := o.Elems[(i+1)%len(o.Elems)]
		a, c := e.Out(1), next.Out(0)
		for k := range fan { // round a corner without a radius
			n := a.Scale(float64(fan-k) / fan).Add(c.Scale(float64(k) / fan)).Unit()
			measure(e.Point(1).Add(n.Scale(s.X)).At(s.Y))
		}
	}
}

// stretch returns the length of an element moved outward over its own.
func stretch(e outline.Elem, out float64) float64 {
	if !e.IsArc() {
		return 1
	}
	return math.Abs(1 + out/e.R)
}
