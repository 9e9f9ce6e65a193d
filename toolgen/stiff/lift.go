package stiff

import (
	"context"
	"math"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/geom"
)

// gravity is the standard fall, 9.80665 m/s2, in N/g. SOURCE: ISO 80000-3.
const gravity = 9.80665e-3

// hands is how far from the ends of a part it is held, mm: common practice, no source.
const hands = 10.0

// Load is a mass at a place of the beam.
type Load struct {
	At   float64 // along the beam, part frame
	Mass float64 // g
}

// Beam is a part lifted by its ends.
type Beam struct {
	Axis     string  // along which it spans: "X" or "Y"
	From, To float64 // where it is held, part frame, mm
	Sections []Section
	Loads    []Load
	Masses   []float64 // g of the part itself in the stretch after each section
	Own      float64   // g, its own mass, with what lies outside the hands
	Load     float64   // g, of what lies in it
	density  float64   // g/mm3
}

// Lift cuts a part for lifting by the ends of its longer side, with the products that its pockets tell.
//
// ERROR: the context's error.
func Lift(ctx context.Context, b *body.Body, w Walls) (*Beam, error) {
	size := b.Part.Outline.Bounds().Size()
	c := newCutter(b, w)
	out := &Beam{Axis: "X", density: b.Part.Sheet.Heat.Density.V * 1e-6}
	if size.Y > size.X {
		c.along, out.Axis = 1, "Y"
	}
	box := b.Part.Outline.Bounds()
	lo, hi := box.Min.X, box.Max.X
	along := func(p geom.Vec2) float64 { return p.X }
	if c.along == 1 {
		lo, hi = box.Min.Y, box.Max.Y
		along = func(p geom.Vec2) float64 { return p.Y }
	}
	in := min(hands, (hi-lo)/10)
	out.From, out.To = lo+in, hi-in
	for i := range stations {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		out.Sections = append(out.Sections, c.section(out.From+(out.To-out.From)*float64(i)/(stations-1)))
	}
	for _, f := range b.Part.Features {
		if f.Impression == 0 && f.Held != nil && f.Held.Mass > 0 {
			out.Loads = append(out.Loads, Load{along(f.Middle), f.Held.Mass})
			out.Load += f.Held.Mass
		}
	}
	out.weigh(w, c.along, in)
	return out, nil
}

// weigh finds the part's own mass and where it lies, of a part that reaches by so much over the hands: from the sheet
// if that is known, else from the sections.
func (b *Beam) weigh(w Walls, along int, over float64) {
	n := len(b.Sections)
	b.Masses = make([]float64, n-1)
	if s, ok := w.(Weighed); ok {
		at := make([]float64, n)
		for i := range at {
			at[i] = b.Sections[i].At
		}
		all := s.Volumes(along, at)
		for i, v := range all {
			b.Own += v * b.density
			if i > 0 && i < n {
				b.Masses[i-1] = v * b.density
			}
		}
		return
	}
	b.Own = b.density * (b.Sections[0].Heft + b.Sections[n-1].Heft) * over
	for i := range b.Masses {
		p, q := b.Sections[i], b.Sections[i+1]
		b.Masses[i] = b.density * (p.Heft + q.Heft) / 2 * (q.At - p.At)
		b.Own += b.Masses[i]
	}
}

// Span returns the distance of the hands, mm.
func (b *Beam) Span() float64 { return b.To - b.From }

// Skirted returns the beam with a skirt of a height at both of its long sides.
func (b *Beam) Skirted(height float64) *Beam {
	out := *b
	out.Sections = make([]Section, len(b.Sections))
	for i, s := range b.Sections {
		out.Sections[i] = s.Skirted(height)
	}
	out.Masses = slices.Clone(b.Masses)
	for i := range out.Masses {
		p, q := out.Sections[i], out.Sections[i+1]
		m := b.density * (p.Heft - b.Sections[i].Heft + q.Heft - b.Sections[i+1].Heft) / 2 * (q.At - p.At)
		out.Masses[i] += m
		out.Own += m
	}
	return &out
}

// Sag returns how far the part sags at most under its own mass and its load, mm, and where; modulus is that of
// the sheet, MPa.
//
// SOURCE: derived: the bending moment over E I, integrated twice, of a beam carried at both ends; S. Timoshenko,
// Strength of Materials, Part I, 3rd ed., art. 31 (from memory).
func (b *Beam) Sag(modulus float64) (sag, at float64) {
	n := len(b.Sections)
	if n < 3 || b.Span() <= 0 {
		return 0, b.From
	}
	h := b.Span() / float64(n-1)
	// Loads at the stations: own mass by halves of the neighbouring stretches, the others shared between the
	// two stations they lie between.
	load := make([]float64, n)
	for i, m := range b.Masses {
		load[i] += gravity * m / 2
		load[i+1] += gravity * m / 2
	}
	for _, l := range b.Loads {
		x := (l.At - b.From) / h
		if x <= 0 || x >= float64(n-1) {
			continue // over the hands
		}
		i := int(x)
		load[i] += gravity * l.Mass * (1 - (x - float64(i)))
		load[i+1] += gravity * l.Mass * (x - float64(i))
	}
	right := 0.0
	for i, w := range load {
		right += w * float64(i) / float64(n-1)
	}
	total := 0.0
	for _, w := range load {
		total += w
	}
	left := total - right
	// Curvature at the stations, then slope and place by the same moment-area sums as the load.
	turn := make([]float64, n)
	moment, shear := 0.0, left-load[0]
	for i := range n {
		if i > 0 {
			moment += shear * h
			shear -= load[i]
		}
		ei := modulus * b.Sections[i].I
		if ei <= 0 {
			return math.Inf(1), b.Sections[i].At
		}
		turn[i] = moment / ei * h // at the ends the moment is nothing
	}
	// The deflection is the moment of a beam that carries the curvature as its load.
	r := 0.0
	all := 0.0
	for i, k := range turn {
		r += k * float64(i) / float64(n-1)
		all += k
	}
	w, slope := 0.0, all-r-turn[0]
	for i := 1; i < n; i++ {
		w += slope * h
		slope -= turn[i]
		if w > sag {
			sag, at = w, b.Sections[i].At
		}
	}
	return sag, at
}
