package toolgen

import (
	"encoding/json"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/store"
)

// Manifest says what a build wrote and from what. It is also the answer of build --json.
type Manifest struct {
	Schema   int             `json:"schema"`
	Program  string          `json:"program"`
	Job      string          `json:"job"`
	Revision string          `json:"revision,omitempty"`
	Note     string          `json:"note,omitempty"`
	JobHash  string          `json:"job_sha256,omitempty"` // of the job file and the files it names
	Inputs   []string        `json:"inputs,omitempty"`     // further files the job named
	Cleared  bool            `json:"cleared"`
	Units    string          `json:"units"`
	Datum    string          `json:"datum"`
	Frame    string          `json:"part_frame"`
	Contact  string          `json:"contact_side"`
	Measured string          `json:"measured_side"`
	Material string          `json:"sheet"`
	Tool     string          `json:"tool_material"`
	Shrink   ShrinkSummary   `json:"shrink"`
	Tool3D   *ToolSummary    `json:"tool_mesh,omitempty"`
	Passes   int             `json:"offset_passes,omitempty"`      // of offsetting the free side and forming again
	Residual float64         `json:"offset_residual_mm,omitempty"` // change of the walls in the last of them
	Part3D   *PartSummary    `json:"part_mesh,omitempty"`
	Parts    int             `json:"impressions"`
	Vents    int             `json:"vents"`
	Forming  *FormingSummary `json:"forming,omitempty"`
	Air      *AirSummary     `json:"air,omitempty"`
	Lift     *LiftSummary    `json:"lift,omitempty"` // lifted by its ends
	Findings Counts          `json:"findings"`
	Files    []store.Entry   `json:"files"`
}

// Counts are the findings by severity.
type Counts struct {
	Errors   int `json:"errors"`
	Warnings int `json:"warnings"`
	Notes    int `json:"notes"`
}

// ShrinkSummary is the shrink allowance as used: tool size at 20 deg C / cold part size.
type ShrinkSummary struct {
	Off      bool    `json:"off,omitempty"`
	Basis    string  `json:"basis,omitempty"`
	Cut      string  `json:"cut,omitempty"`
	ToolTemp float64 `json:"tool_temperature_c,omitempty"`
	X        Factor  `json:"x"`
	Y        Factor  `json:"y"`
	Z        Factor  `json:"z"`
}

// Factor is the factor along one axis with the ends of its spread.
type Factor struct {
	Factor    float64 `json:"factor"`
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
	Shrinkage float64 `json:"shrinkage"`
	Source    string  `json:"source,omitempty"`
	Own       bool    `json:"shops_own,omitempty"`
}

// ToolSummary is what was measured on the mesh that was written.
type ToolSummary struct {
	Triangles     int     `json:"triangles"`
	Volume        float64 `json:"volume_mm3"`
	Area          float64 `json:"area_mm2"`
	Deviation     float64 `json:"deviation_mm"`
	Tolerance     float64 `json:"tolerance_mm"`
	Planes        int     `json:"plane_triangles"`   // exact
	Strips        int     `json:"strip_triangles"`   // proved by a bound
	Clusters      int     `json:"cluster_triangles"` // measured at 91 points each
	StripBound    float64 `json:"strip_bound_mm"`
	Closed        bool    `json:"closed"`
	Manifold      bool    `json:"two_manifold"`
	Outward       bool    `json:"outward"`
	Intersections int     `json:"self_intersections"`
	Float32Faults int     `json:"float32_faults"`
}

// Summary returns the manifest of a run, without files.
func (r *Result) Summary() Manifest {
	j := r.Job
	m := Manifest{
		Schema: 1, Program: "platen " + r.opt.Version, Job: j.Name, Revision: j.Revision, Note: j.Note, Inputs: r.Part.Files,
		Cleared: r.Cleared(), Units: "mm", Datum: r.Body.Datum,
		Frame:    partFrame,
		Contact:  j.Tool.Choice("contact"),
		Measured: j.Tool.Choice("measured"),
		Material: r.Part.Sheet.Name,
		Tool:     r.Body.Tool.Name,
		Shrink:   shrinkSummary(r.Body.Shrink),
		Passes:   r.Passes,
		Residual: micron(r.Residual),
		Part3D:   r.partSummary(),
		Parts:    len(r.Part.Impressions),
		Vents:    len(r.Vents.Holes),
		Forming:  r.formingSummary(),
		Air:      r.airSummary(),
		Lift:     r.liftSummary(),
		Findings: Counts{
			finding.Count(r.Findings, finding.Error),
			finding.Count(r.Findings, finding.Warning),
			finding.Count(r.Findings, finding.Note),
		},
	}
	if r.Mesh != nil {
		a := r.Measure.Audit
		m.Tool3D = &ToolSummary{
			Triangles: len(r.Mesh.T), Volume: a.Volume, Area: a.Area,
			Deviation: r.Measure.Deviation(), Tolerance: r.opt.Tolerance,
			Strips: r.Measure.Skin.Strips, StripBound: r.Measure.Skin.Bound, Planes: r.Measure.Skin.Planes, Clusters: r.Measure.Skin.Contours,
			Closed: a.Open.Count == 0, Manifold: a.Crowded.Count == 0 && a.Pinched.Count == 0 && a.Flipped.Count == 0, Outward: a.Inward.Count == 0,
			Intersections: a.Crossed.Count, Float32Faults: r.Mesh.Float32Faults(),
		}
	}
	return m
}

func shrinkSummary(s body.Shrink) ShrinkSummary {
	f := func(a body.Axis) Factor {
		out := Factor{Factor: a.Factor, Low: a.Low, High: a.High, Own: a.Given}
		if !s.Off {
			out.Shrinkage, out.Source = a.Shrinkage.S.V, a.Shrinkage.S.Cite()
		}
		return out
	}
	if s.Off {
		return ShrinkSummary{Off: true, X: f(s.X), Y: f(s.Y), Z: f(s.Z)}
	}
	return ShrinkSummary{Basis: s.Basis.String(), Cut: s.Cut.String(), ToolTemp: s.ToolTemp, X: f(s.X), Y: f(s.Y), Z: f(s.Z)}
}

// Manifest returns manifest.json for the files written.
func (r *Result) Manifest(jobHash string, files []store.Entry) ([]byte, error) {
	m := r.Summary()
	m.JobHash, m.Files = jobHash, files
	return json.MarshalIndent(m, "", "  ")
}
