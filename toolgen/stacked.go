package toolgen

import (
	"context"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/stack"
)

// MostLayers is how many parts a stack may have.
const MostLayers = 1000

// stacking lowers the formed part on its like.
func (r *Result) stacking(ctx context.Context) (err error) {
	if r.Formed == nil || r.opt.NoStack {
		return nil
	}
	p, err := stack.New(ctx, r.Body, r.Formed)
	if err != nil {
		return err
	}
	a := r.asked()
	if m, told := p.Load(); a.Load == 0 && told {
		a.Load = m
	}
	a.Own = r.Formed.Trimmed() * r.Part.Sheet.Heat.Density.V * 1e-6
	r.Stack, err = a.Study(ctx, p)
	return err
}

// Moves looks how far the parts of the stack may be moved; StackSummary tells it then.
//
// ERROR: the context's error.
func (r *Result) Moves(ctx context.Context) error {
	if r.Stack == nil {
		return nil
	}
	return r.Stack.Move(ctx)
}

func (r *Result) asked() stack.Asked {
	a := stack.Asked{Layers: r.opt.Layers, Load: r.opt.Load, Inner: r.opt.Inner}
	j := r.Job.Stack
	a.SameWay = j.Has("way") && j.Choice("way") == "same_way"
	if a.Layers == 0 {
		a.Layers = j.Count("layers")
	}
	if a.Load == 0 && j.Has("load") {
		a.Load = j.Number("load")
	}
	if a.Inner == 0 && j.Has("inner_height") {
		a.Inner = j.Length("inner_height")
	}
	return a
}

// StackSummary is how the formed part nests and stacks.
type StackSummary struct {
	Walls  string        `json:"walls"` // where they come from
	Axis   [2]float64    `json:"half_turn_about_mm"`
	Height float64       `json:"part_height_mm"`
	Nest   RestSummary   `json:"nest"`
	Turned RestSummary   `json:"half_turn"`
	Way    string        `json:"stacks"` // "half turn" or "same way"
	Layers int           `json:"layers"`
	Tall   float64       `json:"stack_height_mm"`
	Nested float64       `json:"nest_height_mm"`
	Inner  float64       `json:"inner_height_mm,omitempty"`
	Fit    int           `json:"layers_that_fit,omitempty"`
	Rooms  []RoomSummary `json:"free_over_floors"`
	Plays  []PlaySummary `json:"play"`
	Stand  StandSummary  `json:"support"`
	Bear   BearSummary   `json:"bearing"`
}

// RestSummary is how one part rests on another.
type RestSummary struct {
	Pitch  float64       `json:"pitch_mm"`
	Tilt   float64       `json:"tilt_deg"`                  // as it comes to lie on what carries
	Sinks  float64       `json:"settles_lower_by_mm"`       // on the lowest of what holds it, than where it first touches
	On     *[3]float64   `json:"settles_on_mm,omitempty"`   // that place, part frame of the lower part; none: it is not held
	Looked float64       `json:"looked_below_mm"`           // for that, at most
	Lost   string        `json:"settles_unknown,omitempty"` // why it is not known how it settles
	Jams   bool          `json:"jams"`
	Past   *float64      `json:"pressed_past_undercut_mm,omitempty"` // pitch then; none: no undercut is in the way, or no room below it
	Margin *float64      `json:"above_locking_walls_mm,omitempty"`   // none: no steep walls come near
	Touch  []PeakSummary `json:"touches"`
}

// PeakSummary is a place where parts touch.
type PeakSummary struct {
	Pitch float64    `json:"pitch_mm"` // at which it touches
	Lower string     `json:"lower"`
	Upper string     `json:"upper"`
	At    [3]float64 `json:"at_mm"` // part frame of the lower part
	Slope float64    `json:"slope_deg"`
	Known bool       `json:"walls_known"`
}

// RoomSummary is the free height over a floor.
type RoomSummary struct {
	Feature string     `json:"feature"`
	Free    float64    `json:"free_mm"`
	At      [3]float64 `json:"at_mm"`
}

// PlaySummary is how far the upper part may be moved.
type PlaySummary struct {
	Way  string  `json:"way"`
	Far  float64 `json:"far"` // mm, or degrees for a turn
	Ends string  `json:"ends"`
	Over string  `json:"strikes,omitempty"`
}

// StandSummary is the polygon that carries and the load over it.
type StandSummary struct {
	Polygon [][2]float64 `json:"polygon_mm"`
	Layer   int          `json:"worst_layer"`
	Centre  [2]float64   `json:"load_centre_mm"`
	Margin  *float64     `json:"margin_mm,omitempty"`
}

