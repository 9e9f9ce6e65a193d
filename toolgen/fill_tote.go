package toolgen

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

// tote is a tote or carton with the part that stands on its base. Heights are over the base, mm.
type tote struct {
	Filling
	job   *job.Job
	walls wall.Nominal
	low   float64   // underside of the lowest floor, part frame, mm
	grows geom.Vec2 // of a half of its inside to a mm of height
}

// toteOf puts a part on the base of a tote, on the lowest floor of its features.
//
// ERROR: a part that is higher than a tote that tapers.
func toteOf(j *job.Job, ask Filling, gauge float64, features ...*part.Feature) (*tote, error) {
	t := &tote{Filling: ask, job: j, walls: wall.Nominal{Gauge: gauge, Over: j.Tool.Choice("contact") == "upper"}}
	if t.Base == (geom.Vec2{}) {
		t.Base = t.Inside
	} else {
		t.grows = t.Inside.Sub(t.Base).Scale(0.5 / t.Deep)
	}
	t.low = t.under(0, gauge)
	for _, f := range features {
		t.low = min(t.low, t.under(f.ZEnd, t.walls.End(f).MM))
	}
	if high := t.flange() + gauge; ask.Base != (geom.Vec2{}) && (ask.Deep <= 0 || high > ask.Deep) {
		return nil, unasked("a tote %.1f mm deep and a part %.1f mm high; the part stands within it", ask.Deep, high)
	}
	return t, nil
}

// upper reports whether sizes hold on the upper side, so that the wall lies outside a pocket's.
func (t *tote) upper() bool {
	if t.job.Tool.Choice("wall_allowance") == "none" {
		return t.walls.Over // the tool has the sizes, whatever is measured
	}
	return t.job.Tool.Choice("measured") == "upper"
}

// under returns the height of the underside of a level, part frame.
func (t *tote) under(z, mm float64) float64 {
	if t.upper() {
		return z - mm
	}
	return z
}

// flange returns the height of the flange's underside: the lower edge of the trim meets the tote first.
func (t *tote) flange() float64 { return t.under(0, t.walls.Gauge) - t.low }

// inside returns the room of the tote at a height, what is left loose taken off.
func (t *tote) inside(high float64) geom.Vec2 {
	loose := geom.Vec2{X: 2 * t.Loose, Y: 2 * t.Loose}
	return t.Base.Add(t.grows.Scale(2 * high)).Sub(loose)
}

// trim returns the trim line of the part, whole tenths of a millimetre long.
func (t *tote) trim() (*outline.Outline, error) {
	size := t.inside(t.flange())
	o, err := outline.Rect(math.Floor(size.X*10+1e-6)/10, math.Floor(size.Y*10+1e-6)/10, cornerOf(t.job))
	if err != nil {
		corner := 2 * (cornerOf(t.job) + t.Loose)
		return nil, unasked("no part fits the tote: its inside size must be more than %.1f mm both ways, for the part's corners of %.1f mm", corner, corner/2-t.Loose)
	}
	return o, nil
}

// beyond returns how far the outside of a pocket comes beyond its outline towards a side of the tote, told at
// the base: for a side that grows outward by grows to a mm of height, the greatest of the way out less what it
// has grown, over all of the section. Of a side steeper than the wall the opening is nearest; of a flatter one
// the rounding of the floor, where it is as flat as the side.
func (t *tote) beyond(f *part.Feature, grows float64) float64 {
	run := f.Height * f.Draft.Tan()
	end, out := 0.0, 0.0 // of the wall's line at the floor, from the outline
	if f.Holds == part.AtHost {
		end = -run
	}
	if f.Face == part.Upper || f.Face == part.Measured && t.upper() {
		// A block of the tool keeps the sheet thick over its top, and its sides next to it.
		out = max(t.walls.Side(f, f.Height).MM, t.walls.End(f).MM) / f.Draft.Cos()
	}
	hostWall := t.walls.Gauge
	if f.Parent != nil {
		hostWall = t.walls.End(f.Parent).MM
	}
	host := end + run - grows*(t.under(f.ZHost, hostWall)-t.low)
	// The rounding's middle lies EndR over the floor and EndR tan((90 - draft) / 2) within the wall's line.
	floor := end - f.EndR*((90*geom.Degree-f.Draft)/2).Tan() + f.EndR*(math.Hypot(1, grows)-grows) -
		grows*(t.under(f.ZEnd, t.walls.End(f).MM)-t.low)
	return out + max(host, floor)
}

// room returns the room, about the middle of the tote, in which places of a cell keep all that is in them off
// the tote's sides.
func (t *tote) room(cell geom.Box2, features []*part.Feature, turn bool) geom.Vec2 {
	half := geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}
	at := t.inside(0).Scale(0.5)
	for _, f := range features {
		if !f.Sunk {
			continue
		}
		b := f.Outline.Bounds()
		in := [2]float64{min(cell.Max.X-b.Max.X, b.Min.X-cell.Min.X), min(cell.Max.Y-b.Max.Y, b.Min.Y-cell.Min.Y)}
		half.X = min(half.X, at.X-t.beyond(f, t.grows.X)+in[0])
		half.Y = min(half.Y, at.Y-t.beyond(f, t.grows.Y)+in[1])
		if turn {
			half.X = min(half.X, at.X-t.beyond(f, t.grows.X)+in[1])
			half.Y = min(half.Y, at.Y-t.beyond(f, t.grows.Y)+in[0])
		}
	}
	return half.Scale(2)
}

// holds refuses features that stay where they are and do not clear the tote.
func (t *tote) holds(features []*part.Feature) error {
	at := t.inside(0).Scale(0.5)
	for _, f := range features {
		if !f.Sunk || f.Use.Scrap() {
			continue
		}
		b := f.Outline.Bounds()
		over := max(max(b.Max.X, -b.Min.X)+t.beyond(f, t.grows.X)-at.X, max(b.Max.Y, -b.Min.Y)+t.beyond(f, t.grows.Y)-at.Y)
		if over > 1e-6 {
			return unasked("%s does not clear the sides of the tote under the flange: it stands %.2f mm too far out", f.ID, over)
		}
	}
	return nil
}
