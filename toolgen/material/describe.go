package material

import (
	"strconv"
	"strings"

	"platen/toolgen/source"
)

// Describe returns all that is known of a sheet, a row a figure, made from the fields themselves.
func Describe(s Sheet) []source.Row {
	rows := []source.Row{
		span("forming, core of the sheet", s.Forming, 1, "degC"),
		figure("forming, start at", s.Core, 1, "degC"),
		span("tool surface", s.Tool, 1, "degC"),
		figure("tool surface, start at", s.ToolAt, 1, "degC"),
		figure("release", s.Release, 1, "degC"),
		advice("mind", s.Caution),
		figure("shrinkage, male", s.Shrink.Male, 100, "%"),
		figure("shrinkage, female", s.Shrink.Female, 100, "%"),
		span("shrinkage, spread", s.Shrink.Spread, 100, "%"),
		figure("shrinkage, more along the extrusion", s.Shrink.Along, 100, "%"),
	}
	if most, ok := s.Conducts(); ok {
		rows = append(rows, figure("stretch at which it still conducts, at most", most, 1, "gauge / wall"))
	}
	if s.NeedsTrial() {
		rows = append(rows, advice("trial shot", s.Trial))
	}
	rows = append(rows, describeHeat(s.Heat)...)
	rows = append(rows, describeDrying(s.Drying)...)
	return append(rows,
		figure("areal draw, at most", s.Areal.Free, 1, "part / sheet"),
		figure("areal draw with a plug, at most", s.Areal.Plug, 1, "part / sheet"),
		figure("draft, female, least", s.Draft[Female].Min, 1, "deg"),
		figure("draft, female, good practice", s.Draft[Female].Want, 1, "deg"),
		figure("draft, male, least", s.Draft[Male].Min, 1, "deg"),
		figure("draft, male, good practice", s.Draft[Male].Want, 1, "deg"),
		figure("vent hole, share of the formed wall", s.Vent.Share, 1, ""),
		figure("vent hole, at least", s.Vent.Least, 1, "mm"),
		figure("vent hole, at most", s.Vent.Most, 1, "mm"),
		text("fold hinge", s.Fold.Grade.String()+": "+s.Fold.Note.Text, s.Fold.Note.Mark, s.Fold.Note.Cite()),
		figure("hoop strain for a moment, at most", s.Strip.Strain, 100, "%"),
		figure("undercut stripped without slides, at most", s.Strip.Depth, 1, "mm a side"),
		figure("modulus of elasticity, room temperature", s.Modulus, 1, "MPa"),
		advice("stiffness", s.Stiff),
	)
}

func describeHeat(h Heat) []source.Row {
	return []source.Row{
		figure("density", h.Density, 1, "kg/m3"),
		figure("specific heat", h.SpecificHeat, 1e-3, "kJ/(kg K)"),
		figure("thermal conductivity", h.Conductivity, 1, "W/(m K)"),
		figure("thermal diffusivity", h.Diffusivity(), 1e7, "1e-7 m2/s"),
		figure("thermal expansion", h.Expansion, 1e6, "1e-6/K"),
		figure("glass transition", h.Glass, 1, "degC"),
		span("heat deflection at 0.45 MPa", h.Deflection, 1, "degC"),
		figure("heat of melting", h.Latent, 1e-3, "kJ/kg"),
	}
}

func describeDrying(d Drying) []source.Row {
	rows := []source.Row{text("drying", d.Need.String()+": "+d.Advice.Text, d.Advice.Mark, d.Advice.Cite())}
	for _, t := range d.Tables {
		cells := make([]string, len(t.Rows))
		for i, r := range t.Rows {
			at := "any gauge"
			if r.Gauge != anyGauge {
				at = number(r.Gauge, 1) + " mm"
			}
			cells[i] = at + " " + number(r.Hours, 1) + " h"
		}
		rows = append(rows, text("drying at "+number(t.Temp, 1)+" degC", strings.Join(cells, ", "), t.Mark, t.Mark.Cite(t.Source)))
	}
	return rows
}

// DescribeTool returns all that is known of a tool material, made from the fields themselves.
func DescribeTool(t Tool) []source.Row {
	rows := []source.Row{
		span("density", t.Density, 1, "kg/m3"),
		span("thermal expansion", t.Expansion, 1e6, "1e-6/K"),
		span("thermal conductivity", t.Conductivity, 1, "W/(m K)"),
		span("life", t.Life, 1, "parts"),
		figure("relative cost", t.Cost, 1, "aluminium plate = 1"),
		span("lead time", t.LeadDays, 1, "working days"),
		figure("least wall between voids", t.LeastWall, 1, "mm"),
	}
	if _, ok := t.HeatLimitAt(); ok {
		rows = append(rows, span("heat limit", t.HeatLimit, 1, "degC"))
	} else {
		rows = append(rows, text("heat limit", "none given", t.HeatLimit.Mark, t.HeatLimit.Cite()))
	}
	rows = append(rows, advice("movement", t.Movement))
	for _, h := range t.Hazards {
		rows = append(rows, advice("hazard", h))
	}
	return rows
}

func figure(label string, v source.Value, scale float64, unit string) source.Row {
	return source.Row{Label: label, Value: number(v.V, scale), Unit: unit, Mark: v.Mark, Source: v.Cite()}
}

func span(label string, r source.Range, scale float64, unit string) source.Row {
	v := number(r.Low, scale)
	if r.High != r.Low {
		v += " to " + number(r.High, scale)
	}
	return source.Row{Label: label, Value: v, Unit: unit, Mark: r.Mark, Source: r.Cite()}
}

func advice(label string, a source.Advice) source.Row { return text(label, a.Text, a.Mark, a.Cite()) }

func text(label, value string, mark source.Mark, cite string) source.Row {
	return source.Row{Label: label, Value: value, Mark: mark, Source: cite}
}

// shownDigits is the most digits a table shows; the data have no more than four.
const shownDigits = 6

// number writes v in a unit scale times smaller, without the tail that binary fractions leave.
func number(v, scale float64) string {
	f, _ := strconv.ParseFloat(strconv.FormatFloat(v*scale, 'g', shownDigits, 64), 64)
	return strconv.FormatFloat(f, 'f', -1, 64)
}