// BearSummary is what presses on what carries.
type BearSummary struct {
	Load     float64            `json:"load_g,omitempty"`
	Own      float64            `json:"part_mass_g"`
	Force    float64            `json:"force_n,omitempty"` // of loads and parts
	Area     float64            `json:"area_mm2"`          // within 0.1 mm of touching
	Tight    float64            `json:"area_touching_mm2"` // within 0.01 mm
	Pressure float64            `json:"pressure_mpa,omitempty"`
	Most     float64            `json:"pressure_most_mpa,omitempty"` // over what touches
	Pads     map[string]float64 `json:"pads_mm2"`
}

func vec3(p geom.Vec3) [3]float64 { return [3]float64{micron(p.X), micron(p.Y), micron(p.Z)} }
func vec2(p geom.Vec2) [2]float64 { return [2]float64{micron(p.X), micron(p.Y)} }

// finite returns a number for JSON; nil where it is none.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return nil
	}
	x = micron(x)
	return &x
}

func restSummary(r *stack.Rest) RestSummary {
	out := RestSummary{Pitch: micron(r.Lift), Tilt: micron(r.Settled.Tilt().Degrees()), Jams: r.Jams(), Margin: finite(r.Margin()),
		Sinks: micron(r.Settled.Sinks), Looked: micron(r.Settled.Looked), Lost: r.Settled.Unknown}
	if r.Settled.Held {
		on := vec3(r.Settled.Low)
		out.On = &on
	}
	if r.Pressed.Ok {
		out.Past = finite(r.Pressed.Lift)
	}
	for _, p := range r.Carrying() {
		out.Touch = append(out.Touch, peakSummary(p))
	}
	return out
}

func roomSummaries(rooms []stack.Room) []RoomSummary {
	out := []RoomSummary{}
	for _, m := range rooms {
		if !math.IsInf(m.Free, 0) {
			out = append(out, RoomSummary{m.Feature.ID, micron(m.Free), vec3(m.At)})
		}
	}
	return out
}

func playSummaries(plays []stack.Play) []PlaySummary {
	var out []PlaySummary
	for _, p := range plays {
		far := p.Far
		if p.Way.Turn != 0 {
			far = geom.Angle(far).Degrees()
		}
		out = append(out, PlaySummary{p.Way.Name, micron(far), p.Ends.String(), p.Lower})
	}
	return out
}

func peakSummary(p stack.Peak) PeakSummary {
	return PeakSummary{micron(p.Lift), p.Lower.String(), p.Upper.String(), vec3(p.At), micron(p.Slope.Degrees()), p.Known}
}

// StackSummary returns how the formed part nests and stacks; nil where no sheet was formed.
func (r *Result) StackSummary() *StackSummary {
	s := r.Stack
	if s == nil {
		return nil
	}
	out := &StackSummary{
		Walls: "forming simulation, unverified", Axis: vec2(s.Axis), Height: micron(s.Nest.Lower.Height()),
		Nest: restSummary(s.Nest), Turned: restSummary(s.Turned), Way: "same way", Layers: s.Asked.Layers,
		Tall: micron(s.Stack.StackHeight(s.Asked.Layers)), Nested: micron(s.Nest.StackHeight(s.Asked.Layers)),
		Bear: BearSummary{
			Load: s.Asked.Load, Own: micron(s.Asked.Own), Force: micron(s.Bear.Force), Area: micron(s.Bear.Area), Tight: micron(s.Bear.Tight),
			Pressure: micron(s.Bear.Pressure), Most: micron(s.Bear.Most), Pads: map[string]float64{},
		},
	}
	if s.Stack == s.Turned {
		out.Way = "half turn"
	}
	if s.Asked.Inner > 0 {
		out.Inner, out.Fit = s.Asked.Inner, s.Stack.Fits(s.Asked.Inner)
	}
	out.Rooms, out.Plays = roomSummaries(s.Rooms), playSummaries(s.Plays)
	for _, v := range s.Stand.Polygon {
		out.Stand.Polygon = append(out.Stand.Polygon, vec2(v))
	}
	if b, ok := s.Stand.Worst(); ok {
		out.Stand.Layer, out.Stand.Centre, out.Stand.Margin = b.Layer, vec2(b.Centre), finite(b.Margin)
	}
	for _, p := range s.Bear.Places {
		out.Bear.Pads[p.Feature] = micron(p.Area)
	}
	return out
}
