package toolgen

import (
	"encoding/json"
	"fmt"
	"io"

	"platen/toolgen/geom"
	"platen/toolgen/render"
	"platen/toolgen/stack"
)

// stackName is the file of how the parts nest and stack.
const stackName = "stack.json"

func writeStack(r *Result, w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(r.StackSummary())
}

// writeSections draws sections of the nested and the half-turned parts.
func writeSections(r *Result, w io.Writer) error {
	s := r.Stack
	var cuts []render.Cut
	for _, k := range []struct {
		name string
		rest *stack.Rest
	}{{"nested, the same way", s.Nest}, {"turned by half a turn", s.Turned}} {
		if len(k.rest.Peaks) == 0 {
			continue
		}
		c, p := k.rest.Cut(r.Shell.Mesh, r.Shell.Mesh), k.rest.Peaks[0]
		how := "carried there"
		if k.rest.Jams() {
			how = "steep sides wedge there"
		}
		cuts = append(cuts, render.Cut{
			Title: fmt.Sprintf("%s: pitch %.2f mm, %s", k.name, k.rest.Lift, how),
			Note: fmt.Sprintf("cut through part x %.2f, y %.2f, along (%.2f, %.2f): %s under %s, %.0f deg from the vertical",
				c.At.X, c.At.Y, c.Along.X, c.Along.Y, p.Lower, p.Upper, p.Slope.Degrees()),
			Parts: [][][2]geom.Vec2{c.Lower, c.Upper}, Mark: geom.Vec2{Y: c.At.Z},
		})
	}
	note := fmt.Sprintf("sections of two formed parts with their walls, unverified; %s %.2f mm", r.Part.Sheet.Name, r.Part.Gauge)
	return render.Cuts(w, r.title(), note, cuts)
}
