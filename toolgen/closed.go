package toolgen

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"platen/toolgen/closing"
)

// closing folds a formed part with one fold line shut. A part that can not be is left as it is, and why.
func (r *Result) closing(ctx context.Context) error {
	lines := closing.Of(r.Part)
	if len(lines) != 1 || r.Formed == nil || r.opt.NoClose {
		return nil
	}
	if err := r.part(ctx); err != nil {
		return err
	}
	if r.Shell == nil {
		r.open = r.noShell.Error()
		return nil
	}
	in := closing.Input{Line: lines[0], Angle: r.opt.Turned, Body: r.Body, Formed: r.Formed, Shell: r.Shell}
	for _, f := range r.Part.Features {
		if h := f.Held; h != nil && f.Impression == 0 {
			in.Products = append(in.Products, closing.Product{Solid: f, Outline: h.Plan, Height: h.Height})
		}
	}
	var err error
	r.Closed, err = closing.Close(ctx, in)
	if open := (*closing.OpenError)(nil); errors.As(err, &open) {
		r.open, err = open.Why, nil
	}
	return err
}

// CloseSummary is how a hinged pack closes.
type CloseSummary struct {
	Walls   string        `json:"walls"` // where they come from
	Feature string        `json:"fold_line"`
	Through [3]float64    `json:"axis_through_mm"` // part frame
	Along   [2]float64    `json:"axis_along"`
	Beads   float64       `json:"beads_half_width_mm"`
	Meets   string        `json:"faces_that_meet"`
	Flanges GapSummary    `json:"flange_gap"`
	Turned  float64       `json:"turned_deg"` // that the first touch and the opening are told for; all else is shut
	Open    float64       `json:"far_edges_apart_mm"`
	Touch   TouchSummary  `json:"first_touch"`
	Snaps   []SnapSummary `json:"snaps"`
	Rooms   []CloseRoom   `json:"free_over_floors"`
	Spread  float64       `json:"shrink_spread"`
}

// GapSummary is the way between closed flanges; negative where they would be in each other.
type GapSummary struct {
	Min   float64    `json:"min_mm"`
	Max   float64    `json:"max_mm"`
	Mean  float64    `json:"mean_mm"`
	Low   float64    `json:"low_mm"`  // but for a hundredth of the flange
	High  float64    `json:"high_mm"` // the same
	AtMin [3]float64 `json:"min_at_mm"`
	AtMax [3]float64 `json:"max_at_mm"`
	Area  float64    `json:"area_mm2"`
	Lost  float64    `json:"wall_unknown_mm2"`
}

// TouchSummary is what meets first while the lid turns.
type TouchSummary struct {
	Clear bool       `json:"clear"`
	Angle float64    `json:"angle_deg,omitempty"`
	Deep  *float64   `json:"way_left_mm,omitempty"` // negative: the least clearance; none where nothing stands in the way
	At    [3]float64 `json:"at_mm"`
	Base  string     `json:"base"`
	Lid   string     `json:"lid"`
}

// SnapSummary is a snap of the closed pack.
type SnapSummary struct {
	Button  string     `json:"button"`
	Socket  string     `json:"socket,omitempty"`
	At      [2]float64 `json:"button_at_mm"` // part frame, as it lies flat
	Into    [2]float64 `json:"socket_at_mm"`
	Miss    [2]float64 `json:"miss_mm"`
	Wide    float64    `json:"button_diameter_mm"`
	Lip     float64    `json:"lip_diameter_mm"`
	Overlap float64    `json:"overlap_mm"` // a side
	Asked   float64    `json:"asked_mm"`   // a side
	Strain  float64    `json:"strain"`
	Play    float64    `json:"play_mm"` // a side
	Top     float64    `json:"over_button_mm"`
	Drift   float64    `json:"shrink_drift_mm"` // between both, if the halves differ by the spread of shrinkage
	Off     float64    `json:"off_tool_mm"`     // most that the sheet stands off the tool on either
	Known   bool       `json:"walls_known"`
}

// CloseRoom is the free height over a floor of the closed pack.
type CloseRoom struct {
	Feature string     `json:"feature"`
	Free    float64    `json:"free_mm"`
	Product float64    `json:"product_mm,omitempty"`
	At      [3]float64 `json:"at_mm"`
	Under   string     `json:"under"`
}

// CloseSummary returns how the formed part closes; nil for one that is not closed, and why.
func (r *Result) CloseSummary() (sum *CloseSummary, why string) {
	c := r.Closed
	if c == nil {
		switch n := len(closing.Of(r.Part)); {
		case n != 1:
			return nil, fmt.Sprintf("the job has %d fold lines; a pack closes about one: features of kind hinge_line", n)
		case r.open != "":
			return nil, r.open
		}
		return nil, "no sheet was formed"
	}
	g, t := c.Flanges, c.Touch
	out := &CloseSummary{
		Walls: "forming simulation, unverified", Feature: c.Line.Feature.ID, Through: vec3(c.Line.At.At(c.AxisZ)),
		Along: [2]float64{c.Line.Dir.X, c.Line.Dir.Y}, Beads: micron(c.Line.Half), Meets: c.Line.Meets.String(),
		Flanges: GapSummary{micron(g.Min), micron(g.Max), micron(g.Mean), micron(g.Low), micron(g.High), vec3(g.AtMin), vec3(g.AtMax), micron(g.Area), micron(g.Unknown)},
		Touch:   TouchSummary{Clear: t.Clear, At: vec3(t.At), Base: t.Base, Lid: t.Lid},
		Spread:  c.Spread, Turned: micron(c.Angle.Degrees()), Open: micron(c.Open),
	}
	if !math.IsInf(t.Deep, -1) {
		deep := micron(t.Deep)
		out.Touch.Deep = &deep
	}
	if !t.Clear {
		out.Touch.Angle = micron(t.Angle.Degrees())
	}
	for _, s := range c.Snaps {
		row := SnapSummary{Button: s.Button.ID, At: vec2(s.Button.Middle), Miss: vec2(s.Miss), Wide: micron(2 * s.Wide.Mean), Drift: micron(c.Drift(s)), Off: micron(s.Off), Known: s.Known}
		if s.Socket != nil {
			row.Into = vec2(s.Socket.Middle)
			row.Socket, row.Lip, row.Overlap, row.Asked = s.Socket.ID, micron(2*s.Lip.Mean), micron(s.Overlap), micron(s.Asked)
			row.Strain, row.Play, row.Top = micron(1000*s.Strain)/1000, micron(s.Play), micron(s.Top)
		}
		out.Snaps = append(out.Snaps, row)
	}
	for _, m := range c.Rooms {
		out.Rooms = append(out.Rooms, CloseRoom{m.Solid.ID, micron(m.Free), micron(m.Product), vec3(m.At), m.Over})
	}
	return out, ""
}

func writeClose(r *Result, w io.Writer) error {
	sum, _ := r.CloseSummary()
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(sum)
}
