package toolgen_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen"
	"platen/toolgen/geom"
)

// house is a convex outline without symmetry, counter-clockwise, that a drawing could not turn over unseen.
var house = []geom.Vec2{{X: -32, Y: -20}, {X: 30, Y: -20}, {X: 30, Y: 8}, {X: 6, Y: 22}, {X: -32, Y: 15}}

// rounding is one corner of house, rounded: the ends of its arc and its middle.
type rounding struct{ a, b, centre geom.Vec2 }

func rounded(r float64) []rounding {
	var out []rounding
	for i, p := range house {
		in := p.Sub(house[(i+len(house)-1)%len(house)]).Unit()
		on := house[(i+1)%len(house)].Sub(p).Unit()
		t := r * math.Tan(math.Atan2(in.Cross(on), in.Dot(on))/2)
		a := p.Sub(in.Scale(t))
		out = append(out, rounding{a, p.Add(on.Scale(t)), a.Add(geom.Vec2{X: -in.Y, Y: in.X}.Scale(r))})
	}
	return out
}

// drawings of the house with corners of radius r, away from the origin, as DXF and as SVG, whose Y runs down.
func drawings(r float64) (dxf, svg string) {
	c := rounded(r)
	var d, s strings.Builder
	d.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	off := geom.Vec2{X: 100, Y: 50}
	for i, k := range c {
		next := c[(i+1)%len(c)].a.Add(off)
		a, b, m := k.a.Add(off), k.b.Add(off), k.centre.Add(off)
		deg := func(p geom.Vec2) float64 { v := p.Sub(m); return math.Atan2(v.Y, v.X) * 180 / math.Pi }
		fmt.Fprintf(&d, "0\nARC\n8\nEDGE\n10\n%.9f\n20\n%.9f\n40\n%.9f\n50\n%.9f\n51\n%.9f\n", m.X, m.Y, r, deg(a), deg(b))
		fmt.Fprintf(&d, "0\nLINE\n8\nEDGE\n10\n%.9f\n20\n%.9f\n11\n%.9f\n21\n%.9f\n", b.X, b.Y, next.X, next.Y)
		if i == 0 {
			fmt.Fprintf(&s, "M%.9f %.9f", a.X, 200-a.Y)
		}
		fmt.Fprintf(&s, " A%.9f %.9f 0 0 0 %.9f %.9f L%.9f %.9f", r, r, b.X, 200-b.Y, next.X, 200-next.Y)
	}
	return d.String() + "0\nENDSEC\n0\nEOF\n",
		`<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200"><path d="` + s.String() + ` Z"/></svg>`
}

// TestDrawingsAgree makes one pocket from a DXF, from an SVG and from a polygon with corners: every corner of each
// mesh lies on the face of the others within 0.01 mm.
func TestDrawingsAgree(t *testing.T) {
	dxf, svg := drawings(6)
	files := map[string]string{"plan.dxf": dxf, "plan.svg": svg}
	var made []*toolgen.Result
	for _, plan := range []string{
		"{polygon: [[-32, -20], [30, -20], [30, 8], [6, 22], [-32, 15]], corner: 6}", "{dxf: plan.dxf, layer: EDGE}", "{svg: plan.svg}",
	} {
		o := options()
		o.Tolerance, o.Only = 0.005, []string{"tool.stl"}
		o.Open = func(name string) ([]byte, error) {
			if text, ok := files[name]; ok {
				return []byte(text), nil
			}
			return nil, os.ErrNotExist
		}
		at := "at: [0, 0]"
		if len(made) > 0 { // a drawing is read about its middle, a polygon about its own origin
			c := made[0].Part.Features[0].Outline.Bounds().Centre()
			at = fmt.Sprintf("at: [%.6f, %.6f]", c.X, c.Y)
		}
		r, err := toolgen.Build(context.Background(), read(t, `format: 1
name: one outline
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, wall_allowance: none, block: {size: [140, 110], corner: 8, base: 20}}
part: {outline: {rect: [120, 90], corner: 6}}
shrink: {off: true}
features:
  - {kind: pocket, outline: `+plan+", depth: 12, edge: 2, floor: 3, "+at+"}\n"), o)
		require.NoError(t, err, plan)
		made = append(made, r)
	}
	for i, a := range made {
		for k, b := range made {
			if i == k {
				continue
			}
			most := 0.0
			for _, v := range a.Mesh.V {
				if v.Z > 1 { // off the base
					most = max(most, math.Abs(b.Body.Field.At(v).D))
				}
			}
			require.Less(t, most, 0.01, "mesh %d on face %d", i, k)
		}
	}
}

// TestDrawingRefusedThroughTheJob names the place in the job and the place in the drawing.
func TestDrawingRefusedThroughTheJob(t *testing.T) {
	dxf, svg := drawings(6)
	open := strings.Replace(dxf, "0\nLINE", "0\nPOINT", 1)
	for name, c := range map[string]struct{ file, text, want string }{
		"open dxf":    {"a.dxf", open, "a.dxf: DXF drawing: line "},
		"no dxf":      {"a.dxf", "hello", "a.dxf: DXF drawing: line 1"},
		"no svg":      {"a.svg", "<svg", "a.svg: SVG drawing: line 1"},
		"svg in text": {"a.svg", strings.Replace(svg, "<path", "<text x='3'>A</text><path", 1), "a.svg: SVG drawing: line 1"},
		"missing":     {"b.dxf", dxf, `drawing "a.dxf"`},
	} {
		o := options()
		o.Open = func(name string) ([]byte, error) {
			if name == c.file {
				return []byte(c.text), nil
			}
			return nil, os.ErrNotExist
		}
		kind := "dxf"
		if strings.HasSuffix(c.file, "svg") {
			kind = "svg"
		}
		_, err := toolgen.Check(context.Background(), read(t, "format: 1\nname: n\nsheet: {material: HIPS, gauge: 1}\ntool: {material: aluminium 5083}\n"+
			"part: {outline: {rect: [120, 90]}}\nfeatures:\n  - {kind: pocket, depth: 9, outline: {"+kind+": a."+kind+"}}\n"), o)
		require.ErrorContains(t, err, "job.yaml:7:30: I1/pocket-1: ", name)
		require.ErrorContains(t, err, c.want, name)
	}
}
