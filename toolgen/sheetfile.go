package toolgen

import (
	"encoding/json"
	"io"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/sheet"
)

// sheetFile is the schema of sheet.json.
type sheetFile struct {
	Schema    int            `json:"schema"`
	Job       string         `json:"job"`
	Revision  string         `json:"revision,omitempty"`
	Units     string         `json:"units"`
	Material  string         `json:"sheet"`
	Gauge     float64        `json:"gauge_mm"`
	Finish    string         `json:"finish,omitempty"`      // of one face; absent: plain
	Face      string         `json:"finish_face,omitempty"` // of the part
	PartFrame string         `json:"part_frame"`
	Datum     string         `json:"tool_datum"`
	Forming   FormingSummary `json:"forming"`
	Band      sheetBand      `json:"band"`
	Passes    int            `json:"offset_passes,omitempty"`
	Residual  float64        `json:"offset_residual_mm,omitempty"`
	Areas     []sheetArea    `json:"areas"`
	Sections  []sheetSection `json:"sections"`
}

// sheetBand says what the band of walls rests on.
type sheetBand struct {
	Low   float64 `json:"stiffening_low"`
	Used  float64 `json:"stiffening_used"`
	High  float64 `json:"stiffening_high"`
	State string  `json:"state"`
}

// sheetArea is one role of one feature. Walls are left out where nothing but webs was seen.
type sheetArea struct {
	Feature string     `json:"feature"`
	Role    string     `json:"role"`
	Low     *float64   `json:"low_wall_mm,omitempty"` // exceeded by 99 % of the area
	Least   *float64   `json:"low_wall_band_low_mm,omitempty"`
	Most    *float64   `json:"low_wall_band_high_mm,omitempty"`
	Mean    *float64   `json:"mean_wall_mm,omitempty"`
	Part    *geom.Vec3 `json:"low_at_part_mm,omitempty"`
	Tool    *geom.Vec3 `json:"low_at_tool_mm,omitempty"`
	Area    float64    `json:"area_mm2"`
	Bridged float64    `json:"bridged_gap_mm"`
	Webbing float64    `json:"webbing_mm2"`
	Wrinkle float64    `json:"wrinkle_risk_mm2"`
}

// sheetSection is a cut through the middle of a feature.
type sheetSection struct {
	Feature string         `json:"feature"`
	Axis    string         `json:"axis"`
	Points  []sheetReading `json:"points"`
}

// sheetReading is the wall at a place of the contact side; null in a web.
type sheetReading struct {
	Arc  float64  `json:"arc_mm"`
	X    float64  `json:"x"`
	Y    float64  `json:"y"`
	Z    float64  `json:"z"`
	Wall *float64 `json:"wall_mm"`
}

func writeSheet(r *Result, w io.Writer) error {
	f := r.Formed
	out := sheetFile{
		Schema: 1, Job: r.Job.Name, Revision: r.Job.Revision, Units: "mm", Material: r.Part.Sheet.Name, Gauge: r.Part.Gauge,
		PartFrame: partFrame, Datum: r.Body.Datum, Forming: *r.formingSummary(),
		Band:   sheetBand{sheet.Stiffening.Low, f.Setup.Law.C2 / f.Setup.Law.C1, sheet.Stiffening.High, "unverified"},
		Passes: r.Passes, Residual: micron(r.Residual),
		Areas: []sheetArea{}, Sections: []sheetSection{},
	}
	if f := r.Job.Sheet.Choice("finish"); f != "plain" {
		out.Finish, out.Face = f, r.Job.Sheet.Choice("finish_face")
	}
	out.Band.Used = micron(out.Band.Used)
	for _, a := range f.Areas {
		row := sheetArea{Feature: a.Feature, Role: a.Role.String(), Area: micron(a.Size), Bridged: micron(a.Bridged), Webbing: micron(a.Webbing), Wrinkle: micron(a.Wrinkle)}
		if a.Size > 0 {
			part, tool := microns(r.Body.Back(a.At)), microns(a.At)
			row.Low, row.Mean, row.Part, row.Tool = given(a.Low), given(a.Mean), &part, &tool
		}
		if low, high, ok := f.Span(a.Feature, a.Role); ok {
			row.Least, row.Most = given(low), given(high)
		}
		out.Areas = append(out.Areas, row)
	}
	for _, s := range f.Sections() {
		sec := sheetSection{Feature: s.Feature, Axis: s.Axis, Points: []sheetReading{}}
		arc, last := 0.0, geom.Vec3{}
		for i, p := range s.Points {
			q := r.Body.Map.Back(p.At)
			if i > 0 { // along the cold part, not along the tool
				arc += q.Sub(last).Norm()
			}
			last = q
			q = microns(q)
			reading := sheetReading{Arc: micron(arc), X: q.X, Y: q.Y, Z: q.Z}
			if !p.Web {
				reading.Wall = given(p.Wall)
			}
			sec.Points = append(sec.Points, reading)
		}
		out.Sections = append(out.Sections, sec)
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(out)
}

// given returns a length that is known, to the micrometre.
func given(x float64) *float64 {
	x = micron(x)
	return &x
}

// micron rounds to the micrometre: more would show the processor's last digits, not the sheet.
func micron(x float64) float64 { return math.Round(x*1000)/1000 + 0 }

func microns(p geom.Vec3) geom.Vec3 { return geom.Vec3{X: micron(p.X), Y: micron(p.Y), Z: micron(p.Z)} }
