package toolgen

import (
	"context"
	"errors"
	"math"
	"slices"

	"platen/toolgen/finding"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

// gauges are the gauges sheet is usually stocked in, mm (common practice, no source).
var gauges = []float64{0.25, 0.3, 0.4, 0.5, 0.6, 0.75, 1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12}

// Choice is a job with one contact side, gauge and sheet, and what follows from them.
type Choice struct {
	Contact  string  `json:"contact_side"`
	Material string  `json:"sheet"`
	Gauge    float64 `json:"gauge_mm"`
	Asked    bool    `json:"asked"`             // the job as it is
	Least    float64 `json:"least_wall_mm"`     // of all features, exceeded by 99 % of its area
	Where    string  `json:"least_wall_at"`     // feature and role
	Mass     float64 `json:"mass_g"`            // of the trimmed part
	Findings Counts  `json:"findings"`          //
	Refused  string  `json:"refused,omitempty"` // why no tool can be made; nothing else is given then
}

// Choices forms the sheet for both contact sides, the asked gauge and its neighbours among usual ones,
// and the given sheets; none: the job's own.
//
// ERROR: the context's error, and what Check fails of; a choice that makes no tool is a row that says so.
func Choices(ctx context.Context, j *job.Job, o Options, materials []string) ([]Choice, error) {
	o.NoSheet, o.NoBand, o.NoStack, o.NoClose = false, true, true, true
	asked := Choice{Contact: j.Tool.Choice("contact"), Material: j.Sheet.Choice("material"), Gauge: j.Sheet.Length("gauge")}
	if len(materials) == 0 {
		materials = []string{asked.Material}
	}
	var out []Choice
	for _, m := range materials {
		for _, side := range []string{"underside", "upper"} {
			for _, g := range around(asked.Gauge) {
				c := Choice{Contact: side, Material: m, Gauge: g}
				c.Asked = c == asked
				o.progress(side + ", " + m)
				if err := c.fill(ctx, j, o); err != nil {
					return nil, err
				}
				out = append(out, c)
			}
		}
	}
	return out, nil
}

// around returns a gauge and the usual ones next to it.
func around(g float64) []float64 {
	out := []float64{g}
	for i := len(gauges) - 1; i >= 0; i-- {
		if gauges[i] < g-1e-9 {
			out = slices.Insert(out, 0, gauges[i])
			break
		}
	}
	for _, u := range gauges {
		if u > g+1e-9 {
			return append(out, u)
		}
	}
	return out
}

// fill runs the job as chosen.
func (c *Choice) fill(ctx context.Context, j *job.Job, o Options) error {
	k := *j
	k.Sheet = j.Sheet.With("gauge", c.Gauge).With("material", c.Material)
	k.Tool = j.Tool.With("contact", c.Contact)
	r, err := Check(ctx, &k, o)
	var build *part.BuildError
	if errors.As(err, &build) {
		c.Refused = build.Feature + ": " + build.Err.Error()
		return nil
	}
	if err != nil {
		return err
	}
	c.Least = math.Inf(1)
	for _, a := range r.Formed.Areas {
		if a.Size > 0 && a.Low < c.Least {
			c.Least, c.Where = a.Low, a.Feature+" "+a.Role.String()
		}
	}
	c.Least = micron(c.Least)
	c.Mass = micron(r.Formed.Trimmed() * r.Part.Sheet.Heat.Density.V * 1e-6)
	c.Findings = Counts{
		finding.Count(r.Findings, finding.Error), finding.Count(r.Findings, finding.Warning), finding.Count(r.Findings, finding.Note),
	}
	return nil
}
