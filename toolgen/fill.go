package toolgen

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// Filling asks how many of a feature fit a part.
type Filling struct {
	Feature string    // name, or the only kind's feature that takes a product where ""
	Inside  geom.Vec2 // of the tote or carton that the part goes into, at its rim, mm; zero: the job's own part stays
	Base    geom.Vec2 // of a tote that tapers, at its base, mm; zero: as at the rim
	Deep    float64   // from rim to base, mm; where Base is given
	Loose   float64   // left all round between part and tote, mm
	Land    float64   // flat kept between two places, mm; 0: two gauges, at least 3 mm
	NoTurn  bool      // places are not turned
}

// Filled is the answer. Sizes are mm, of the cold part.
type Filled struct {
	Feature  string         `json:"feature"`
	Part     geom.Vec2      `json:"part_mm"`    // size of the part
	Corner   float64        `json:"corner_mm"`  // of the part, where it is not the job's own
	Room     geom.Vec2      `json:"room_mm"`    // of its land within the flange
	Cell     geom.Vec2      `json:"place_mm"`   // opening of one place with its roundings and what is nested in it
	Land     float64        `json:"land_mm"`    // kept between two
	Grid     [2]int         `json:"plain_grid"` // best of the two plain grids, before anything is left out
	Sets     []Set          `json:"features"`   //
	LeftOut  int            `json:"left_out"`   // places that other features or the part's corners take
	Findings map[string]int `json:"findings"`   // of the job so filled, walls by area balance
	Refused  string         `json:"refused,omitempty"`
	Changed  bool           `json:"part_changed"` // the part is not the job's own
}

// Set is the places of one turn.
type Set struct {
	Name   string      `json:"name"`
	Turn   float64     `json:"turn_deg"`
	Places []geom.Vec2 `json:"places_mm"`
	Grid   *[2]int     `json:"grid,omitempty"` // where they are one
	Pitch  geom.Vec2   `json:"pitch_mm"`
	At     geom.Vec2   `json:"at_mm"` // middle of the grid
}

// Count returns the number of places.
func (f *Filled) Count() int {
	n := 0
	for _, s := range f.Sets {
		n += len(s.Places)
	}
	return n
}

// Fill lays out a feature of a job as often as it fits, and reviews what comes of it.
//
// ERROR: a feature that is not there, a room without room; the context's error.
func Fill(ctx context.Context, j *job.Job, o Options, ask Filling) (*Filled, error) {
	it, err := toFill(j, o, ask.Feature)
	if err != nil {
		return nil, err
	}
	lone := *it
	lone.At, lone.Places = geom.Vec2{}, []geom.Vec2{{}}
	others := slices.DeleteFunc(slices.Clone(j.Features), func(i *job.Item) bool { return i == it })
	p, err := resolved(j, o, []*job.Item{&lone})
	if err != nil {
		return nil, err
	}
	cell := geom.EmptyBox2()
	for _, f := range p.Features {
		if f.Parent == nil {
			cell = cell.Join(f.Outline.Bounds().Grow(reach(f)))
		}
	}
	out := &Filled{Cell: cell.Size(), Land: ask.Land}
	if out.Land == 0 {
		out.Land = max(2*p.Gauge, leastLand)
	}
	trim, limit := p.Outline, geom.Vec2{X: math.Inf(1), Y: math.Inf(1)}
	if out.Changed = ask.Inside != (geom.Vec2{}); out.Changed {
		if trim, limit, err = within(j, o, ask, p, cell, others); err != nil {
			return nil, err
		}
		out.Corner = cornerOf(j)
		j = withOutline(j, trim)
	}
	flange := j.Part.Length("flange")
	out.Part = trim.Bounds().Size()
	out.Room = geom.Vec2{X: out.Part.X - 2*flange, Y: out.Part.Y - 2*flange}
	room := geom.Vec2{X: min(out.Room.X, limit.X), Y: min(out.Room.Y, limit.Y)}
	if !holds(room, out.Cell, !ask.NoTurn) && holds(out.Room, out.Cell, !ask.NoTurn) {
		return nil, unasked("no %s clears the sides of the tote under the flange: its opening would have to lie within %.1f x %.1f mm and is %.1f x %.1f mm",
			nameOf(it), max(0, room.X), max(0, room.Y), out.Cell.X, out.Cell.Y)
	}
	taken, err := boxesOf(j, o, others, out.Land)
	if err != nil {
		return nil, err
	}
	land := &land{part: p, trim: trim, room: room, flange: flange, cell: cell, taken: taken}
	keep, err := out.choose(land, !ask.NoTurn)
	if err != nil {
		return nil, unasked("%v", err)
	}
	out.Feature = nameOf(it)
	if len(keep[0])+len(keep[1]) == 0 {
		return nil, unasked("no %s fits: its opening is %.1f x %.1f mm, the land within the flange %.1f x %.1f mm%s", out.Feature, out.Cell.X, out.Cell.Y, max(0, out.Room.X), max(0, out.Room.Y), out.others())
	}
	return out, out.review(ctx, j, o, append(others, out.sets(it, keep)...))
}

// others says that other features stand where places would be, "" where none do.
func (f *Filled) others() string {
	if f.LeftOut == 0 {
		return ""
	}
	return fmt.Sprintf(", and other features or the corners of the part take all %d places", f.LeftOut)
}

