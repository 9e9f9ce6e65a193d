package drawing

import (
	"bytes"
	"strings"

	"platen/toolgen/geom"
)

// Limits of a DXF file beside those of every drawing.
const (
	mostGroups = 1_000_000 // of one entity, and of all blocks
	mostNested = 8         // inserts within inserts
)

// dxfUnits are the units of $INSUNITS that a shop's drawing can have.
var dxfUnits = map[int]Unit{
	1: Inch, 2: {"foot", 304.8}, 4: Millimetre, 5: {"cm", 10}, 6: {"m", 1000},
	9: {"mil", 0.0254}, 13: {"micrometre", 0.001}, 14: {"dm", 100},
}

// ReadDXF reads the closed loops of an ASCII DXF file, R12 or later: lines, arcs, circles, polylines with
// bulges, ellipses, splines, and inserts of blocks of these in one scale. Entities are chained to loops.
//
// The unit is that of $INSUNITS; a file without one is read in the unit of the options, and refused where
// they name none or another one than the file. Entities on layers that are off or frozen, in paper space
// or invisible are passed over with a warning. A height (Z) that is the same all over an entity is ignored.
//
// ERROR: *Refusal with every place: open or branching chains, loops that cross or touch, entities drawn
// twice or without length, entities of other kinds, a binary file, a file that is cut off or beyond the
// limits.
func ReadDXF(data []byte, o Options) (*Drawing, error) {
	c := newCollector(o)
	d := &dxf{collector: c, scan: dxfScan{rest: data}, blocks: map[string]*block{}, hidden: map[string]bool{}}
	switch {
	case len(data) > mostBytes:
		c.stop(Place{}, "has %d bytes; at most %d are read", len(data), mostBytes)
	case bytes.IndexByte(data, 0) >= 0:
		c.stop(Place{}, "is binary: save it as ASCII DXF")
	default:
		d.scan.rest = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
		if bytes.IndexByte(data, '\n') < 0 {
			d.scan.rest = bytes.ReplaceAll(d.scan.rest, []byte("\r"), []byte("\n"))
		}
		d.file()
	}
	return c.finish("DXF", d.unit)
}

// dxf is the state of reading a file.
type dxf struct {
	*collector
	scan     dxfScan
	unit     Unit
	unitAt   Place
	unitCode int
	number   int // of entities so far
	blocks   map[string]*block
	stored   int // groups kept in blocks
	hidden   map[string]bool
	inserted int // entities drawn by inserts
}

// block is a named group of entities.
type block struct {
	base     geom.Vec2
	entities []entity
	open     bool // being drawn: a block that holds itself
}

func (d *dxf) file() {
	ended := false
	for !ended && !d.stopped {
		g, ok := d.scan.next()
		if !ok {
			break
		}
		if g.code != 0 {
			continue // comments before and between sections
		}
		switch string(g.text) {
		case "SECTION":
			d.section()
		case "EOF":
			ended = true
		default:
			d.stop(Place{Line: d.scan.at}, "%s outside a section; this is no DXF file", quoted(g.text))
		}
	}
	switch {
	case d.scan.err != "":
		d.stop(Place{Line: max(d.scan.at, 1)}, "%s", d.scan.err)
	case !ended:
		d.stop(Place{Line: max(d.scan.line, 1)}, "the file ends without EOF: it is cut off, or no DXF file")
	}
}

func (d *dxf) section() {
	g, _ := d.scan.next()
	switch name := string(g.text); name {
	case "HEADER":
		d.header()
	case "TABLES":
		d.each(func(e *entity) {
			if e.kind == "LAYER" && (e.int(70)&1 != 0 || e.float(62, 7) < 0) {
				d.hidden[strings.ToUpper(e.text(2))] = true
			}
		})
	case "BLOCKS":
		d.readBlocks()
	case "ENTITIES":
		if d.settle() {
			d.each(func(e *entity) { d.draw(e, geom.Scaled(d.unit.MM, d.unit.MM), "", 0) })
		}
	default:
		d.each(func(*entity) {})
	}
}

// header looks for the unit.
func (d *dxf) header() {
	name := ""
	for {
		g, ok := d.scan.next()
		if !ok || g.code == 0 {
			return
		}
		if g.code == 9 {
			name = string(g.text)
		}
		if name == "$INSUNITS" && g.code == 70 {
			d.guard(Place{Line: d.scan.at}, func() { d.unitCode = int(g.float()) })
			d.unitAt = Place{Line: d.scan.at}
		}
	}
}

