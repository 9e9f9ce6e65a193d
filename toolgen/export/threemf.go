package export

import (
	"archive/zip"
	"compress/flate"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"platen/toolgen/mesh"
)

// Meta is what a 3MF file says about itself; empty fields are left out.
type Meta struct {
	Title       string // name of the job, also the name of the object
	Application string // the program and its version
	Description string // datum, build and whatever else the next person needs
}

// Names fixed by the 3MF Core Specification 1.4.0, chapters 2 to 4, and by the Open Packaging
// Conventions (ECMA-376 part 2).
const (
	contentTypes = xml.Header +
		`<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>` +
		`</Types>` + "\n"
	relations = xml.Header +
		`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Id="rel0" Target="/3D/3dmodel.model" ` +
		`Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>` +
		`</Relationships>` + "\n"
	modelOpen = xml.Header +
		`<model unit="millimeter" xml:lang="en-US" ` +
		`xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">` + "\n"
)

// deflateLevel trades size for time: measured on a million triangles, level 1 needs a seventh of the
// time of level 6 for a third more bytes.
const deflateLevel = 1

// xmlChunk is the text gathered before it goes to the compressor, bytes.
const xmlChunk = 1 << 16

// ThreeMF writes m as a 3MF package with one object and one build item that leaves it where it is.
//
// The unit is the millimetre. Vertices on the 2^-14 mm grid are written as their exact decimals and
// keep the tool datum: the specification would rather see every coordinate positive, but then the
// mesh and the drill list would no longer share one datum. Entry times are fixed, so the same input
// gives the same bytes.
//
// A mesh with a broken index or a coordinate that is not finite is refused before the first byte.
// SOURCE: 3MF Core Specification 1.4.0.
func ThreeMF(w io.Writer, m *mesh.Mesh, meta Meta) error {
	if err := check(m); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	z := zip.NewWriter(w)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(w, deflateLevel)
	})
	for _, p := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"[Content_Types].xml", text(contentTypes)},
		{"_rels/.rels", text(relations)},
		{"3D/3dmodel.model", func(w io.Writer) error { return writeModel(w, m, meta) }},
	} {
		f, err := z.CreateHeader(&zip.FileHeader{
			Name:   p.name,
			Method: zip.Deflate,
			// The earliest date the container can hold: files tell nothing of the day they were made.
			Modified: time.Date(1980, time.January, 1, 0, 0, 0, 0, time.UTC),
		})
		if err != nil {
			return fmt.Errorf("3mf: %s: %w", p.name, err)
		}
		if err := p.write(f); err != nil {
			return fmt.Errorf("3mf: %s: %w", p.name, err)
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("3mf: %w", err)
	}
	return nil
}

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func writeModel(w io.Writer, m *mesh.Mesh, meta Meta) error {
	buf := append(make([]byte, 0, xmlChunk+1<<10), modelOpen...)
	for _, d := range []struct{ name, value string }{
		{"Title", meta.Title}, {"Application", meta.Application}, {"Description", meta.Description},
	} {
		if d.value != "" {
			buf = fmt.Appendf(buf, "<metadata name=\"%s\">%s</metadata>\n", d.name, escape(d.value))
		}
	}
	buf = append(buf, "<resources>\n<object id=\"1\" type=\"model\""...)
	if meta.Title != "" {
		buf = fmt.Appendf(buf, " name=\"%s\"", escape(meta.Title))
	}
	buf = append(buf, ">\n<mesh>\n<vertices>\n"...)
	var err error
	spill := func() bool {
		if len(buf) >= xmlChunk {
			_, err = w.Write(buf)
			buf = buf[:0]
		}
		return err == nil
	}
	for _, v := range m.V {
		buf = appendDecimal(append(buf, `<vertex x="`...), v.X)
		buf = appendDecimal(append(buf, `" y="`...), v.Y)
		buf = appendDecimal(append(buf, `" z="`...), v.Z)
		buf = append(buf, "\"/>\n"...)
		if !spill() {
			return err
		}
	}
	buf = append(buf, "</vertices>\n<triangles>\n"...)
	for _, t := range m.T {
		buf = strconv.AppendInt(append(buf, `<triangle v1="`...), int64(t[0]), 10)
		buf = strconv.AppendInt(append(buf, `" v2="`...), int64(t[1]), 10)
		buf = strconv.AppendInt(append(buf, `" v3="`...), int64(t[2]), 10)
		buf = append(buf, "\"/>\n"...)
		if !spill() {
			return err
		}
	}
	buf = append(buf, "</triangles>\n</mesh>\n</object>\n</resources>\n"+
		"<build>\n<item objectid=\"1\"/>\n</build>\n</model>\n"...)
	_, err = w.Write(buf)
	return err
}

// escape makes s safe in XML text and attributes; what XML can not hold becomes U+FFFD.
func escape(s string) string {
	var b strings.Builder
	// A strings.Builder never fails.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
