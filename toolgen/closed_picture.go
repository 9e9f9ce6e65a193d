package toolgen

import (
	"fmt"
	"io"

	"platen/toolgen/geom"
	"platen/toolgen/render"
)

// Windows of the sections of a closed pack, mm.
const (
	snapWide  = 6.0 // flange shown round a snap
	snapClose = 2.5 // the same of its edge, where the faces pass
)

// writeClosed draws the closed pack across its fold line, through its first snap or its middle, with the
// snap larger beside it.
func writeClosed(r *Result, w io.Writer) error {
	c := r.Closed
	along := r.Part.Outline.Bounds().Centre().Sub(c.Line.At).Dot(c.Line.Dir)
	note := "through the middle"
	for _, s := range c.Snaps {
		if s.Socket != nil {
			along, note = s.Button.Middle.Sub(c.Line.At).Dot(c.Line.Dir), "through "+s.Button.ID
			break
		}
	}
	base, lid := c.Section(r.Shell.Mesh, along)
	panels := []render.Panel{{
		Title: "across the fold line " + c.Line.Feature.ID + ", " + note, Window: boxOf(base, lid).Grow(1),
		Parts: [][][2]geom.Vec2{base, lid},
	}}
	for i := range c.Snaps {
		s := &c.Snaps[i]
		button, socket := s.SnapSection(c.Flanges.Mean, snapWide)
		if len(button) == 0 || len(socket) == 0 {
			continue
		}
		parts := [][][2]geom.Vec2{button, socket}
		edge := geom.Box2{Min: geom.Vec2{X: s.Wide.Mean - snapClose, Y: -1}, Max: geom.Vec2{X: s.Wide.Mean + snapClose, Y: s.Faces[0].End}}
		panels = append(panels,
			render.Panel{Title: s.Button.ID + " in " + s.Socket.ID, Window: boxOf(button, socket).Grow(0.5), Parts: parts},
			render.Panel{Title: fmt.Sprintf("its edge: overlap %.3f mm, asked %.3f", s.Overlap, s.Asked), Window: edge, Parts: parts})
		break
	}
	g := c.Flanges
	note = fmt.Sprintf("folded shut, flanges %.2f to %.2f mm apart; the beads, which bend, are left out; walls unverified; %s %.2f mm",
		g.Low, g.High, r.Part.Sheet.Name, r.Part.Gauge)
	return render.Panels(w, r.title(), note, panels)
}

// boxOf returns the box of figures.
func boxOf(figures ...[][2]geom.Vec2) geom.Box2 {
	box := geom.EmptyBox2()
	for _, f := range figures {
		for _, e := range f {
			box = box.Hold(e[0]).Hold(e[1])
		}
	}
	return box
}
