package toolgen

import (
	"fmt"
	"strings"

	"platen/toolgen/geom"
)

// FormingSummary is how the sheet was formed, with what the model of it leaves out.
type FormingSummary struct {
	Seal    string       `json:"seal"`
	Vacuum  float64      `json:"vacuum_kpa"`     // pressure difference over the sheet at the end
	Assumed bool         `json:"vacuum_assumed"` // the built-in machine's: the job names none
	Frame   [2]float64   `json:"frame_mm"`       // clear inside of the clamp frame
	Feeds   float64      `json:"frame_area_mm2"` // of sheet that is spread over the tool
	Travel  float64      `json:"travel_mm"`      // of the tool into the sheet before the vacuum
	Full    float64      `json:"travel_full_mm"` // until the frame meets what the sheet seals on
	Bubble  float64      `json:"bubble_mm"`      // blown before the travel; 0: none
	Plug    *PlugSummary `json:"plug,omitempty"`
	Model   string       `json:"model"`    //
	LeftOut string       `json:"left_out"` //
}

// PlugSummary is the plug that pushed the sheet down before the vacuum.
type PlugSummary struct {
	Count  int       `json:"count"`     // on the plate
	Travel float64   `json:"travel_mm"` // past the land
	Edge   float64   `json:"edge_mm"`
	Draft  float64   `json:"draft_deg"`
	Sticks bool      `json:"sticks"` // the sheet does not slide on it
	Gap    float64   `json:"least_gap_mm"`
	GapAt  geom.Vec3 `json:"least_gap_at_tool_mm"`
}

// formingModel says what the figures of the formed sheet rest on.
const formingModel = "membrane without bending, Mooney-Rivlin, sticks where it lands; low wall: exceeded by 99 % of the area"

// leftOut is what the model of the sheet does not know.
const leftOut = "sag, uneven heat, chill in flight, slip on the tool, contact of the sheet with itself, the air in a blown bubble, the chill of a plug and any friction on it between none and full; no published experiment with usable numbers was found to hold it against"

// formingSummary returns nil where no sheet was formed.
func (r *Result) formingSummary() *FormingSummary {
	if r.Formed == nil {
		return nil
	}
	p := r.Formed.Plan
	size := p.Frame.Size()
	out := &FormingSummary{
		Seal: r.Job.Tool.Choice("seal"), Vacuum: micron(p.Pressure * 1e3), Assumed: !r.Job.Machine.Has("vacuum"),
		Frame: [2]float64{micron(size.X), micron(size.Y)}, Feeds: micron(r.Formed.Sheet.Flat),
		Travel: micron(p.Travel), Full: micron(p.Full), Bubble: micron(p.Blow), Model: formingModel, LeftOut: leftOut,
	}
	if plug := r.Part.Plug; plug != nil {
		out.Plug = &PlugSummary{
			Count: len(plug.Places) * len(r.Part.Impressions), Travel: micron(plug.Travel), Edge: micron(plug.Edge),
			Draft: micron(plug.Draft.Degrees()), Sticks: plug.Stick, Gap: micron(p.Gap), GapAt: microns(p.GapAt),
		}
	}
	return out
}

// String says it in one line.
func (f FormingSummary) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%.0f kPa below the air", f.Vacuum)
	if f.Assumed {
		b.WriteString(" (built-in default, unverified)")
	}
	fmt.Fprintf(&b, ", frame %.1f x %.1f mm, tool %.1f mm into the sheet", f.Frame[0], f.Frame[1], f.Travel)
	if f.Bubble > 0 {
		fmt.Fprintf(&b, ", bubble %.1f mm", f.Bubble)
	}
	if p := f.Plug; p != nil {
		fmt.Fprintf(&b, ", %d x plug %.1f mm down, %.2f mm off the tool", p.Count, p.Travel, p.Gap)
	}
	return b.String()
}