// sets notes the places of each turn and returns the features that stand there.
func (f *Filled) sets(it *job.Item, keep [2][]geom.Vec2) []*job.Item {
	var items []*job.Item
	for k, places := range keep {
		if len(places) == 0 {
			continue
		}
		turned := *it
		turned.Places = places
		if turned.Turn += geom.Angle(k) * 90 * geom.Degree; k > 0 && len(keep[0]) > 0 {
			turned.Name = f.Feature + "-turned"
		}
		items = append(items, &turned)
		f.Sets = append(f.Sets, setOf(&turned, nameOf(&turned)))
	}
	return items
}

// FillError is a question that has no answer: a feature that is not there, a room without room.
type FillError struct{ Text string }

// Error returns what is wrong with the question.
func (e *FillError) Error() string { return e.Text }

func unasked(format string, args ...any) error { return &FillError{fmt.Sprintf(format, args...)} }

// leastLand is the least flat between two places, mm: common practice, no source.
const leastLand = 3.0

// toFill returns the feature of that name, or the only one that takes a product.
func toFill(j *job.Job, o Options, name string) (*job.Item, error) {
	var names []string
	var found []*job.Item
	for _, it := range j.Features {
		names = append(names, nameOf(it))
		if name == nameOf(it) {
			return it, nil
		}
		p, err := resolved(j, o, []*job.Item{{Kind: it.Kind, Name: it.Name, Pos: it.Pos, Values: it.Values, Places: []geom.Vec2{{}}}})
		if err == nil && len(p.Features) > 0 && p.Features[0].Use == part.Product {
			found = append(found, it)
		}
	}
	if name == "" && len(found) == 1 {
		return found[0], nil
	}
	if name == "" && len(found) == 0 {
		return nil, unasked("no feature takes a product; name the one to lay out: %q", names)
	}
	if name == "" {
		return nil, unasked("%d features take a product; name one: %q", len(found), namesOf(found))
	}
	return nil, unasked("no feature %q on the land; there are %q", name, names)
}

func namesOf(items []*job.Item) []string {
	out := make([]string, len(items))
	for i, it := range items {
		out[i] = nameOf(it)
	}
	return out
}

func nameOf(it *job.Item) string {
	if it.Name != "" {
		return it.Name
	}
	return it.Kind
}

// resolved resolves a job with other features.
func resolved(j *job.Job, o Options, items []*job.Item) (*part.Part, error) {
	k := *j
	k.Features = items
	k.Tool = j.Tool
	return part.Resolve(&k, o.Kinds, o.Open)
}

// reach returns how far the opening of a feature on the land, with its rounding, lies outside its outline.
func reach(f *part.Feature) float64 {
	r := f.HostR * ((90*geom.Degree - f.Draft) / 2).Tan()
	if f.Holds == part.AtEnd {
		r += f.Height * f.Draft.Tan()
	}
	return r
}

// within returns the trim line of a part in a tote or carton, and the room in which the openings of its places
// keep what lies under them off the sides.
func within(j *job.Job, o Options, ask Filling, lone *part.Part, cell geom.Box2, others []*job.Item) (*outline.Outline, geom.Vec2, error) {
	var none geom.Vec2
	rest, err := resolved(j, o, others)
	if err != nil {
		return nil, none, err
	}
	t, err := toteOf(j, ask, lone.Gauge, append(slices.Clone(rest.Features), lone.Features...)...)
	if err != nil {
		return nil, none, err
	}
	trim, err := t.trim()
	if err != nil {
		return nil, none, err
	}
	return trim, t.room(cell, lone.Features, !ask.NoTurn), t.holds(rest.Features)
}

// holds reports whether a room holds one place.
func holds(room, cell geom.Vec2, turn bool) bool {
	const by = 1e-9
	return cell.X <= room.X+by && cell.Y <= room.Y+by || turn && cell.Y <= room.X+by && cell.X <= room.Y+by
}

// withOutline returns the job with a rectangle for its part.
func withOutline(j *job.Job, o *outline.Outline) *job.Job {
	k := *j
	old := j.Part.Outline("outline")
	k.Part = j.Part.With("outline", &job.Shape{Kind: "rect", Size: o.Bounds().Size(), Corner: cornerOf(j), HasCorner: true, Pos: old.Pos})
	return &k
}

// cornerOf returns the corner of a job's part, 8 mm where it has none (common practice, no source).
func cornerOf(j *job.Job) float64 {
	if s := j.Part.Outline("outline"); s.HasCorner {
		return s.Corner
	}
	return 8
}

// boxesOf returns the boxes that features on the land take, with the land kept round them.
func boxesOf(j *job.Job, o Options, items []*job.Item, land float64) ([]geom.Box2, error) {
	p, err := resolved(j, o, items)
	if err != nil {
		return nil, err
	}
	var out []geom.Box2
	for _, f := range p.Features {
		if f.Parent == nil && !f.Use.Scrap() {
			out = append(out, f.Outline.Bounds().Grow(reach(f)+land))
		}
	}
	return out, nil
}

// review judges the job as filled, walls by area balance.
func (f *Filled) review(ctx context.Context, j *job.Job, o Options, items []*job.Item) error {
	k := *j
	k.Features = items
	o.NoSheet = true
	r, err := Check(ctx, &k, o)
	var build *part.BuildError
	if errors.As(err, &build) {
		f.Refused = err.Error() // an answer too
		return nil
	}
	if err != nil {
		return err
	}
	f.Findings = map[string]int{}
	for _, g := range r.Findings {
		if g.Severity != finding.Note {
			f.Findings[g.Severity.String()+" "+g.ID]++
		}
	}
	return nil
}
