// Package closing owns the closing of a hinged pack: the half beyond the fold line turned about it on to
// the other, measured on the formed part. It says how far the flanges gape, what meets first and at which
// angle, how the snaps hold, and the room that is left over the floors.
//
// The halves are those of the closed shell of both sides of the sheet, cold. What the chords of that mesh
// are too coarse for, the snaps, is taken from the tool's own face and the formed wall on it. The fold is
// a pin on the line: how its beads bend is left out.
//
// Start at Of for the line, at Pairs for the layout of the snaps, and at Close for the rest.
package closing

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/sheet"
	"platen/toolgen/shell"
)

// Input is a formed part that folds.
type Input struct {
	Line     Line
	Body     *body.Body
	Formed   *sheet.Formed
	Shell    *shell.Part
	Products []Product
	Angle    geom.Angle // how far the lid is turned; 0: half a turn, shut
	Step     float64    // of the lines and circles that are looked along, mm; 0: 0.5
}

// Product is a rigid body with plumb sides and a level top that stands in a recess.
type Product struct {
	Solid   *part.Feature    // the recess, on whose floor it stands
	Outline *outline.Outline // part plan
	Height  float64          // mm
}

// Closed is what was measured on the closed pack.
type Closed struct {
	Line    Line
	AxisZ   float64    // height of the line in the part frame, mm
	Flanges Gap        // between the flanges that meet
	Angle   geom.Angle // how far the lid is turned for Touch and Open; the rest is of the shut pack
	Touch   Touch      // what meets first on the way there
	Open    float64    // between the flanges' far edges, mm
	Snaps   []Snap
	Rooms   []Room
	Spread  float64 // largest difference of the mould shrinkage within the material's spread, ratio
}

// Gap is the way between the flanges of both halves where they lie on each other, mm: negative where they
// would be in each other.
type Gap struct {
	Min, Max, Mean float64
	Low, High      float64   // exceeded, and not reached, on all of the flange but a hundredth each: folds of the sheet apart
	AtMin, AtMax   geom.Vec3 // on the half before the line, part frame
	AtLow, AtHigh  geom.Vec3
	Area           float64 // of flange that lies on flange, mm2
	Unknown        float64 // of that where the wall is not known, mm2
}

// Touch is the first contact of both halves on the way from flat to closed, flanges and snaps left out.
type Touch struct {
	Clear bool       // nothing meets; Deep is then the least clearance, negative, -Inf where nothing stands in the way at all
	Angle geom.Angle // turned so far
	Deep  float64    // longest way that is still left to turn at any place that meets, mm
	At    geom.Vec3  // where it meets first, on the half before the line, part frame
	Base  string     // feature there, or its product; "" the flange
	Lid   string     // the same of the half beyond the line
}

// OpenError says why a part is not closed.
type OpenError struct{ Why string }

// Error returns the reason.
func (e *OpenError) Error() string { return "not closed: " + e.Why }

func because(format string, args ...any) error { return &OpenError{fmt.Sprintf(format, args...)} }

// defaultStep is the way between the lines and circles that are looked along, mm: half of the least
// rounding that a tray's sheet is drawn over.
const defaultStep = 0.5

// Close turns the half beyond the line on to the other.
//
// ERROR: *OpenError for halves that have no flange on each other or a product without a floor to stand on;
// the context's.
func Close(ctx context.Context, in Input) (*Closed, error) {
	if in.Step == 0 {
		in.Step = defaultStep
	}
	if in.Angle == 0 {
		in.Angle = math.Pi
	}
	c := &Closed{Line: in.Line, Angle: in.Angle, Spread: in.Body.Part.Sheet.Shrink.Spread.High - in.Body.Part.Sheet.Shrink.Spread.Low}
	c.AxisZ = axisZ(in)
	f := frameOf(in.Line, c.AxisZ)
	base, lid := newHalf(f, false), newHalf(f, true)
	for _, h := range []*half{base, lid} {
		h.take(in.Shell.Mesh)
		if len(h.tri) == 0 {
			return nil, because("all of the part lies on one side of the fold line through part x %.2f, y %.2f", in.Line.At.X, in.Line.At.Y)
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c.Snaps = snaps(in)
	plan, err := in.lay(base, lid, c.Snaps)
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return nil, err
	}
	c.Flanges = plan.flanges()
	if c.Flanges.Area == 0 {
		return nil, because("no flange of one half lies on the other's when it is folded about the line through part x %.2f, y %.2f", in.Line.At.X, in.Line.At.Y)
	}
	c.Touch = plan.swing()
	c.Touch.Deep = micron(c.Touch.Deep)
	c.Open = 2 * plan.base.box.Max.Y * ((math.Pi - in.Angle) / 2).Sin()
	c.Rooms = plan.rooms()
	for i := range c.Rooms {
		c.Rooms[i].Free = micron(c.Rooms[i].Free)
	}
	for i := range c.Snaps {
		c.Snaps[i].seat(c.Flanges.Mean)
	}
	return c, ctx.Err()
}

// Drift returns how far button and socket of a snap may come apart where both halves shrink unlike, by the
// whole spread of the material, over the way from the line to the snap, mm. What both halves shrink alike
// moves them alike.
func (c *Closed) Drift(s Snap) float64 { return micron(c.Spread * s.Far) }

// micron rounds to a thousandth of a millimetre, once and here, so that all who round a length further for
// their reader say the same.
func micron(x float64) float64 { return math.Round(x*1000) / 1000 }

// axisZ returns the height of the fold line: of its face on the land beside it.
func axisZ(in Input) float64 {
	return in.Body.MeetingZ(in.Line.Axis, in.Formed.Walls().Land().MM)
}

// featureAt returns the feature of the first impression whose region a plan point of the part lies over, or
// nil over the plain land.
func featureAt(b *body.Body, q geom.Vec2) *part.Feature {
	p := b.Map.Plan(q)
	over := b.Field.Over(p)
	if over < 0 {
		return nil
	}
	for _, s := range b.Solids {
		if s.Patch == over {
			return s.Feature
		}
	}
	return nil
}
