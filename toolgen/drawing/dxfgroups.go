package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// dxfWriter collects the groups of a file.
type dxfWriter struct{ strings.Builder }

func (d *dxfWriter) text(code int, s string) {
	d.WriteString(strconv.Itoa(code))
	d.WriteString("\r\n")
	for _, r := range s {
		if r < 0x80 {
			d.WriteRune(r)
			continue
		}
		for _, u := range utf16Units(r) {
			fmt.Fprintf(d, "\\U+%04X", u)
		}
	}
	d.WriteString("\r\n")
}

// utf16Units returns the units by which files name letters beyond ASCII.
func utf16Units(r rune) []rune {
	if r < 0x10000 {
		return []rune{r}
	}
	r -= 0x10000
	return []rune{0xd800 + r>>10, 0xdc00 + r&0x3ff}
}

func (d *dxfWriter) int(code, n int) { d.text(code, strconv.Itoa(n)) }

func (d *dxfWriter) float(code int, x float64) { d.text(code, plain(x, lengthDecimals)) }

// point writes a point of height 0.
func (d *dxfWriter) point(code int, p geom.Vec2) {
	d.float(code, p.X)
	d.float(code+10, p.Y)
	d.float(code+20, 0)
}

func (d *dxfWriter) section(name string) {
	d.text(0, "SECTION")
	d.text(2, name)
}

func (d *dxfWriter) header(box geom.Box2) {
	d.section("HEADER")
	d.text(9, "$ACADVER")
	d.text(1, "AC1009")
	d.text(9, "$INSUNITS")
	d.int(70, 4)
	d.text(9, "$MEASUREMENT")
	d.int(70, 1)
	d.text(9, "$EXTMIN")
	d.point(10, box.Min)
	d.text(9, "$EXTMAX")
	d.point(10, box.Max)
	d.text(0, "ENDSEC")
}

func (d *dxfWriter) tables(layers []Layer) {
	d.section("TABLES")
	d.table("LTYPE", 1)
	d.text(0, "LTYPE")
	d.text(2, "CONTINUOUS")
	d.int(70, 0)
	d.text(3, "Solid line")
	d.int(72, 'A')
	d.int(73, 0)
	d.float(40, 0)
	d.text(0, "ENDTAB")
	d.table("LAYER", len(layers)+1)
	d.layerRow("0", 7)
	for _, l := range layers {
		d.layerRow(l.Name, l.Colour)
	}
	d.text(0, "ENDTAB")
	d.table("STYLE", 1)
	d.text(0, "STYLE")
	d.text(2, "STANDARD")
	d.int(70, 0)
	d.float(40, 0)
	d.float(41, 1)
	d.float(50, 0)
	d.int(71, 0)
	d.float(42, noteHeight)
	d.text(3, "txt")
	d.text(4, "")
	d.text(0, "ENDTAB")
	d.text(0, "ENDSEC")
}

func (d *dxfWriter) table(name string, n int) {
	d.text(0, "TABLE")
	d.text(2, name)
	d.int(70, n)
}

func (d *dxfWriter) layerRow(name string, colour int) {
	d.text(0, "LAYER")
	d.text(2, name)
	d.int(70, 0)
	d.int(62, colour)
	d.text(6, "CONTINUOUS")
}

// entity begins an entity on a layer.
func (d *dxfWriter) entity(kind, layer string) {
	d.text(0, kind)
	d.text(8, layer)
}

func (d *dxfWriter) layer(l Layer) {
	for _, o := range l.Outlines {
		for i := range o.Loops {
			d.polyline(l.Name, o.Loop(i))
		}
	}
	for _, c := range l.Circles {
		d.entity("CIRCLE", l.Name)
		d.point(10, c.At)
		d.float(40, c.R)
	}
	for _, p := range l.Points {
		d.entity("POINT", l.Name)
		d.point(10, p)
	}
	for _, t := range l.Texts {
		d.entity("TEXT", l.Name)
		d.point(10, t.At)
		d.float(40, t.Height)
		d.text(1, t.Text)
	}
}

// polyline writes a loop: closed by its flag, the first vertex not repeated.
func (d *dxfWriter) polyline(layer string, l []outline.Elem) {
	d.entity("POLYLINE", layer)
	d.int(66, 1)
	d.point(10, geom.Vec2{})
	d.int(70, flagClosed)
	for _, e := range l {
		d.entity("VERTEX", layer)
		d.point(10, e.A)
		if e.R != 0 {
			d.text(42, plain(math.Copysign(math.Tan(float64(e.Sweep())/4), e.R), bulgeDecimals))
		}
	}
	d.entity("SEQEND", layer)
}

// bar writes the check bar from p to the right, with a tick at each end.
func (d *dxfWriter) bar(p geom.Vec2) {
	q := p.Add(geom.Vec2{X: barLength})
	tick := geom.Vec2{Y: noteHeight / 2}
	for _, l := range [3][2]geom.Vec2{{p, q}, {p.Sub(tick), p.Add(tick)}, {q.Sub(tick), q.Add(tick)}} {
		d.entity("LINE", NotesLayer)
		d.point(10, l[0])
		d.point(11, l[1])
	}
}