// settle decides the unit, once.
func (d *dxf) settle() bool {
	if d.unit.MM != 0 {
		return true
	}
	given := d.o.Unit
	u, known := dxfUnits[d.unitCode]
	switch {
	case d.unitCode == 0 && given.MM == 0:
		d.stop(d.unitAt, "the file does not say its unit ($INSUNITS): say whether it is drawn in mm or inch")
	case d.unitCode == 0:
		u = given
	case !known:
		d.stop(d.unitAt, "the unit with the number %d ($INSUNITS) is not read: mm, cm, dm, m, micrometre, inch, foot or mil", d.unitCode)
	case given.MM != 0 && given.MM != u.MM:
		d.stop(d.unitAt, "the file is in %s ($INSUNITS), but %s was asked for: leave one out", u.Name, given.Name)
	}
	d.unit = u
	d.own = func(p geom.Vec2) geom.Vec2 { return p.Scale(1 / u.MM) }
	return !d.stopped
}

// each reads the entities up to the end of the section and hands each to visit.
func (d *dxf) each(visit func(e *entity)) {
	var e, head entity // head: a polyline whose vertices are coming
	flush := func() {
		switch {
		case head.kind != "" && e.kind == "VERTEX":
			head.vertices = append(head.vertices, entity{kind: e.kind, line: e.line, groups: e.groups})
			if len(head.vertices) > mostSegments {
				d.stop(d.placeOf(&head), "has more than %d vertices", mostSegments)
			}
			e.groups = nil
		case head.kind != "":
			if e.kind != "SEQEND" {
				d.fault(d.placeOf(&head), "the polyline ends at line %d with %s instead of SEQEND", e.line, quoted([]byte(e.kind)))
			} else {
				d.guard(d.placeOf(&head), func() { visit(&head) })
			}
			head = entity{}
		case e.kind == "POLYLINE":
			head, e = e, entity{}
		case e.kind != "":
			d.guard(d.placeOf(&e), func() { visit(&e) })
		}
	}
	for !d.stopped {
		g, ok := d.scan.next()
		if !ok {
			if d.scan.err == "" {
				d.stop(Place{Line: d.scan.line}, "the file ends within a section: it is cut off")
			}
			return
		}
		if g.code != 0 {
			if len(e.groups) >= mostGroups {
				d.stop(d.placeOf(&e), "an entity of more than %d groups", mostGroups)
			}
			e.groups = append(e.groups, g)
			continue
		}
		flush()
		if string(g.text) == "ENDSEC" {
			if head.kind != "" {
				d.fault(d.placeOf(&head), "the polyline has no end (SEQEND)")
			}
			return
		}
		d.number++
		e = entity{kind: string(g.text[:min(len(g.text), 40)]), line: d.scan.at, number: d.number, groups: e.groups[:0]}
	}
}

func (d *dxf) placeOf(e *entity) Place {
	return Place{Line: e.line, Entity: printable(e.kind), Number: e.number, Layer: printable(e.text(8))}
}

// printable makes text from a file fit for a message.
func printable(s string) string {
	const most = 120
	out := []rune(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\uFFFD' {
			return '?'
		}
		return r
	}, s))
	return string(out[:min(len(out), most)])
}

// guard runs f; a number that is none becomes a fault at p.
func (d *dxf) guard(p Place, f func()) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case badNumber:
			d.fault(p, "%s", r.text)
		default:
			panic(r)
		}
	}()
	f()
}

// readBlocks keeps the blocks for inserts to come.
func (d *dxf) readBlocks() {
	var b *block
	d.each(func(e *entity) {
		switch e.kind {
		case "BLOCK":
			b = &block{base: e.point(10)}
			d.blocks[strings.ToUpper(e.text(2))] = b
		case "ENDBLK":
			b = nil
		default:
			if b == nil {
				return
			}
			if d.stored += len(e.groups) + 8*len(e.vertices); d.stored > mostGroups {
				d.stop(d.placeOf(e), "the blocks hold more than %d groups", mostGroups)
				return
			}
			kept := *e
			kept.groups = append([]group(nil), e.groups...)
			b.entities = append(b.entities, kept)
		}
	})
}
